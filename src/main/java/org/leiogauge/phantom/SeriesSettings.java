// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;

/**
 * One series as the scanner acquires it.
 *
 * @param sliceMm from slice to slice
 * @param tiltDegrees of the axial stack about the patient's x, then y, then z axis
 * @param centre of the stack, in mm
 * @param snr of myometrium in the first image, without coil bias; noise is Rician
 * @param shiftMm how far the patient has moved since the first series
 * @param turnDegrees how far the patient has turned, about x, then y, then z through the origin
 * @param bValues in s/mm², for diffusion
 * @param phaseSeconds after injection, for a dynamic series; a phase before injection comes on top
 */
public record SeriesSettings(
        Kind kind,
        String description,
        int columns,
        int rows,
        int slices,
        double pixelMm,
        double sliceMm,
        Vector tiltDegrees,
        Point centre,
        double trMs,
        double teMs,
        double flipDegrees,
        boolean fatSuppressed,
        double snr,
        Vector shiftMm,
        Vector turnDegrees,
        List<Double> bValues,
        List<Double> phaseSeconds) {

    /** How the signal comes about. */
    public enum Kind {
        /** T2-weighted turbo spin echo. */
        T2,
        /** T1-weighted spoiled gradient echo. */
        T1,
        /** The same before and after contrast agent. */
        DYNAMIC,
        /** Echo-planar spin echo with diffusion weighting. */
        DWI
    }

    private static final Vector NONE = new Vector(0, 0, 0);
    // in memory at once, as single-precision numbers: 1 GB
    private static final double MOST_VOXELS = 1 << 28;

    public SeriesSettings {
        if (kind == null) throw new IllegalArgumentException("kind must be t2, t1, dynamic or dwi");
        description = description == null ? "INVENTED " + kind : description;
        if (!description.matches("[ -~&&[^\\\\]]{1,50}"))
            throw new IllegalArgumentException(
                    "description must be 1 to 50 printable ASCII characters without backslash, got " + description);
        tiltDegrees = tiltDegrees == null ? NONE : tiltDegrees;
        centre = centre == null ? new Point(0, 0, 8) : centre;
        shiftMm = shiftMm == null ? NONE : shiftMm;
        turnDegrees = turnDegrees == null ? NONE : turnDegrees;
        bValues = bValues == null ? List.of() : List.copyOf(bValues);
        phaseSeconds = phaseSeconds == null ? List.of() : List.copyOf(phaseSeconds);
        Range.check("columns", columns, 8, 1024);
        Range.check("rows", rows, 8, 1024);
        Range.check("slices", slices, 1, 500);
        Range.check("pixel-mm", pixelMm, 0.1, 20);
        Range.check("slice-mm", sliceMm, 0.1, 50);
        Range.check("tr-ms", trMs, 0.1, 60_000);
        Range.check("te-ms", teMs, 0.1, trMs);
        Range.check("flip-degrees", flipDegrees, 1, 180);
        Range.check("snr", snr, 0.1, 1e6);
        Range.check("shift-mm (length)", shiftMm.length(), 0, 30);
        Range.check("turn-degrees (length)", turnDegrees.length(), 0, 20);
        checkImages(kind, bValues, phaseSeconds);
        double images = kind == Kind.DWI ? bValues.size() : 1.0 + phaseSeconds.size();
        Range.check("columns × rows × slices × images", images * columns * rows * slices, 64, MOST_VOXELS);
    }

    private static void checkImages(Kind kind, List<Double> bValues, List<Double> phaseSeconds) {
        Range.check("number of b-values", bValues.size(), kind == Kind.DWI ? 2 : 0, kind == Kind.DWI ? 20 : 0);
        Range.check(
                "number of phases", phaseSeconds.size(), kind == Kind.DYNAMIC ? 1 : 0, kind == Kind.DYNAMIC ? 60 : 0);
        bValues.forEach(b -> Range.check("b-values", b, 0, 5000));
        phaseSeconds.forEach(t -> Range.check("phase-seconds", t, 0, 3600));
        for (int i = 1; i < bValues.size(); i++)
            Range.check("b-values, rising", bValues.get(i), bValues.get(i - 1) + 1, 5000);
        for (int i = 1; i < phaseSeconds.size(); i++)
            Range.check("phase-seconds, rising", phaseSeconds.get(i), phaseSeconds.get(i - 1) + 1, 3600);
    }

    /** Images of the whole stack: one, or one per b-value, or one before contrast agent and one per phase. */
    public int images() {
        return kind == Kind.DWI ? bValues.size() : kind == Kind.DYNAMIC ? 1 + phaseSeconds.size() : 1;
    }

    public Grid grid() {
        Rotation tilt = Rotation.of(tiltDegrees);
        DirectionCosines direction = new DirectionCosines(
                tilt.apply(new Vector(1, 0, 0)), tilt.apply(new Vector(0, 1, 0)), tilt.apply(new Vector(0, 0, 1)));
        Vector half = direction
                .x()
                .times(-(columns - 1) * pixelMm / 2)
                .plus(direction.y().times(-(rows - 1) * pixelMm / 2))
                .plus(direction.z().times(-(slices - 1) * sliceMm / 2));
        return new Grid(
                new Size(columns, rows, slices), new Spacing(pixelMm, pixelMm, sliceMm), direction, centre.plus(half));
    }

    /** The series of a usual protocol. Source: common practice, no source (evidence: pelvic protocols of the papers on DWI). */
    static List<SeriesSettings> standard(boolean full) {
        Vector shift = new Vector(0.6, 1.1, -0.8);
        Vector turn = new Vector(0.6, 0, -0.5);
        List<Double> phases = List.of(30.0, 60.0, 90.0, 180.0);
        List<Double> bs = full ? List.of(0.0, 400.0, 1000.0) : List.of(0.0, 50.0, 400.0, 800.0, 1000.0);
        return List.of(
                stack(Kind.T2, "INV T2 TSE tra obl", full ? 320 : 176, full ? 30 : 24, 240, 120, 10)
                        .timed(4200, 100, 90, false, 45, NONE, NONE, List.of(), List.of()),
                stack(Kind.T1, "INV T1 GRE tra", full ? 256 : 128, full ? 30 : 20, 260, 120, 0)
                        .timed(140, 4.6, 70, false, 45, shift.times(0.5), NONE, List.of(), List.of()),
                stack(Kind.T1, "INV T1 GRE fs tra", full ? 256 : 128, full ? 30 : 20, 260, 120, 0)
                        .timed(140, 2.4, 70, true, 45, shift.times(0.5), turn.times(0.5), List.of(), List.of()),
                stack(Kind.DWI, "INV EPI DWI tra", full ? 160 : 88, full ? 30 : 20, 260, 120, 0)
                        .timed(5200, 72, 90, true, 25, shift, turn, bs, List.of()),
                stack(Kind.DYNAMIC, "INV T1 3D GRE fs dyn", full ? 256 : 112, full ? 60 : 28, 260, 120, 0)
                        .timed(4.5, 1.9, 12, true, 30, shift.times(-0.8), turn.times(-1), List.of(), phases));
    }

    private static SeriesSettings stack(
            Kind kind, String description, int matrix, int slices, double fieldMm, double coverageMm, double tilt) {
        return new SeriesSettings(
                kind,
                description,
                matrix,
                matrix,
                slices,
                fieldMm / matrix,
                coverageMm / slices,
                new Vector(tilt, 0, 0),
                null,
                4000,
                100,
                90,
                false,
                50,
                NONE,
                NONE,
                kind == Kind.DWI ? List.of(0.0, 1000.0) : List.of(),
                kind == Kind.DYNAMIC ? List.of(60.0) : List.of());
    }

    private SeriesSettings timed(
            double tr,
            double te,
            double flip,
            boolean suppressed,
            double ratio,
            Vector shift,
            Vector turn,
            List<Double> bs,
            List<Double> phases) {
        return new SeriesSettings(
                kind,
                description,
                columns,
                rows,
                slices,
                pixelMm,
                sliceMm,
                tiltDegrees,
                centre,
                tr,
                te,
                flip,
                suppressed,
                ratio,
                shift,
                turn,
                bs,
                phases);
    }

    /** Without noise and movement. */
    public SeriesSettings ideal() {
        return timed(trMs, teMs, flipDegrees, fatSuppressed, 1e6, NONE, NONE, bValues, phaseSeconds);
    }
}
