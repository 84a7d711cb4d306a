// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.IntStream;
import org.leiogauge.feature.BatchFft;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The modulus of Gabor's filter, a wave under a Gaussian, in slices: in those along z, or pooled over those along all three
 * axes; at one angle, or pooled over a full turn.
 *
 * <p>exp(−(a² + γ² b²) / 2σ² + 2πi a/λ) with a = k₁ cos θ + k₂ sin θ, b = −k₁ sin θ + k₂ cos θ, k₁ along the first and k₂ along the
 * second axis of the slice. Not normalised. The kernel reaches {@value #CUT_OFF} standard deviations of the Gaussian's longer
 * axis. Half a turn more gives the complex conjugate, thus the same modulus, and is not worked out again.
 * Cost: per slice and angle that of a Fourier transform of the slice and the kernel's reach around it.
 *
 * <p>Source: IBSI 2 reference manual, Gabor filter.
 *
 * @param dimensions 2: in slices along z; 3: pooled over the three orthogonal planes
 * @param sigma σ in mm
 * @param lambda λ in mm
 * @param gamma γ, no unit
 * @param angles which θ
 */
public record Gabor(
        int dimensions, double sigma, double lambda, double gamma, Angles angles, Pooling pooling, Boundary boundary)
        implements Filter {
    // Kernels that end sooner leave the reference's tolerance (map 4.a.1).
    private static final int CUT_OFF = 7;

    public Gabor {
        Filter.requireDimensions(dimensions);
        Filter.requirePositive("sigma", sigma);
        Filter.requirePositive("lambda", lambda);
        Filter.requirePositive("gamma", gamma);
    }

    /** Which angles, in degrees. */
    public sealed interface Angles {
        /** One angle. */
        record One(double theta) implements Angles {
            public One {
                if (!(Math.abs(theta) <= 360))
                    throw new IllegalArgumentException("theta must be −360 to 360 degrees, got " + theta);
            }

            @Override
            public List<Double> degrees() {
                return List.of(theta);
            }
        }

        /** A full turn in equal steps. */
        record Turn(double step) implements Angles {
            public Turn {
                if (!(step >= 1 && step <= 360 && Math.abs(360 / step - Math.rint(360 / step)) < 1e-9))
                    throw new IllegalArgumentException(
                            "theta-step must divide a turn of 360 degrees and be 1 or more, got " + step);
            }

            @Override
            public List<Double> degrees() {
                int steps = (int) Math.rint(360 / step);
                return IntStream.range(0, steps % 2 == 0 ? steps / 2 : steps)
                        .mapToObj(k -> k * step)
                        .toList();
            }
        }

        /** Those whose responses differ. */
        List<Double> degrees();
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        double side = Filter.side(image.grid(), dimensions);
        int[][] planes = planes();
        float[] pooled = new float[image.voxels().length];
        for (int i = 0; i < planes.length; i++)
            new Plane(image, planes[i], side, workers)
                    .pool(pooled, i == 0, progress.part(i / (double) planes.length, (i + 1.0) / planes.length));
        pooling.finish(pooled, planes.length);
        return new Volume(image.grid(), pooled);
    }

    @Override
    public long bytes(Grid grid) {
        double side = Filter.side(grid, dimensions);
        long largest = 0;
        for (int[] plane : planes()) {
            Size padded = padded(grid.size(), plane, reach(side));
            // a spectrum for each angle, and some for each thread
            largest =
                    Math.max(largest, 16L * padded.voxels() * (angles.degrees().size() + 16));
        }
        return largest + 4L * grid.size().voxels();
    }

    /** First and second axis of a slice, and the axis that the slices follow. */
    private int[][] planes() {
        return dimensions == 2 ? new int[][] {{0, 1, 2}} : new int[][] {{0, 1, 2}, {0, 2, 1}, {1, 2, 0}};
    }

    private int reach(double side) {
        return Filter.reach("sigma and gamma", Math.ceil(CUT_OFF * sigma / side * Math.max(1, 1 / gamma)));
    }

    private static Size padded(Size size, int[] plane, int reach) {
        int[] n = {size.x(), size.y(), size.z()};
        return new Size(BatchFft.lengthFrom(n[plane[0]] + 2 * reach), BatchFft.lengthFrom(n[plane[1]] + 2 * reach), 1);
    }

    /** The slices along one axis. */
    private final class Plane {
        private final float[] voxels;
        private final int[] n = new int[3];
        private final int[] stride = new int[3];
        private final double side;
        private final int reach;
        private final Size padded;
        private final List<Spectrum> kernels = new ArrayList<>();
        private final Workers workers;

        /** @param axes as {@link #planes()} */
        Plane(Volume image, int[] axes, double side, Workers workers) {
            Size size = image.grid().size();
            int[] sizes = {size.x(), size.y(), size.z()};
            int[] strides = {1, size.x(), size.x() * size.y()};
            for (int i = 0; i < 3; i++) {
                n[i] = sizes[axes[i]];
                stride[i] = strides[axes[i]];
            }
            this.voxels = image.voxels();
            this.side = side;
            this.workers = workers;
            reach = reach(side);
            padded = padded(size, axes, reach);
            for (double theta : angles.degrees()) kernels.add(kernel(StrictMath.toRadians(theta)));
        }

        private Spectrum kernel(double theta) {
            Spectrum kernel = new Spectrum(padded, 2);
            double s = sigma / side;
            double cos = StrictMath.cos(theta);
            double sin = StrictMath.sin(theta);
            for (int second = -reach; second <= reach; second++)
                for (int first = -reach; first <= reach; first++) {
                    double a = first * cos + second * sin;
                    double b = -first * sin + second * cos;
                    double size = Math.exp(-(a * a + gamma * gamma * b * b) / (2 * s * s));
                    double wave = 2 * Math.PI * a * side / lambda;
                    int at = Math.floorMod(second, padded.y()) * padded.x() + Math.floorMod(first, padded.x());
                    kernel.re[at] = size * Math.cos(wave);
                    kernel.im[at] = size * Math.sin(wave);
                }
            kernel.transform(workers);
            return kernel;
        }

        void pool(float[] pooled, boolean isFirst, Progress progress) {
            AtomicInteger done = new AtomicInteger();
            workers.forEach(n[2], slice -> {
                float[] responses = responses(slice);
                for (int j = 0; j < n[1]; j++)
                    for (int i = 0; i < n[0]; i++) {
                        int at = i * stride[0] + j * stride[1] + slice * stride[2];
                        float response = responses[j * n[0] + i];
                        if (isFirst) pooled[at] = response;
                        else
                            pooled[at] =
                                    pooling == Pooling.MAX ? Math.max(pooled[at], response) : pooled[at] + response;
                    }
                progress.at((double) done.incrementAndGet() / n[2]);
            });
        }

        /** Of one slice, pooled over the angles. */
        private float[] responses(int slice) {
            Spectrum image = kernels.get(0).another();
            read(slice, image);
            image.transform(Workers.SINGLE);
            float[] pooled = new float[n[0] * n[1]];
            float[] response = new float[pooled.length];
            for (int k = 0; k < kernels.size(); k++) {
                Spectrum product = kernels.get(k).times(image);
                product.invert(Workers.SINGLE);
                for (int j = 0; j < n[1]; j++)
                    for (int i = 0; i < n[0]; i++) {
                        int at = (j + reach) * padded.x() + i + reach;
                        response[j * n[0] + i] =
                                (float) Math.sqrt(product.re[at] * product.re[at] + product.im[at] * product.im[at]);
                    }
                pooling.add(response, pooled, k == 0);
            }
            pooling.finish(pooled, kernels.size());
            return pooled;
        }

        private void read(int slice, Spectrum to) {
            for (int j = 0; j < n[1] + 2 * reach; j++)
                for (int i = 0; i < n[0] + 2 * reach; i++) {
                    int first = boundary.index(i - reach, n[0]);
                    int second = boundary.index(j - reach, n[1]);
                    if (first < 0 || second < 0) continue;
                    to.re[j * padded.x() + i] = voxels[first * stride[0] + second * stride[1] + slice * stride[2]];
                }
        }
    }
}
