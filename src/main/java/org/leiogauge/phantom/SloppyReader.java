// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.image.Contour;
import org.leiogauge.task.Seed;

/**
 * A reader in a hurry: draws on few slices, with few points, beside the line.
 *
 * <p>The deviation along the line's normal is a trigonometric sum of the arc length with waves 0 to 4, whose root mean
 * square over the line is as asked on every slice, but at most a fifth of the section's own size (√(area / π)). Only the
 * largest piece of a slice is drawn.
 */
final class SloppyReader {
    private static final int WAVES = 4;
    private static final int FEWEST_POINTS = 16;
    private static final int MORE_POINTS = 9;
    private static final double LARGEST_SHARE = 0.2;
    private static final int FINE = 360;

    private SloppyReader() {}

    /**
     * @param outlines the true ones of all slices, in their order
     * @param firstDraw each slice has its own, from here on
     */
    static List<Contour> draw(List<SliceOutline> outlines, PhantomSettings settings, long firstDraw) {
        List<Integer> drawn = slices(outlines, settings.readerSlices());
        List<Contour> contours = new ArrayList<>();
        for (int slice : drawn) {
            SplittableRandom random = new Seed(settings.seed()).draw(firstDraw + slice);
            SliceOutline outline = outlines.get(slice);
            contours.add(outline.contour(beside(largest(outline), settings.readerJitterMm(), random)));
        }
        return contours;
    }

    // Every so manieth of the slices that the lesion is on, such that as much is left out at either end.
    private static List<Integer> slices(List<SliceOutline> outlines, int every) {
        List<Integer> on = new ArrayList<>();
        for (int i = 0; i < outlines.size(); i++) if (!outlines.get(i).lines().isEmpty()) on.add(i);
        List<Integer> drawn = new ArrayList<>();
        for (int i = (on.size() - 1) % every / 2; i < on.size(); i += every) drawn.add(on.get(i));
        return drawn;
    }

    private static double[][] largest(SliceOutline outline) {
        return outline.lines().stream()
                .max(Comparator.comparingDouble(SliceOutline::area))
                .orElseThrow();
    }

    /** The line moved along its normal, with 16 to 24 points. */
    static double[][] beside(double[][] line, double jitterMm, SplittableRandom random) {
        double size = Math.sqrt(Math.abs(SliceOutline.area(line)) / Math.PI);
        double[] waves = waves(Math.min(jitterMm, LARGEST_SHARE * size), random);
        int count = FEWEST_POINTS + random.nextInt(MORE_POINTS);
        double start = random.nextDouble();
        double[][] fine = SliceOutline.evenly(line, FINE);
        double[][] points = new double[count][];
        for (int i = 0; i < count; i++) {
            double share = (start + (double) i / count) % 1;
            int at = (int) (share * FINE) % FINE;
            double[] before = fine[(at + FINE - 3) % FINE];
            double[] after = fine[(at + 3) % FINE];
            double length = Math.hypot(after[0] - before[0], after[1] - before[1]);
            double out = length > 0 ? deviation(waves, share) / length : 0;
            points[i] =
                    new double[] {fine[at][0] + out * (after[1] - before[1]), fine[at][1] - out * (after[0] - before[0])
                    };
        }
        return points;
    }

    // Coefficients of 1, then √2 cos and √2 sin of each wave: orthonormal over the line.
    private static double[] waves(double rms, SplittableRandom random) {
        double[] waves = new double[2 * WAVES + 1];
        double square = 0;
        for (int i = 0; i < waves.length; i++) {
            waves[i] = Gaussian.next(random);
            square += waves[i] * waves[i];
        }
        for (int i = 0; i < waves.length; i++) waves[i] *= rms / Math.sqrt(square);
        return waves;
    }

    private static double deviation(double[] waves, double share) {
        double sum = waves[0];
        for (int k = 1; k <= WAVES; k++) {
            double angle = 2 * Math.PI * k * share;
            sum += Math.sqrt(2) * (waves[2 * k - 1] * StrictMath.cos(angle) + waves[2 * k] * StrictMath.sin(angle));
        }
        return sum;
    }
}
