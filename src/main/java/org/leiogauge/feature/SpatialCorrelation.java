// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.table.FeatureValue;

/**
 * Moran's I and Geary's C of the intensities of a region, over all pairs of its voxels, weighted by 1 / distance in mm.
 *
 * <p>With y = x − μ and w(i, j) = 1 / d(i, j), w(i, i) = 0: I = N / Σw · Σw yᵢyⱼ / Σy²,
 * C = (N − 1) / (2 Σw) · Σw (yᵢ − yⱼ)² / Σy², where Σw (yᵢ − yⱼ)² = 2 Σw yᵢ² − 2 Σw yᵢyⱼ. The three double sums are those of
 * convolutions with 1 / d, had exactly (but for round-off) from the Fourier transforms of the region, y and y² on a grid
 * of twice the bounding box. Cost: n log n for n voxels of the bounding box.
 *
 * <p>Source: IBSI reference manual, Moran's I index (N365) and Geary's C measure (NPT7); correlation theorem.
 */
final class SpatialCorrelation {
    private static final String FLAT = "fewer than two voxels, or all intensities are equal";

    static final List<Feature<SpatialCorrelation>> FEATURES = List.of(
            Feature.of(
                    Family.SHAPE,
                    "moran's i index",
                    "N365",
                    "1",
                    "Correlation of intensities of pairs of voxels, weighted by 1 / distance",
                    FLAT,
                    SpatialCorrelation::moransI),
            Feature.of(
                    Family.SHAPE,
                    "geary's c measure",
                    "NPT7",
                    "1",
                    "Squared differences of intensities of pairs of voxels, weighted by 1 / distance",
                    FLAT,
                    SpatialCorrelation::gearysC));

    private final Size size;
    private final Spacing spacing;
    private final float[] intensities;
    private final byte[] inside;
    private final int voxels;
    private double squares;
    private final double[] weightSums = new double[3];
    private final BatchFft alongX;
    private final BatchFft alongY;
    private final BatchFft alongZ;
    private final double mean;

    static List<FeatureValue> measure(PreparedRegion region) {
        if (region.levels().isEmpty())
            return Feature.notMeasured(FEATURES, "no voxel is left after re-segmentation", Aggregations.VOLUME);
        SpatialCorrelation correlation = new SpatialCorrelation(region.intensities(), region.intensity());
        return Feature.of(FEATURES, correlation, Aggregations.VOLUME);
    }

    /** @param region with at least one voxel */
    SpatialCorrelation(float[] allIntensities, Mask region) {
        Box box = region.boundingBox().orElseThrow(() -> new IllegalArgumentException("region must hold a voxel"));
        Mask cut = region.crop(box);
        this.size = cut.grid().size();
        this.spacing = cut.grid().spacing();
        this.inside = cut.voxels();
        this.intensities = crop(allIntensities, region, box);
        this.voxels = region.count();
        this.mean = mean();
        alongX = new BatchFft(BatchFft.lengthForTwice(size.x()));
        alongY = new BatchFft(BatchFft.lengthForTwice(size.y()));
        alongZ = new BatchFft(BatchFft.lengthForTwice(size.z()));
        if (voxels > 1) correlate();
    }

    /** Not a number for a single voxel or equal intensities. */
    double moransI() {
        return voxels / weightSums[0] * weightSums[1] / squares;
    }

    /** Not a number for a single voxel or equal intensities. */
    double gearysC() {
        return (voxels - 1) / weightSums[0] * (weightSums[2] - weightSums[1]) / squares;
    }

    // Without round-off for equal intensities: the squares then are exactly 0.
    private double mean() {
        double sum = 0;
        float low = Float.POSITIVE_INFINITY;
        float high = Float.NEGATIVE_INFINITY;
        for (int i = 0; i < inside.length; i++) {
            if (inside[i] == 0) continue;
            sum += intensities[i];
            low = Math.min(low, intensities[i]);
            high = Math.max(high, intensities[i]);
        }
        return low == high ? low : sum / voxels;
    }

    private static float[] crop(float[] all, Mask region, Box box) {
        Size size = box.size();
        float[] cut = new float[size.voxels()];
        int to = 0;
        for (int z = box.minZ(); z <= box.maxZ(); z++)
            for (int y = box.minY(); y <= box.maxY(); y++, to += size.x())
                System.arraycopy(all, region.grid().offset(box.minX(), y, z), cut, to, size.x());
        return cut;
    }

    private void correlate() {
        int plane = size.x() * size.y();
        BatchFft.Field regionAndY = new BatchFft.Field(plane * alongZ.length());
        BatchFft.Field squareAndWeight = new BatchFft.Field(plane * alongZ.length());
        for (int i = 0; i < inside.length; i++) {
            if (inside[i] == 0) continue;
            double y = intensities[i] - mean;
            regionAndY.re[i] = 1;
            regionAndY.im[i] = y;
            squareAndWeight.re[i] = y * y;
            squares += y * y;
        }
        weights(squareAndWeight.im);
        alongZ.transformHalf(regionAndY, plane, size.z());
        alongZ.transform(squareAndWeight, plane);
        Spectra spectra = new Spectra();
        int half = alongZ.length() / 2;
        for (int k = 0; k <= half; k += 2) spectra.add(regionAndY, squareAndWeight, k, Math.min(k + 1, half));
        double points = (double) alongX.length() * alongY.length() * alongZ.length();
        for (int k = 0; k < 3; k++) weightSums[k] /= points;
    }

    /** 1 / d for the differences of index that the region may have; along z both ways. */
    private void weights(double[] into) {
        int plane = size.x() * size.y();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    double dx = x * spacing.x();
                    double dy = y * spacing.y();
                    double dz = z * spacing.z();
                    double weight = x + y + z == 0 ? 0 : 1 / Math.sqrt(dx * dx + dy * dy + dz * dz);
                    int i = y * size.x() + x;
                    into[z * plane + i] = weight;
                    if (z > 0) into[(alongZ.length() - z) * plane + i] = weight;
                }
    }

    /** The transforms of one or two frequencies along z, and their share in the sums. */
    private final class Spectra {
        private final int nx = size.x();
        private final int ny = size.y();
        private final int width = alongY.length();
        private final BatchFft.Field region = field();
        private final BatchFft.Field y = field();
        private final BatchFft.Field square = field();
        private final BatchFft.Field weight = field();

        private BatchFft.Field field() {
            return new BatchFft.Field(Math.max(alongX.length(), nx) * width);
        }

        // The weights of two frequencies are real and even, and so are their transforms: one transform serves both.
        void add(BatchFft.Field regionAndY, BatchFft.Field squareAndWeight, int first, int second) {
            weight(squareAndWeight, first, second);
            for (int k = first; k <= second; k++) {
                split(regionAndY, k);
                onlyReal(squareAndWeight, k);
                transform(region);
                transform(y);
                transform(square);
                boolean isOwnMirror = k == 0 || 2 * k == alongZ.length();
                add(k == first ? weight.re : weight.im, isOwnMirror ? 1 : 2);
            }
        }

        private void add(double[] w, int times) {
            double[] mr = region.re;
            double[] mi = region.im;
            double[] yr = y.re;
            double[] yi = y.im;
            double[] sr = square.re;
            double[] si = square.im;
            double pairs = 0;
            double products = 0;
            double squared = 0;
            int n = alongX.length() * width;
            for (int i = 0; i < n; i++) {
                pairs += w[i] * (mr[i] * mr[i] + mi[i] * mi[i]);
                products += w[i] * (yr[i] * yr[i] + yi[i] * yi[i]);
                squared += w[i] * (mr[i] * sr[i] + mi[i] * si[i]);
            }
            weightSums[0] += times * pairs;
            weightSums[1] += times * products;
            weightSums[2] += times * squared;
        }

        // The transform of a + i b, a and b real, at k and −k gives those of a and of b at k.
        private void split(BatchFft.Field both, int k) {
            int plane = nx * ny;
            int at = k * plane;
            int mirror = (alongZ.length() - k) % alongZ.length() * plane;
            for (int i = 0; i < plane; i++) {
                region.re[i] = 0.5 * (both.re[at + i] + both.re[mirror + i]);
                region.im[i] = 0.5 * (both.im[at + i] - both.im[mirror + i]);
                y.re[i] = 0.5 * (both.im[at + i] + both.im[mirror + i]);
                y.im[i] = 0.5 * (both.re[mirror + i] - both.re[at + i]);
            }
        }

        private void onlyReal(BatchFft.Field both, int k) {
            int plane = nx * ny;
            int at = k * plane;
            int mirror = (alongZ.length() - k) % alongZ.length() * plane;
            for (int i = 0; i < plane; i++) {
                square.re[i] = 0.5 * (both.re[at + i] + both.re[mirror + i]);
                square.im[i] = 0.5 * (both.im[at + i] - both.im[mirror + i]);
            }
        }

        private void weight(BatchFft.Field both, int first, int second) {
            clear(weight);
            onlyImaginary(both, first, weight.re);
            onlyImaginary(both, second, weight.im);
            alongY.transform(weight, nx);
            weight.transpose(width, nx);
            Arrays.fill(weight.re, nx * width, alongX.length() * width, 0);
            Arrays.fill(weight.im, nx * width, alongX.length() * width, 0);
            for (int x = 1; x < nx; x++) {
                System.arraycopy(weight.re, x * width, weight.re, (alongX.length() - x) * width, width);
                System.arraycopy(weight.im, x * width, weight.im, (alongX.length() - x) * width, width);
            }
            alongX.transform(weight, width);
        }

        private void onlyImaginary(BatchFft.Field both, int k, double[] into) {
            int plane = nx * ny;
            int at = k * plane;
            int mirror = (alongZ.length() - k) % alongZ.length() * plane;
            for (int i = 0; i < plane; i++) into[i] = 0.5 * (both.im[at + i] + both.im[mirror + i]);
            for (int row = 1; row < ny; row++) System.arraycopy(into, row * nx, into, (alongY.length() - row) * nx, nx);
        }

        private void transform(BatchFft.Field f) {
            alongY.transformHalf(f, nx, ny);
            f.transpose(width, nx);
            alongX.transformHalf(f, width, nx);
        }

        private void clear(BatchFft.Field f) {
            Arrays.fill(f.re, 0);
            Arrays.fill(f.im, 0);
        }
    }
}
