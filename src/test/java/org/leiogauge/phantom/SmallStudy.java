// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.SeriesSettings.Kind;

/** Settings of small, quick studies. */
final class SmallStudy {
    static final Vector NONE = new Vector(0, 0, 0);

    private SmallStudy() {}

    /** A stack of 120 mm depth and 240 mm width, tilted a little, without noise and movement. */
    static SeriesSettings series(Kind kind, int matrix, int slices) {
        boolean spinEcho = kind == Kind.T2 || kind == Kind.DWI;
        return new SeriesSettings(
                kind,
                "INV " + kind,
                matrix,
                matrix,
                slices,
                240.0 / matrix,
                120.0 / slices,
                new Vector(8, 0, 3),
                new Point(0, 0, 12),
                spinEcho ? 4000 : 4,
                spinEcho ? 80 : 1,
                spinEcho ? 90 : 12,
                !spinEcho,
                1e6,
                NONE,
                NONE,
                kind == Kind.DWI ? List.of(0.0, 500.0, 1000.0) : List.of(),
                kind == Kind.DYNAMIC ? List.of(30.0, 95.5) : List.of());
    }

    static SeriesSettings moved(SeriesSettings s, Vector shift, Vector turn) {
        return changed(s, s.snr(), shift, turn);
    }

    static SeriesSettings noisy(SeriesSettings s, double ratio) {
        return changed(s, ratio, s.shiftMm(), s.turnDegrees());
    }

    private static SeriesSettings changed(SeriesSettings s, double ratio, Vector shift, Vector turn) {
        return new SeriesSettings(
                s.kind(),
                s.description(),
                s.columns(),
                s.rows(),
                s.slices(),
                s.pixelMm(),
                s.sliceMm(),
                s.tiltDegrees(),
                s.centre(),
                s.trMs(),
                s.teMs(),
                s.flipDegrees(),
                s.fatSuppressed(),
                ratio,
                shift,
                turn,
                s.bValues(),
                s.phaseSeconds());
    }

    /** A smooth, sharp ellipsoid of ordinary leiomyoma in the pelvis. */
    static PhantomSettings pelvis(ScannerSettings scanner, SeriesSettings... series) {
        return Preset.ORDINARY
                .settings()
                .withLesions(List.of(LesionSettings.standard()))
                .with(scanner, Arrays.asList(series));
    }

    /** The same, with a signal from the lesion alone: it has no texture, all else no protons. */
    static PhantomSettings lesionAlone(TissueProperties lesion, ScannerSettings scanner, SeriesSettings... series) {
        Map<Tissue, TissueProperties> tissues = new EnumMap<>(Tissue.class);
        for (Tissue tissue : Tissue.values())
            tissues.put(tissue, new TissueProperties(1000, 1, 0.5, 0, 0, 0, 0, 0, 10, 0, 0, 0, 0));
        tissues.put(Tissue.LEIOMYOMA, lesion);
        PhantomSettings s = pelvis(scanner, series);
        return new PhantomSettings(
                s.preset(),
                s.scene(),
                s.seed(),
                s.matrix(),
                s.lesions(),
                tissues,
                s.textureMm(),
                s.scanner(),
                s.series(),
                s.readerSlices(),
                s.readerJitterMm(),
                s.dicom());
    }

    /** Without texture and contrast agent. */
    static TissueProperties plain(double t1, double t2, double adc) {
        return new TissueProperties(t1, t2, t2 / 2, 0.8, adc, 0, 0, 0, 10, 0, 0, 0, 0);
    }
}
