// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.leiogauge.image.Point;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** A lesion in patient space: how deep a place lies in it, and of what it is there. */
final class Lesion {
    /** Thickness of the myometrium that goes around a lesion that bulges. */
    static final double COVER_MM = 5;

    private static final double SAMPLES = 400_000;
    // A logistic rise from 10 to 90 % takes 2 ln 9 scales.
    private static final double TEN_TO_NINETY = 2 * StrictMath.log(9);

    private final LesionSettings settings;
    private final Surface surface;
    private final SurfaceTruth truth;
    private final SurfaceMap map;
    private final Compartments compartments;
    private final double spacing;
    private final List<double[]> points;

    Lesion(LesionSettings settings, Seed seed, long draw, Workers workers) {
        this.settings = settings;
        surface = Surface.of(settings, seed, draw);
        truth = SurfaceTruth.of(surface, workers);
        map = new SurfaceMap(surface, workers);
        compartments = new Compartments(settings, map.largestRadius(), seed, draw + 1, workers);
        spacing = StrictMath.cbrt(truth.volume() / SAMPLES);
        points = fill(workers);
        compartments.fit(points.toArray(double[][]::new));
    }

    private List<double[]> fill(Workers workers) {
        int n = (int) Math.ceil(map.largestRadius() / spacing);
        List<double[]> all = new ArrayList<>();
        for (List<double[]> plane : workers.map(2 * n + 1, k -> plane(n, (k - n) * spacing))) all.addAll(plane);
        return Collections.unmodifiableList(all);
    }

    private List<double[]> plane(int n, double z) {
        List<double[]> plane = new ArrayList<>();
        double[] look = new double[2];
        for (int j = -n; j <= n; j++)
            for (int i = -n; i <= n; i++) {
                double x = i * spacing;
                double y = j * spacing;
                double q = share(x, y, z, look);
                if (q <= 1) plane.add(new double[] {x, y, z, q});
            }
        return plane;
    }

    private double share(double x, double y, double z, double[] look) {
        double rho = Math.sqrt(x * x + y * y + z * z);
        if (rho == 0) return 0;
        map.look(x, y, z, look);
        return rho / look[0];
    }

    LesionSettings settings() {
        return settings;
    }

    Surface surface() {
        return surface;
    }

    SurfaceTruth truth() {
        return truth;
    }

    Point centre() {
        return settings.centre();
    }

    /** Places on a cubic lattice inside the sharp surface: x, y, z from the centre in mm, and the share of the radius. */
    List<double[]> points() {
        return points;
    }

    double pointSpacing() {
        return spacing;
    }

    /** Beyond this distance from the centre the lesion has no influence, in mm. */
    double reach() {
        return map.largestRadius() + Math.max(COVER_MM, 2 * settings.blurMm());
    }

    /** Depth below the surface in mm, negative outside: exact on the surface, first order near it. */
    double depth(double x, double y, double z, double[] look) {
        double rho = Math.sqrt(x * x + y * y + z * z);
        if (rho == 0) return map.largestRadius();
        map.look(x, y, z, look);
        return (look[0] - rho) * look[1];
    }

    /** Share of lesion at such a depth, 0 to 1. */
    double share(double depth) {
        if (settings.blurMm() == 0) return depth >= 0 ? 1 : 0;
        double t = depth * TEN_TO_NINETY / settings.blurMm();
        return t > 12 ? 1 : t < -12 ? 0 : 1 / (1 + StrictMath.exp(-t));
    }

    /** Ordinal of the tissue at a place from the centre; outside the surface that of the surface. */
    byte tissueAt(double x, double y, double z, double[] look) {
        return compartments.tissueAt(x, y, z, Math.min(1, share(x, y, z, look)));
    }
}
