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
 * of twice the bounding box. Cost: for n voxels of the bounding box in n_z slices, n (n_z + log n). Two frequencies
 * along z are held at a time, and the weights of four: about 32 slices of doubles, whatever the number of slices.
 *
 * <p>Source: IBSI reference manual, Moran's I index (N365) and Geary's C measure (NPT7); correlation theorem.
 */
final class SpatialCorrelation {
    // Lines that are transformed together: enough to fill the loops, few enough to stay in the cache.
    private static final int BLOCK = 16;
    // Voxels of a slice that are gone through at once, in as many rows: few enough to stay in the fastest cache.
    private static final int PIECE = 256;
    private static final int ROWS = PIECE / BLOCK;
    // Frequencies along z for which the distances are worked out together; 4 at most.
    private static final int WEIGHTS = 4;
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
    private final Intensities intensities;
    private final Mask region;
    private final Box box;
    private final int voxels;
    private final double mean;
    private double squares;
    private double weightSum;
    private double productSum;
    private double squareSum;

    static List<FeatureValue> measure(PreparedRegion region) {
        if (region.levels().isEmpty())
            return Feature.notMeasured(FEATURES, "no voxel is left after re-segmentation", Aggregations.VOLUME);
        SpatialCorrelation correlation = new SpatialCorrelation(region.values(), region.intensity());
        return Feature.of(FEATURES, correlation, Aggregations.VOLUME);
    }

    /** @param region with at least one voxel, on the intensities' box */
    SpatialCorrelation(Intensities intensities, Mask region) {
        this.box = region.boundingBox().orElseThrow(() -> new IllegalArgumentException("region must hold a voxel"));
        this.size = box.size();
        this.spacing = region.grid().spacing();
        this.region = region;
        this.intensities = intensities;
        this.voxels = region.count();
        this.mean = mean();
        intensities.forEach(region, x -> squares += (x - mean) * (x - mean));
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
        double[] sum = {0};
        float[] ends = {Float.POSITIVE_INFINITY, Float.NEGATIVE_INFINITY};
        intensities.forEach(region, x -> {
            sum[0] += x;
            ends[0] = Math.min(ends[0], x);
            ends[1] = Math.max(ends[1], x);
        });
        return ends[0] == ends[1] ? ends[0] : sum[0] / voxels;
    }

    /** Where a row of the box begins in the region's voxels. */
    private int maskRow(int y, int z) {
        return region.grid().offset(box.minX(), box.minY() + y, box.minZ() + z);
    }

    /** Where a row of the box begins in the image's voxels. */
    private int imageRow(int y, int z) {
        return box.minX() + intensities.row(box.minY() + y, box.minZ() + z);
    }

    /**
     * A piece of a transform along z, at frequency k and at N/2 − k: the even and the odd slices' shares of a real image
     * give both, X(k) = E + O and X(N/2 − k) = conj(E − O).
     */
    private static final class Waves {
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

        /** Two even and two odd shares, for other uses. */
        double[] share(int number, boolean isEven) {
            if (number % 2 == 0) return isEven ? evenRe : oddRe;
            return isEven ? evenIm : oddIm;
        }

        /** Puts the piece's two transforms at its place. */
        void join(BatchFft.Field first, BatchFft.Field second, int from, int length) {
            for (int i = 0; i < length; i++) {
                first.re[from + i] = evenRe[i] + oddRe[i];
                first.im[from + i] = evenIm[i] + oddIm[i];
                second.re[from + i] = evenRe[i] - oddRe[i];
                second.im[from + i] = oddIm[i] - evenIm[i];
            }
        }
    }

    private static void addTimes(double factor, double[] piece, double[] sum) {
        for (int i = 0; i < PIECE; i++) sum[i] += factor * piece[i];
    }

    /** Goes through the frequencies along z and sums up their shares. */
    private final class Spectra {
        private final int nx = size.x();
        private final int ny = size.y();
        private final int nz = size.z();
        private final BatchFft alongX = new BatchFft(BatchFft.lengthForTwice(nx));
        private final BatchFft alongY = new BatchFft(BatchFft.lengthForTwice(ny));
        private final int lengthZ = BatchFft.lengthForTwice(nz);
        private final boolean[] isFilled = filled();
        private final Waves[] waves = {new Waves(), new Waves(), new Waves()};
        private final double[] m = new double[PIECE];
        private final double[] difference = new double[PIECE];
        private final double[] squared = new double[PIECE];
        private final double[] weight = new double[PIECE];
        private final double[] acrossSlices = new double[PIECE];
        // Column blocks' slices of the three, each at k and at N/2 − k; later their lines along x, and those of the
        // weights.
        private final BatchFft.Field[] blocks = {block(), block(), block(), block(), block(), block()};
        // Region, y and y², each at k and at N/2 − k.
        private final Half[] halves = {half(ny(1)), half(ny(1)), half(ny(1)), half(ny(1)), half(ny(1)), half(ny(1))};
        // The weights of some frequencies: they are even along y too.
        private final Half[] weights = new Half[WEIGHTS];

        Spectra() {
            for (int i = 0; i < WEIGHTS; i++) weights[i] = half(ny(2) + 1);
        }

        private int ny(int parts) {
            return alongY.length() / parts;
        }

        private BatchFft.Field block() {
            return new BatchFft.Field(Math.max(alongX.length(), alongY.length()) * BLOCK);
        }

        private Half half(int frequencies) {
            return new Half(nx, frequencies);
        }

        /** Which pieces of which slices hold a voxel of the region. */
        private boolean[] filled() {
            boolean[] filled = new boolean[nz * (ny / ROWS + 1) * (nx / BLOCK + 1)];
            byte[] inside = region.voxels();
            for (int z = 0; z < nz; z++)
                for (int y = 0; y < ny; y++) {
                    int row = maskRow(y, z);
                    for (int x = 0; x < nx; x++) if (inside[row + x] != 0) filled[piece(x, y, z)] = true;
                }
            return filled;
        }

        private int piece(int x, int y, int z) {
            return (x / BLOCK * (ny / ROWS + 1) + y / ROWS) * nz + z;
        }

        void addAll() {
            int last = lengthZ / 4;
            for (int from = 0; from <= last; from += WEIGHTS) {
                int behind = Math.min(last + 1, from + WEIGHTS);
                weigh(from, behind);
                for (int k = from; k < behind; k++) {
                    // Frequencies 0 and N/2 are their own mirror images, N/4 stands for both of its pair.
                    int times = k == 0 ? 1 : 2;
                    boolean hasSecond = 4 * k < lengthZ;
                    transform(k);
                    add(weights[k - from], times, hasSecond);
                }
            }
            double points = (double) alongX.length() * alongY.length() * lengthZ;
            weightSum /= points;
            productSum /= points;
            squareSum /= points;
        }

        /** Region, differences and squares along z and y: some columns after the other. */
        private void transform(int k) {
            for (int x = 0; x < nx; x += BLOCK) {
                int lines = Math.min(BLOCK, nx - x);
                for (int y = 0; y < ny; y += ROWS) slices(k, x, y, lines);
                for (int i = 0; i < halves.length; i++) {
                    alongY.transformHalf(blocks[i], lines, ny);
                    halves[i].put(blocks[i], x, lines);
                }
            }
        }

        private void slices(int k, int x, int y, int lines) {
            int rows = Math.min(ROWS, ny - y);
            for (Waves w : waves) w.clear();
            for (int z = 0; z < nz; z++) {
                if (!isFilled[piece(x, y, z)]) continue;
                read(x, y, z, lines, rows);
                double cos = cos(z, k);
                double sin = -StrictMath.sin(2 * Math.PI * ((long) z * k % lengthZ) / lengthZ);
                for (int i = 0; i < PIECE; i++) squared[i] = difference[i] * difference[i];
                waves[0].add(m, z, cos, sin);
                waves[1].add(difference, z, cos, sin);
                waves[2].add(squared, z, cos, sin);
            }
            for (int i = 0; i < waves.length; i++)
                waves[i].join(blocks[2 * i], blocks[2 * i + 1], y * lines, rows * lines);
        }

        private void read(int fromX, int fromY, int z, int lines, int rows) {
            byte[] inside = region.voxels();
            float[] values = intensities.voxels();
            int to = 0;
            for (int y = fromY; y < fromY + rows; y++) {
                int at = maskRow(y, z) + fromX;
                int from = imageRow(y, z) + fromX;
                for (int x = 0; x < lines; x++, to++) {
                    m[to] = inside[at + x];
                    difference[to] = inside[at + x] == 0 ? 0 : values[from + x] - mean;
                }
            }
        }

        private double cos(int z, int k) {
            return StrictMath.cos(2 * Math.PI * ((long) z * k % lengthZ) / lengthZ);
        }

        /** The weights of frequencies along z and y. */
        private void weigh(int fromK, int behindK) {
            for (int x = 0; x < nx; x += BLOCK) {
                int lines = Math.min(BLOCK, nx - x);
                for (int y = 0; y < ny; y += ROWS) weighPiece(fromK, behindK, x, y, lines);
                for (int i = 0; i < behindK - fromK; i++) {
                    blocks[i].mirror(ny, alongY.length(), lines);
                    alongY.transform(blocks[i], lines);
                    weights[i].put(blocks[i], x, lines);
                }
            }
        }

        // The weights are even along z: only cosines, twice but for the difference 0.
        private void weighPiece(int fromK, int behindK, int x, int y, int lines) {
            int rows = Math.min(ROWS, ny - y);
            for (int i = 0; i < rows * lines; i++)
                acrossSlices[i] = square((x + i % lines) * spacing.x()) + square((y + i / lines) * spacing.y());
            for (Waves w : waves) w.clear();
            for (int z = 0; z < nz; z++) {
                inverseDistances(square(z * spacing.z()));
                if (x == 0 && y == 0 && z == 0) weight[0] = 0;
                for (int k = fromK; k < behindK; k++) {
                    Waves w = waves[(k - fromK) / 2];
                    addTimes((z == 0 ? 1 : 2) * cos(z, k), weight, w.share(k - fromK, z % 2 == 0));
                }
            }
            for (int i = 0; i < behindK - fromK; i++) {
                double[] even = waves[i / 2].share(i, true);
                double[] odd = waves[i / 2].share(i, false);
                for (int j = 0; j < rows * lines; j++) {
                    blocks[i].re[y * lines + j] = even[j] + odd[j];
                    blocks[i].im[y * lines + j] = even[j] - odd[j];
                }
            }
        }

        private void inverseDistances(double alongZ) {
            for (int i = 0; i < PIECE; i++) weight[i] = 1 / Math.sqrt(acrossSlices[i] + alongZ);
        }

        private void add(Half weight, int times, boolean hasSecond) {
            for (int k = 0; k < alongY.length(); k += BLOCK) {
                int lines = Math.min(BLOCK, alongY.length() - k);
                weightsAlongX(weight, k, lines);
                for (int second = 0; second <= (hasSecond ? 1 : 0); second++) {
                    for (int i = 0; i < 3; i++) alongX(halves[2 * i + second], k, lines, blocks[i]);
                    sum(second == 0 ? blocks[3].re : blocks[3].im, alongX.length() * lines, times);
                }
            }
        }

        private void alongX(Half half, int from, int lines, BatchFft.Field block) {
            half.get(from, lines, block);
            alongX.transformHalf(block, lines, nx);
        }

        // The weights of two frequencies are real and even, and so are their transforms: one serves both.
        private void weightsAlongX(Half half, int from, int lines) {
            half.getEven(from, lines, alongY.length(), blocks[3]);
            blocks[3].mirror(nx, alongX.length(), lines);
            alongX.transform(blocks[3], lines);
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

    private static double square(double x) {
        return x * x;
    }

    /** A slice after its transform along y: per x, one value per frequency along y. */
    private static final class Half {
        private final int nx;
        private final int frequencies;
        private final double[] re;
        private final double[] im;

        Half(int nx, int frequencies) {
            this.nx = nx;
            this.frequencies = frequencies;
            this.re = new double[nx * frequencies];
            this.im = new double[nx * frequencies];
        }

        /** Some columns. */
        void put(BatchFft.Field block, int x, int lines) {
            for (int line = 0; line < lines; line++)
                for (int k = 0; k < frequencies; k++) {
                    re[(x + line) * frequencies + k] = block.re[k * lines + line];
                    im[(x + line) * frequencies + k] = block.im[k * lines + line];
                }
        }

        /** Some frequencies. */
        void get(int from, int lines, BatchFft.Field block) {
            for (int x = 0; x < nx; x++) {
                System.arraycopy(re, x * frequencies + from, block.re, x * lines, lines);
                System.arraycopy(im, x * frequencies + from, block.im, x * lines, lines);
            }
        }

        /** The same of an even slice, of which the frequencies from 0 to N/2 are held. */
        void getEven(int from, int lines, int n, BatchFft.Field block) {
            for (int x = 0; x < nx; x++)
                for (int line = 0; line < lines; line++) {
                    int k = Math.min(from + line, n - from - line);
                    block.re[x * lines + line] = re[x * frequencies + k];
                    block.im[x * lines + line] = im[x * frequencies + k];
                }
        }
    }
}
