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
 * of twice the bounding box. Cost: for n voxels of the bounding box in n_z slices, n (n_z + log n). One or two frequencies
 * along z are held at a time: about 8 bytes per voxel and 45 slices of doubles.
 *
 * <p>Source: IBSI reference manual, Moran's I index (N365) and Geary's C measure (NPT7); correlation theorem.
 */
final class SpatialCorrelation {
    // Voxels of a slice that are gone through at once: few enough to stay in the fastest cache.
    private static final int PIECE = 256;
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
    private final double mean;
    private double squares;
    private double weightSum;
    private double productSum;
    private double squareSum;

    static List<FeatureValue> measure(PreparedRegion region) {
        if (region.levels().isEmpty())
            return Feature.notMeasured(FEATURES, "no voxel is left after re-segmentation", Aggregations.VOLUME);
        SpatialCorrelation correlation = new SpatialCorrelation(region.intensities(), region.intensity());
        return Feature.of(FEATURES, correlation, Aggregations.VOLUME);
    }

    /** @param region with at least one voxel */
    SpatialCorrelation(float[] allIntensities, Mask region) {
        Box box = region.boundingBox().orElseThrow(() -> new IllegalArgumentException("region must hold a voxel"));
        boolean isWhole = box.size().equals(region.grid().size());
        Mask cut = isWhole ? region : region.crop(box);
        this.size = cut.grid().size();
        this.spacing = cut.grid().spacing();
        this.inside = cut.voxels();
        this.intensities = isWhole ? allIntensities : crop(allIntensities, region, box);
        this.voxels = region.count();
        this.mean = mean();
        for (int i = 0; i < inside.length; i++)
            if (inside[i] != 0) squares += (intensities[i] - mean) * (intensities[i] - mean);
        if (voxels > 1) new Spectra().addAll();
    }

    /** Not a number for a single voxel or equal intensities. */
    double moransI() {
        return voxels / weightSum * productSum / squares;
    }

    /** Not a number for a single voxel or equal intensities. */
    double gearysC() {
        return (voxels - 1) / weightSum * (squareSum - productSum) / squares;
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

    private float[] crop(float[] all, Mask region, Box box) {
        float[] cut = new float[size.voxels()];
        int to = 0;
        for (int z = box.minZ(); z <= box.maxZ(); z++)
            for (int y = box.minY(); y <= box.maxY(); y++, to += size.x())
                System.arraycopy(all, region.grid().offset(box.minX(), y, z), cut, to, size.x());
        return cut;
    }

    /** 1 / d for the differences of index that the region may have. */
    private double[] weights() {
        double[] weights = new double[size.voxels()];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                double across = Math.pow(y * spacing.y(), 2) + Math.pow(z * spacing.z(), 2);
                for (int x = 0; x < size.x(); x++, i++) {
                    double along = x * spacing.x();
                    weights[i] = i == 0 ? 0 : 1 / Math.sqrt(along * along + across);
                }
            }
        return weights;
    }

    /**
     * A slice of a transform along z, at frequency k and at N/2 − k: the even and the odd slices' shares of a real image
     * give both, X(k) = E + O and X(N/2 − k) = conj(E − O).
     */
    private final class Slices {
        final double[] firstRe = new double[size.x() * size.y()];
        final double[] firstIm = new double[size.x() * size.y()];
        final double[] secondRe = new double[size.x() * size.y()];
        final double[] secondIm = new double[size.x() * size.y()];
        // Of one piece of the slice.
        private final double[] evenRe = new double[PIECE];
        private final double[] evenIm = new double[PIECE];
        private final double[] oddRe = new double[PIECE];
        private final double[] oddIm = new double[PIECE];

        void clear() {
            for (double[] share : List.of(evenRe, evenIm, oddRe, oddIm)) Arrays.fill(share, 0);
        }

        void add(double[] piece, int z, double cos, double sin) {
            addTimes(cos, piece, z % 2 == 0 ? evenRe : oddRe);
            addTimes(sin, piece, z % 2 == 0 ? evenIm : oddIm);
        }

        /** Puts the piece's two transforms at its place in the slice. */
        void join(int from, int length) {
            for (int i = 0; i < length; i++) {
                firstRe[from + i] = evenRe[i] + oddRe[i];
                firstIm[from + i] = evenIm[i] + oddIm[i];
                secondRe[from + i] = evenRe[i] - oddRe[i];
                secondIm[from + i] = oddIm[i] - evenIm[i];
            }
        }
    }

    private static void addTimes(double factor, double[] piece, double[] sum) {
        for (int i = 0; i < PIECE; i++) sum[i] += factor * piece[i];
    }

    /** Goes through the frequencies along z and sums up their shares. */
    private final class Spectra {
        // Lines that are transformed together: enough to fill the loops, few enough to stay in the cache.
        private static final int BLOCK = 32;

        private final int nx = size.x();
        private final int ny = size.y();
        private final int plane = nx * ny;
        private final BatchFft alongX = new BatchFft(BatchFft.lengthForTwice(nx));
        private final BatchFft alongY = new BatchFft(BatchFft.lengthForTwice(ny));
        private final int lengthZ = BatchFft.lengthForTwice(size.z());
        private final double[] weights = weights();
        private final Slices region = new Slices();
        private final Slices y = new Slices();
        private final Slices square = new Slices();
        private final double[] m = new double[PIECE];
        private final double[] difference = new double[PIECE];
        private final double[] squared = new double[PIECE];
        private final double[] firstWeight = new double[plane];
        private final double[] secondWeight = new double[plane];
        // Region, y and y² at k, the same at N/2 − k, and the weights of both.
        private final Half[] halves = {
            new Half(), new Half(), new Half(), new Half(), new Half(), new Half(), new Half()
        };
        private final BatchFft.Field[] blocks = {block(), block(), block(), block()};

        private BatchFft.Field block() {
            return new BatchFft.Field(Math.max(alongX.length(), alongY.length()) * BLOCK);
        }

        /** A slice after its transform along y: per x, one value per frequency along y. */
        private final class Half {
            final double[] re = new double[nx * alongY.length()];
            final double[] im = new double[nx * alongY.length()];
        }

        void addAll() {
            int half = lengthZ / 2;
            for (int k = 0; 2 * k <= half; k++) {
                slices(k);
                weightSlices(k);
                alongY(region.firstRe, region.firstIm, halves[0], false);
                alongY(y.firstRe, y.firstIm, halves[1], false);
                alongY(square.firstRe, square.firstIm, halves[2], false);
                alongY(region.secondRe, region.secondIm, halves[3], false);
                alongY(y.secondRe, y.secondIm, halves[4], false);
                alongY(square.secondRe, square.secondIm, halves[5], false);
                alongY(firstWeight, secondWeight, halves[6], true);
                // Frequencies 0 and N/2 are their own mirror images, N/4 stands for both of its pair.
                add(k == 0 ? 1 : 2, 2 * k < half);
            }
            double points = (double) alongX.length() * alongY.length() * lengthZ;
            weightSum /= points;
            productSum /= points;
            squareSum /= points;
        }

        // A piece of a slice after the other, each through all slices.
        private void slices(int k) {
            for (int from = 0; from < plane; from += PIECE) {
                int length = Math.min(PIECE, plane - from);
                for (Slices slices : List.of(region, y, square)) slices.clear();
                for (int z = 0; z < size.z(); z++) addPiece(k, z, z * plane + from, length);
                for (Slices slices : List.of(region, y, square)) slices.join(from, length);
            }
        }

        private void addPiece(int k, int z, int from, int length) {
            for (int i = 0; i < length; i++) {
                m[i] = inside[from + i];
                difference[i] = m[i] == 0 ? 0 : intensities[from + i] - mean;
            }
            for (int i = 0; i < PIECE; i++) squared[i] = difference[i] * difference[i];
            double cos = cos(z, k);
            double sin = -StrictMath.sin(2 * Math.PI * ((long) z * k % lengthZ) / lengthZ);
            region.add(m, z, cos, sin);
            y.add(difference, z, cos, sin);
            square.add(squared, z, cos, sin);
        }

        private double cos(int z, int k) {
            return StrictMath.cos(2 * Math.PI * ((long) z * k % lengthZ) / lengthZ);
        }

        // The weights are even along z: only cosines, twice but for the difference 0.
        private void weightSlices(int k) {
            double[] piece = new double[PIECE];
            double[] first = new double[PIECE];
            double[] second = new double[PIECE];
            for (int from = 0; from < plane; from += PIECE) {
                int length = Math.min(PIECE, plane - from);
                Arrays.fill(first, 0);
                Arrays.fill(second, 0);
                for (int z = 0; z < size.z(); z++) {
                    double cosine = (z == 0 ? 1 : 2) * cos(z, k);
                    System.arraycopy(weights, z * plane + from, piece, 0, length);
                    addTimes(cosine, piece, first);
                    addTimes(z % 2 == 0 ? cosine : -cosine, piece, second);
                }
                System.arraycopy(first, 0, firstWeight, from, length);
                System.arraycopy(second, 0, secondWeight, from, length);
            }
        }

        /** Transforms a slice along y, some columns at a time. Where it is even its mirror image is put behind it. */
        private void alongY(double[] re, double[] im, Half into, boolean isEven) {
            BatchFft.Field block = blocks[0];
            int length = alongY.length();
            for (int x = 0; x < nx; x += BLOCK) {
                int lines = Math.min(BLOCK, nx - x);
                for (int row = 0; row < ny; row++) {
                    System.arraycopy(re, row * nx + x, block.re, row * lines, lines);
                    System.arraycopy(im, row * nx + x, block.im, row * lines, lines);
                }
                transform(alongY, block, lines, ny, isEven);
                for (int line = 0; line < lines; line++)
                    for (int k = 0; k < length; k++) {
                        into.re[(x + line) * length + k] = block.re[k * lines + line];
                        into.im[(x + line) * length + k] = block.im[k * lines + line];
                    }
            }
        }

        private void transform(BatchFft fft, BatchFft.Field block, int lines, int filled, boolean isEven) {
            if (isEven) {
                block.mirror(filled, fft.length(), lines);
                fft.transform(block, lines);
            } else fft.transformHalf(block, lines, filled);
        }

        private void add(int times, boolean hasSecond) {
            int length = alongY.length();
            for (int k = 0; k < length; k += BLOCK) {
                int lines = Math.min(BLOCK, length - k);
                alongX(halves[6], k, lines, blocks[3]);
                for (int first = 0; first <= (hasSecond ? 3 : 0); first += 3) {
                    for (int f = 0; f < 3; f++) alongX(halves[first + f], k, lines, blocks[f]);
                    // The weights of two frequencies are real and even, and so are their transforms: one serves both.
                    sum(first == 0 ? blocks[3].re : blocks[3].im, alongX.length() * lines, times);
                }
            }
        }

        private void alongX(Half half, int from, int lines, BatchFft.Field block) {
            int length = alongY.length();
            for (int x = 0; x < nx; x++) {
                System.arraycopy(half.re, x * length + from, block.re, x * lines, lines);
                System.arraycopy(half.im, x * length + from, block.im, x * lines, lines);
            }
            transform(alongX, block, lines, nx, half == halves[6]);
        }

        private void sum(double[] w, int n, int times) {
            double[] mr = blocks[0].re;
            double[] mi = blocks[0].im;
            double[] yr = blocks[1].re;
            double[] yi = blocks[1].im;
            double[] sr = blocks[2].re;
            double[] si = blocks[2].im;
            double pairs = 0;
            double products = 0;
            double squared = 0;
            for (int i = 0; i < n; i++) {
                pairs += w[i] * (mr[i] * mr[i] + mi[i] * mi[i]);
                products += w[i] * (yr[i] * yr[i] + yi[i] * yi[i]);
                squared += w[i] * (mr[i] * sr[i] + mi[i] * si[i]);
            }
            weightSum += times * pairs;
            productSum += times * products;
            squareSum += times * squared;
        }
    }
}
