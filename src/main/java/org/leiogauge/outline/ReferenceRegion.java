// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import java.util.Locale;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/**
 * The signal of a reference tissue in a region that a reader placed, or the reason why it cannot serve as one.
 *
 * <p>Signal: the median over the region's n voxels, in the image's unit. Spread: 1.4826 × the median distance from the
 * median. Error of the median: √(π/2) · spread / √n. Refused: too few voxels; a median not above 0; mixed, a spread above
 * a share of the median; too noisy, an error above a share of the median; inhomogeneous, halves left and right of, before
 * and behind, below and above the region's centre whose medians differ by more than a share of the median and twice the
 * error of that difference (a border or a gradient runs through it).
 *
 * <p>Source: common practice, no source; the limits are settings.
 */
public final class ReferenceRegion {
    // A median of normal values scatters by so much of what their mean does.
    private static final double OF_MEDIAN = Math.sqrt(Math.PI / 2);

    private ReferenceRegion() {}

    /**
     * @param fewestVoxels fewer are refused
     * @param largestSpread robust standard deviation over median
     * @param largestError error of the median over median
     * @param largestStep difference of the medians of two halves over the median
     */
    public record Settings(int fewestVoxels, double largestSpread, double largestError, double largestStep) {
        public Settings {
            if (fewestVoxels < 1)
                throw new IllegalArgumentException("fewestVoxels must be 1 or more, got " + fewestVoxels);
            if (!(largestSpread > 0 && largestError > 0 && largestStep > 0))
                throw new IllegalArgumentException("largestSpread, largestError and largestStep must be > 0, got "
                        + largestSpread + ", " + largestError + ", " + largestStep);
        }

        public static Settings standard() {
            return new Settings(5, 0.5, 0.1, 0.25);
        }
    }

    /** What became of a region. */
    public sealed interface Reference {}

    /** In the image's unit. */
    public record Accepted(double median, double spread, int voxels) implements Reference {}

    public record Refused(String reason) implements Reference {}

    /** The voxels of a grid whose centres lie within a radius, in mm, of a point; may be empty. */
    public static Mask ball(Grid grid, Point centre, double radiusMm) {
        if (!(radiusMm > 0 && radiusMm < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException("radiusMm must be finite and > 0, got " + radiusMm);
        Size size = grid.size();
        Index at = grid.index(centre);
        byte[] voxels = new byte[size.voxels()];
        int[] x = range(at.x(), radiusMm / grid.spacing().x(), size.x());
        int[] y = range(at.y(), radiusMm / grid.spacing().y(), size.y());
        int[] z = range(at.z(), radiusMm / grid.spacing().z(), size.z());
        for (int k = z[0]; k <= z[1]; k++)
            for (int j = y[0]; j <= y[1]; j++)
                for (int i = x[0]; i <= x[1]; i++)
                    if (grid.point(i, j, k).distance(centre) <= radiusMm) voxels[grid.offset(i, j, k)] = 1;
        return new Mask(grid, voxels);
    }

    public static Reference measure(Volume image, Mask region, Settings settings) {
        if (!region.grid().size().equals(image.grid().size()))
            throw new IllegalArgumentException("region must have the image's size "
                    + image.grid().size() + ", got " + region.grid().size());
        // A region is small, and is looked at several times.
        return region.boundingBox()
                .map(box -> measureInside(image.crop(box), region.crop(box), settings))
                .orElseGet(() -> tooFew(0, settings));
    }

    private static Refused tooFew(int voxels, Settings settings) {
        return new Refused("region holds " + voxels + " voxels with a value, " + settings.fewestVoxels() + " needed");
    }

    private static Reference measureInside(Volume image, Mask region, Settings settings) {
        double[] values = values(image, region, i -> true);
        if (values.length < settings.fewestVoxels()) return tooFew(values.length, settings);
        double median = median(values);
        if (!(median > 0)) return new Refused(text("its median signal %.4g is not above 0", median));
        double[] away =
                Arrays.stream(values).map(v -> Math.abs(v - median)).sorted().toArray();
        double spread = 1.4826 * median(away);
        if (spread > settings.largestSpread() * median)
            return new Refused(
                    text("mixed: spread %.3g of the median, at most %.3g", spread / median, settings.largestSpread()));
        double error = OF_MEDIAN * spread / Math.sqrt(values.length);
        if (error > settings.largestError() * median)
            return new Refused(
                    text("too noisy: error %.3g of the median, at most %.3g", error / median, settings.largestError()));
        double step = largestStep(image, region, spread) / median;
        if (step > settings.largestStep())
            return new Refused(text(
                    "inhomogeneous: halves differ by %.3g of the median, at most %.3g", step, settings.largestStep()));
        return new Accepted(median, spread, values.length);
    }

    // Less what noise alone may do.
    private static double largestStep(Volume image, Mask region, double spread) {
        Size size = image.grid().size();
        int[] extent = {1, size.x(), size.x() * size.y(), size.voxels()};
        double largest = 0;
        for (int axis = 0; axis < 3; axis++) {
            int stride = extent[axis];
            int length = extent[axis + 1] / stride;
            double sum = 0;
            for (int i = 0; i < region.voxels().length; i++) sum += region.voxels()[i] * (i / stride % length);
            double centre = sum / region.count();
            double[] before = values(image, region, i -> i / stride % length < centre);
            double[] after = values(image, region, i -> i / stride % length > centre);
            if (before.length == 0 || after.length == 0) continue;
            double noise = 2 * OF_MEDIAN * spread * Math.sqrt(1.0 / before.length + 1.0 / after.length);
            largest = Math.max(largest, Math.abs(median(before) - median(after)) - noise);
        }
        return largest;
    }

    /** Whether a voxel counts. */
    @FunctionalInterface
    private interface Choice {
        boolean has(int offset);
    }

    private static double[] values(Volume image, Mask region, Choice choice) {
        double[] values = new double[region.count()];
        int n = 0;
        for (int i = 0; i < region.voxels().length; i++)
            if (region.voxels()[i] != 0 && !Float.isNaN(image.voxels()[i]) && choice.has(i))
                values[n++] = image.voxels()[i];
        values = Arrays.copyOf(values, n);
        Arrays.sort(values);
        return values;
    }

    private static double median(double[] ascending) {
        int n = ascending.length;
        return (ascending[(n - 1) / 2] + ascending[n / 2]) / 2;
    }

    private static int[] range(double at, double reach, int size) {
        return new int[] {
            (int) Math.max(0, Math.ceil(at - reach - 1e-9)), (int) Math.min(size - 1.0, Math.floor(at + reach + 1e-9))
        };
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }
}
