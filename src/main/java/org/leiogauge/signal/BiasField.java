// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.QRDecomposition;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The smooth multiplicative field that coils lay over an image, estimated inside the body and divided out.
 *
 * <p>ln I = ln u + ln b + noise. Inside one tissue the differences of ln I between neighbours are those of ln b; where
 * tissue changes they are outliers. So ln b, a sum of Legendre products up to a total degree over the body's box, is
 * fitted to the neighbour differences of block means by iterated least squares with the weights (1 + (r/s)²)⁻², s a
 * fixed share of the residuals' robust standard deviation. The field has mean 1 in the body, no unit. Voxels that are
 * not above 0 are left out. For T1- and T2-weighted images only: separate fields would spoil ADC and enhancement.
 *
 * <p>Source: field from the gradient of the logarithm: Vovk, Pernuš and Likar 2007, A review of methods for correction
 * of intensity inhomogeneity in MRI, doi:10.1109/TMI.2006.891486, section on gradient-based surface fitting; weights:
 * Geman and McClure 1987.
 */
public final class BiasField {
    private static final int ITERATIONS = 20;
    private static final int DIFFERENCES_PER_TERM = 30;

    private BiasField() {}

    /**
     * @param degree total degree of the polynomial, 1 to 5; lowered where the body is too small for it
     * @param blockMm edge of the blocks that are averaged, in mm
     * @param strictness where a difference begins to count as an edge, in robust standard deviations
     * @param largestStep blocks whose neighbourhood spans more than this in ln I are left out as edges
     */
    public record Settings(int degree, double blockMm, double strictness, double largestStep) {
        public Settings {
            if (degree < 1 || degree > 5) throw new IllegalArgumentException("degree must be 1 to 5, got " + degree);
            if (!(blockMm > 0 && strictness > 0 && largestStep > 0))
                throw new IllegalArgumentException("blockMm, strictness and largestStep must be > 0, got " + blockMm
                        + ", " + strictness + ", " + largestStep);
        }

        public static Settings standard() {
            return new Settings(3, 4, 0.4, 0.5);
        }
    }

    /**
     * @param field on the image's grid, mean 1 in the body; beyond the body's box it stays as at its border
     * @param corrected the image over the field
     * @param smallest the field's smallest value in the body
     * @param largest the field's largest value in the body
     * @param degree the degree that was fitted; 0: the body was too small, the field is 1
     */
    public record Estimate(Volume field, Volume corrected, double smallest, double largest, int degree) {}

    public static Estimate estimate(Volume image, Mask body, Settings settings, Workers workers, Progress progress) {
        if (!body.grid().size().equals(image.grid().size()))
            throw new IllegalArgumentException("body must have the image's size "
                    + image.grid().size() + ", got " + body.grid().size());
        if (body.isEmpty()) throw new IllegalArgumentException("body must hold a voxel, got none");
        Blocks blocks = Blocks.of(image, body, settings);
        for (int degree = settings.degree(); degree > 0; degree--) {
            Polynomial polynomial = new Polynomial(degree, body.boundingBox().orElseThrow());
            Differences differences = Differences.of(blocks, polynomial, workers);
            if (differences.count() < DIFFERENCES_PER_TERM * polynomial.terms()) continue;
            double[] coefficients = fit(differences, settings, workers, progress);
            return divide(image, body, polynomial, coefficients, degree, workers);
        }
        Polynomial flat = new Polynomial(0, body.boundingBox().orElseThrow());
        return divide(image, body, flat, new double[0], 0, workers);
    }

    private static double[] fit(Differences d, Settings settings, Workers workers, Progress progress) {
        double[] c = new double[d.terms];
        for (int iteration = 0; iteration < ITERATIONS; iteration++) {
            progress.at(iteration / (double) ITERATIONS);
            double scale = settings.strictness() * d.robustDeviation(c, workers);
            if (!(scale > 0)) return c;
            double[][] normal = d.normalEquations(scale, workers);
            double[] right = normal[d.terms];
            c = new QRDecomposition(new Array2DRowRealMatrix(Arrays.copyOf(normal, d.terms), false), 1e-300)
                    .getSolver()
                    .solve(new ArrayRealVector(right))
                    .toArray();
        }
        return c;
    }

    private static Estimate divide(
            Volume image, Mask body, Polynomial polynomial, double[] c, int degree, Workers workers) {
        Grid grid = image.grid();
        Size size = grid.size();
        int slice = size.x() * size.y();
        float[] field = new float[size.voxels()];
        List<double[]> slices = workers.map(size.z(), z -> {
            double[] sumMinMax = {0, Double.POSITIVE_INFINITY, 0};
            for (int y = 0; y < size.y(); y++) {
                double[] alongX = polynomial.alongRow(c, y, z);
                for (int x = 0; x < size.x(); x++) {
                    int i = z * slice + y * size.x() + x;
                    double b = Math.exp(polynomial.at(alongX, x));
                    field[i] = (float) b;
                    if (body.voxels()[i] == 0) continue;
                    sumMinMax[0] += b;
                    sumMinMax[1] = Math.min(sumMinMax[1], b);
                    sumMinMax[2] = Math.max(sumMinMax[2], b);
                }
            }
            return sumMinMax;
        });
        double mean = slices.stream().mapToDouble(s -> s[0]).sum() / body.count();
        double smallest = slices.stream().mapToDouble(s -> s[1]).min().orElseThrow() / mean;
        double largest = slices.stream().mapToDouble(s -> s[2]).max().orElseThrow() / mean;
        float[] corrected = new float[field.length];
        workers.forEach(size.z(), z -> {
            for (int i = z * slice; i < (z + 1) * slice; i++) {
                field[i] /= (float) mean;
                corrected[i] = image.voxels()[i] / field[i];
            }
        });
        return new Estimate(new Volume(grid, field), new Volume(grid, corrected), smallest, largest, degree);
    }

    /** Logarithms of block means inside the body; NaN for blocks that are not whole, or that lie at an edge. */
    private record Blocks(Size size, int[] factor, float[] log) {
        static Blocks of(Volume image, Mask body, Settings settings) {
            Grid grid = image.grid();
            int[] factor = {
                perBlock(settings.blockMm(), grid.spacing().x(), grid.size().x()),
                perBlock(settings.blockMm(), grid.spacing().y(), grid.size().y()),
                perBlock(settings.blockMm(), grid.spacing().z(), grid.size().z())
            };
            Size size = new Size(
                    grid.size().x() / factor[0],
                    grid.size().y() / factor[1],
                    grid.size().z() / factor[2]);
            float[] log = new float[size.voxels()];
            int i = 0;
            for (int z = 0; z < size.z(); z++)
                for (int y = 0; y < size.y(); y++)
                    for (int x = 0; x < size.x(); x++) log[i++] = mean(image, body, factor, x, y, z);
            return new Blocks(size, factor, withoutEdges(size, log, settings.largestStep()));
        }

        private static int perBlock(double blockMm, double spacing, int size) {
            return (int) Math.max(1, Math.min(size, Math.round(blockMm / spacing)));
        }

        private static float mean(Volume image, Mask body, int[] f, int bx, int by, int bz) {
            double sum = 0;
            for (int z = bz * f[2]; z < (bz + 1) * f[2]; z++)
                for (int y = by * f[1]; y < (by + 1) * f[1]; y++)
                    for (int x = bx * f[0]; x < (bx + 1) * f[0]; x++) {
                        int i = image.grid().offset(x, y, z);
                        if (body.voxels()[i] == 0) return Float.NaN;
                        sum += image.voxels()[i];
                    }
            return sum > 0 ? (float) Math.log(sum / (f[0] * f[1] * f[2])) : Float.NaN;
        }

        private static float[] withoutEdges(Size size, float[] log, double largestStep) {
            float[] kept = new float[log.length];
            int i = 0;
            for (int z = 0; z < size.z(); z++)
                for (int y = 0; y < size.y(); y++)
                    for (int x = 0; x < size.x(); x++, i++)
                        kept[i] = range(size, log, x, y, z) > largestStep ? Float.NaN : log[i];
            return kept;
        }

        private static float range(Size size, float[] log, int cx, int cy, int cz) {
            float least = Float.POSITIVE_INFINITY;
            float most = Float.NEGATIVE_INFINITY;
            for (int z = Math.max(cz - 1, 0); z <= Math.min(cz + 1, size.z() - 1); z++)
                for (int y = Math.max(cy - 1, 0); y <= Math.min(cy + 1, size.y() - 1); y++)
                    for (int x = Math.max(cx - 1, 0); x <= Math.min(cx + 1, size.x() - 1); x++) {
                        float v = log[(z * size.y() + y) * size.x() + x];
                        if (Float.isNaN(v)) continue;
                        least = Math.min(least, v);
                        most = Math.max(most, v);
                    }
            return most - least;
        }

        double centre(int axis, int block) {
            return block * factor[axis] + (factor[axis] - 1) / 2.0;
        }
    }

    /** Differences of ln I between neighbouring blocks, and of each term of the polynomial. */
    private static final class Differences {
        private static final int PIECE = 4096;
        private final int terms;
        private final double[] value;
        // one after the other, so many terms each
        private final double[] rows;
        // at the coefficients that robustDeviation was last asked for
        private final double[] residual;

        private Differences(int terms, double[] value, double[] rows) {
            this.terms = terms;
            this.value = value;
            this.rows = rows;
            this.residual = new double[value.length];
        }

        static Differences of(Blocks blocks, Polynomial polynomial, Workers workers) {
            int terms = polynomial.terms();
            List<Slice> parts = workers.map(blocks.size().z(), z -> new Slice(blocks, polynomial, z));
            int n = parts.stream().mapToInt(p -> p.count).sum();
            double[] rows = new double[n * terms];
            double[] value = new double[n];
            int at = 0;
            for (Slice part : parts) {
                System.arraycopy(part.value, 0, value, at, part.count);
                System.arraycopy(part.rows, 0, rows, at * terms, part.count * terms);
                at += part.count;
            }
            return new Differences(terms, value, rows);
        }

        int count() {
            return value.length;
        }

        /** The differences from one slice's blocks to their next neighbours along each axis. */
        private static final class Slice {
            private final Blocks blocks;
            private final Polynomial polynomial;
            private double[] value = new double[256];
            private double[] rows;
            private int count;

            Slice(Blocks blocks, Polynomial polynomial, int z) {
                this.blocks = blocks;
                this.polynomial = polynomial;
                this.rows = new double[value.length * polynomial.terms()];
                Size size = blocks.size();
                for (int y = 0; y < size.y(); y++)
                    for (int x = 0; x < size.x(); x++) {
                        if (Float.isNaN(blocks.log()[(z * size.y() + y) * size.x() + x])) continue;
                        double[] here = values(x, y, z);
                        if (x + 1 < size.x()) put(here, x, y, z, 0);
                        if (y + 1 < size.y()) put(here, x, y, z, 1);
                        if (z + 1 < size.z()) put(here, x, y, z, 2);
                    }
            }

            private void put(double[] here, int x, int y, int z, int axis) {
                Size size = blocks.size();
                int i = (z * size.y() + y) * size.x() + x;
                int stride = axis == 0 ? 1 : axis == 1 ? size.x() : size.x() * size.y();
                double difference = blocks.log()[i + stride] - blocks.log()[i];
                if (Double.isNaN(difference)) return;
                double[] there = values(x + (axis == 0 ? 1 : 0), y + (axis == 1 ? 1 : 0), z + (axis == 2 ? 1 : 0));
                int terms = there.length;
                if (count == value.length) {
                    value = Arrays.copyOf(value, 2 * count);
                    rows = Arrays.copyOf(rows, 2 * count * terms);
                }
                for (int k = 0; k < terms; k++) rows[count * terms + k] = there[k] - here[k];
                value[count++] = difference;
            }

            private double[] values(int x, int y, int z) {
                return polynomial.values(blocks.centre(0, x), blocks.centre(1, y), blocks.centre(2, z));
            }
        }

        double robustDeviation(double[] c, Workers workers) {
            double[] size = new double[value.length];
            workers.forEach(pieces(), p -> {
                for (int i = p * PIECE; i < end(p); i++) {
                    double r = value[i];
                    for (int k = 0, at = i * terms; k < terms; k++, at++) r -= c[k] * rows[at];
                    residual[i] = r;
                    size[i] = Math.abs(r);
                }
            });
            return 1.4826 * OrderStatistic.of(size, size.length / 2);
        }

        private int pieces() {
            return (value.length + PIECE - 1) / PIECE;
        }

        private int end(int piece) {
            return Math.min((piece + 1) * PIECE, value.length);
        }

        // At the residuals of robustDeviation. Rows 0 to terms-1: the matrix; row terms: the right-hand side.
        double[][] normalEquations(double scale, Workers workers) {
            List<double[][]> parts = workers.map(pieces(), p -> {
                double[][] sum = new double[terms + 1][terms];
                double[] row = new double[terms];
                for (int i = p * PIECE; i < end(p); i++) {
                    System.arraycopy(rows, i * terms, row, 0, terms);
                    add(sum, row, value[i], residual[i] / scale);
                }
                return sum;
            });
            double[][] sum = new double[terms + 1][terms];
            for (double[][] part : parts)
                for (int k = 0; k <= terms; k++) for (int j = 0; j < terms; j++) sum[k][j] += part[k][j];
            for (int k = 0; k < terms; k++) for (int j = 0; j < k; j++) sum[j][k] = sum[k][j];
            return sum;
        }

        private static void add(double[][] sum, double[] row, double value, double ratio) {
            double w = 1 / ((1 + ratio * ratio) * (1 + ratio * ratio));
            double[] right = sum[row.length];
            for (int k = 0; k < row.length; k++) {
                double wk = w * row[k];
                double[] to = sum[k];
                for (int j = 0; j <= k; j++) to[j] += wk * row[j];
                right[k] += wk * value;
            }
        }
    }

    /** Products of Legendre polynomials up to a total degree, without the constant, over a box mapped to -1..1. */
    private static final class Polynomial {
        private final int degree;
        private final int[][] powers;
        private final double[] middle;
        private final double[] half;

        Polynomial(int degree, Box box) {
            this.degree = degree;
            this.middle = new double[] {
                (box.minX() + box.maxX()) / 2.0, (box.minY() + box.maxY()) / 2.0, (box.minZ() + box.maxZ()) / 2.0
            };
            this.half = new double[] {
                box.size().x() / 2.0, box.size().y() / 2.0, box.size().z() / 2.0
            };
            int[][] all = new int[(degree + 1) * (degree + 1) * (degree + 1)][];
            int n = 0;
            for (int k = 0; k <= degree; k++)
                for (int j = 0; j <= degree - k; j++)
                    for (int i = 0; i <= degree - k - j; i++) if (i + j + k > 0) all[n++] = new int[] {i, j, k};
            this.powers = Arrays.copyOf(all, n);
        }

        int terms() {
            return powers.length;
        }

        double[] values(double x, double y, double z) {
            double[] px = legendre(0, x);
            double[] py = legendre(1, y);
            double[] pz = legendre(2, z);
            double[] values = new double[powers.length];
            for (int t = 0; t < values.length; t++) values[t] = px[powers[t][0]] * py[powers[t][1]] * pz[powers[t][2]];
            return values;
        }

        // Coefficients of the Legendre polynomials along x that are left in one row.
        double[] alongRow(double[] c, double y, double z) {
            double[] py = legendre(1, y);
            double[] pz = legendre(2, z);
            double[] row = new double[degree + 1];
            for (int t = 0; t < powers.length; t++) row[powers[t][0]] += c[t] * py[powers[t][1]] * pz[powers[t][2]];
            return row;
        }

        double at(double[] row, double x) {
            double t = mapped(0, x);
            double before = 1;
            double now = t;
            double sum = row[0];
            for (int n = 1; n <= degree; n++) {
                sum += row[n] * now;
                double next = ((2 * n + 1) * t * now - n * before) / (n + 1);
                before = now;
                now = next;
            }
            return sum;
        }

        private double[] legendre(int axis, double index) {
            double t = mapped(axis, index);
            double[] p = new double[degree + 2];
            p[0] = 1;
            p[1] = t;
            for (int n = 1; n < degree; n++) p[n + 1] = ((2 * n + 1) * t * p[n] - n * p[n - 1]) / (n + 1);
            return p;
        }

        private double mapped(int axis, double index) {
            return Math.max(-1, Math.min(1, (index - middle[axis]) / half[axis]));
        }
    }
}
