// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.Predicate;
import org.leiogauge.image.Point;
import org.leiogauge.image.RandomField;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Workers;

/** Tissue and texture at places that fill a part of the scene evenly: what is measured there without an image. */
final class SampledTissue {
    private static final Vector[] NO_BOX = {};
    private static final int BLOCK = 16_384;
    private static final double BALL_STEP_MM = 0.5;

    private final PhantomSettings settings;
    private final byte[] tissue;
    private final double[] signal;
    private final double[] adc;
    private final double[] enhancement;

    private SampledTissue(PhantomSettings settings, int count) {
        this.settings = settings;
        tissue = new byte[count];
        signal = new double[count];
        adc = new double[count];
        enhancement = new double[count];
    }

    /** At the lesion's own points, in their order. */
    static SampledTissue of(Lesion lesion, Textures textures, PhantomSettings settings, Workers workers) {
        List<double[]> points = lesion.points();
        SampledTissue sampled = new SampledTissue(settings, points.size());
        List<Integer> rows = rows(points);
        workers.forEach(rows.size() - 1, i -> sampled.fillRow(lesion, textures, rows.get(i), rows.get(i + 1)));
        return sampled;
    }

    /** On a lattice in balls that hold one tissue each. */
    static SampledTissue of(Tissue tissue, List<Place> balls, Textures textures, PhantomSettings settings) {
        List<Point> points = new ArrayList<>();
        for (Place ball : balls) points.addAll(inside(ball));
        SampledTissue sampled = new SampledTissue(settings, points.size());
        Arrays.fill(sampled.tissue, (byte) tissue.ordinal());
        for (int i = 0; i < points.size(); i++) {
            Point p = points.get(i);
            sampled.signal[i] = textures.signal().at(p.x(), p.y(), p.z());
            sampled.adc[i] = textures.adc().at(p.x(), p.y(), p.z());
            sampled.enhancement[i] = textures.enhancement().at(p.x(), p.y(), p.z());
        }
        return sampled;
    }

    /** A ball in the patient. */
    record Place(Point at, double radiusMm) {}

    private static List<Point> inside(Place ball) {
        int n = (int) Math.floor(ball.radiusMm / BALL_STEP_MM);
        List<Point> points = new ArrayList<>();
        for (int k = -n; k <= n; k++)
            for (int j = -n; j <= n; j++)
                for (int i = -n; i <= n; i++) {
                    Point p = ball.at.plus(new Vector(i, j, k).times(BALL_STEP_MM));
                    if (p.distance(ball.at) <= ball.radiusMm) points.add(p);
                }
        return points;
    }

    // Where each row of the lattice begins, and the end.
    private static List<Integer> rows(List<double[]> points) {
        List<Integer> rows = new ArrayList<>();
        for (int i = 0; i < points.size(); i++)
            if (i == 0 || points.get(i)[1] != points.get(i - 1)[1] || points.get(i)[2] != points.get(i - 1)[2])
                rows.add(i);
        rows.add(points.size());
        return rows;
    }

    private void fillRow(Lesion lesion, Textures textures, int from, int to) {
        double[] first = lesion.points().get(from);
        double spacing = lesion.pointSpacing();
        double[] start = {
            first[0] + lesion.centre().x(),
            first[1] + lesion.centre().y(),
            first[2] + lesion.centre().z()
        };
        int[] at = new int[to - from];
        double[] look = new double[2];
        for (int i = from; i < to; i++) {
            double[] p = lesion.points().get(i);
            at[i - from] = (int) Math.rint((p[0] - first[0]) / spacing);
            tissue[i] = lesion.tissueAt(p[0], p[1], p[2], look);
        }
        Vector step = new Vector(spacing, 0, 0);
        fill(textures.signal(), start, step, at, signal, from);
        fill(textures.adc(), start, step, at, adc, from);
        fill(textures.enhancement(), start, step, at, enhancement, from);
    }

    private static void fill(RandomField field, double[] start, Vector step, int[] at, double[] target, int from) {
        double[] row = new double[at[at.length - 1] + 1];
        field.row(start, step, NO_BOX, row, row.length);
        for (int i = 0; i < at.length; i++) target[from + i] = row[at[i]];
    }

    int count() {
        return tissue.length;
    }

    Tissue tissue(int i) {
        return Tissue.of(tissue[i]);
    }

    TissueProperties properties(int i) {
        return settings.of(tissue(i));
    }

    /** At each place, in 10⁻³ mm²/s. */
    double[] adc() {
        double[] values = new double[count()];
        for (int i = 0; i < values.length; i++) {
            TissueProperties p = properties(i);
            values[i] = p.adc() * Textures.share(p.adcTexture(), adc[i]);
        }
        return values;
    }

    /** Signal at each place in an image of a series, without coil, movement and noise. */
    double[] signal(SeriesSettings series, int image, Workers workers) {
        double[] values = new double[count()];
        workers.forEach((count() + BLOCK - 1) / BLOCK, block -> {
            for (int i = block * BLOCK; i < Math.min(count(), (block + 1) * BLOCK); i++)
                values[i] = signal(series, image, i);
        });
        return values;
    }

    private double signal(SeriesSettings series, int image, int i) {
        TissueProperties p = properties(i);
        double ownAdc = Textures.share(p.adcTexture(), adc[i]);
        double concentration = Textures.share(p.enhancementTexture(), enhancement[i]);
        return Textures.share(p.signalTexture(), signal[i])
                * TissueSignal.of(p, series, settings.scanner(), image, ownAdc, concentration);
    }

    /** Mean signal in an image of a series. */
    double mean(SeriesSettings series, int image, Workers workers) {
        return Arrays.stream(signal(series, image, workers)).sum() / count();
    }

    /** Share of the places where the tissue is so. */
    double fraction(Predicate<Tissue> kind) {
        int inside = 0;
        for (int i = 0; i < count(); i++) if (kind.test(tissue(i))) inside++;
        return inside / (double) count();
    }
}
