// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.image.RandomField;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.phantom.LesionSettings.Place;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Where the compartments of a lesion lie. Each has a score; it takes what scores above its threshold and is not taken
 * before. The threshold is set such that its share of the lesion's volume is as asked.
 */
final class Compartments {
    private static final double CENTRAL_PULL = 2.5;
    private static final int WAVES = 64;

    private final List<Compartment> settings;
    private final Lattice[] fields;
    private final double[][][] patches;
    private final double[] thresholds;
    private final byte[] tissues;
    private final byte base;

    Compartments(LesionSettings lesion, double largestRadius, Seed seed, long draw, Workers workers) {
        settings = lesion.compartments();
        int count = settings.size();
        fields = new Lattice[count];
        patches = new double[count][0][];
        thresholds = new double[count];
        tissues = new byte[count];
        base = (byte) lesion.tissue().ordinal();
        for (int i = 0; i < count; i++) {
            Compartment c = settings.get(i);
            tissues[i] = (byte) c.tissue().ordinal();
            if (c.place() == Place.CLOUD || c.place() == Place.CENTRAL_CLOUD) {
                RandomField field = new RandomField(seed, draw + i, WAVES, c.scaleMm());
                double spacing = Math.max(Math.min(1, c.scaleMm() / 4), largestRadius / 60);
                fields[i] = new Lattice(field, largestRadius + 1, spacing, workers);
            } else if (c.place() == Place.PATCHES) {
                patches[i] = patches(seed.draw(draw + i), c.count());
            }
        }
    }

    // Centres evenly in the unit ball, sizes from 1 to 2.
    private static double[][] patches(SplittableRandom random, int count) {
        double[][] patches = new double[count][];
        for (int i = 0; i < count; i++) {
            double z = 2 * random.nextDouble() - 1;
            double phi = 2 * Math.PI * random.nextDouble();
            double q = 0.8 * StrictMath.cbrt(random.nextDouble());
            double r = q * Math.sqrt(1 - z * z);
            patches[i] =
                    new double[] {r * StrictMath.cos(phi), r * StrictMath.sin(phi), q * z, 1 + random.nextDouble()};
        }
        return patches;
    }

    /**
     * Sets the thresholds from points that fill the lesion evenly.
     *
     * @param points x, y, z from the lesion's centre, and the share of the radius
     */
    void fit(double[][] points) {
        boolean[] taken = new boolean[points.length];
        for (int c = 0; c < thresholds.length; c++) {
            double[] free = new double[points.length];
            int count = 0;
            for (int i = 0; i < points.length; i++)
                if (!taken[i]) free[count++] = score(c, points[i][0], points[i][1], points[i][2], points[i][3]);
            free = Arrays.copyOf(free, count);
            Arrays.sort(free);
            thresholds[c] = threshold(free, (int) Math.round(settings.get(c).fraction() * points.length));
            int at = c;
            for (int i = 0; i < points.length; i++)
                taken[i] |= score(at, points[i][0], points[i][1], points[i][2], points[i][3]) > thresholds[at];
        }
    }

    private static double threshold(double[] sorted, int wanted) {
        if (wanted <= 0) return Double.MAX_VALUE;
        if (wanted >= sorted.length) return -Double.MAX_VALUE;
        return (sorted[sorted.length - wanted] + sorted[sorted.length - wanted - 1]) / 2;
    }

    /** The tissue's ordinal at a place from the lesion's centre, q its share of the radius. */
    byte tissueAt(double x, double y, double z, double q) {
        for (int c = 0; c < thresholds.length; c++)
            if (thresholds[c] < Double.MAX_VALUE && score(c, x, y, z, q) > thresholds[c]) return tissues[c];
        return base;
    }

    private double score(int c, double x, double y, double z, double q) {
        return switch (settings.get(c).place()) {
            case CORE -> -q;
            case RIM -> q;
            case CLOUD -> fields[c].at(x, y, z);
            case CENTRAL_CLOUD -> fields[c].at(x, y, z) - CENTRAL_PULL * q * q;
            case PATCHES -> patchScore(patches[c], x, y, z, q);
        };
    }

    private static double patchScore(double[][] patches, double x, double y, double z, double q) {
        double rho = Math.sqrt(x * x + y * y + z * z);
        double s = rho > 0 ? q / rho : 0;
        double best = -Double.MAX_VALUE;
        for (double[] p : patches) {
            double dx = x * s - p[0];
            double dy = y * s - p[1];
            double dz = z * s - p[2];
            best = Math.max(best, -(dx * dx + dy * dy + dz * dz) / (p[3] * p[3]));
        }
        return best;
    }
}
