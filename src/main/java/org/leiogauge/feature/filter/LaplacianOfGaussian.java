// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.function.DoubleUnaryOperator;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The Laplacian of the image smoothed by a Gaussian.
 *
 * <p>g(r) = −(1/σ²) (2πσ²)^(−D/2) (D − r²/σ²) exp(−r²/2σ²) in D dimensions, with σ and r in voxels, on a cube of half width
 * ⌊c σ + ½⌋ around the centre. As D − r²/σ² = Σ (1 − x²/σ²) over the axes, it is a sum of products of
 * G(x) = exp(−x²/2σ²) / √(2π) σ and M(x) = (1 − x²/σ²) G(x), and is worked out so.
 *
 * <p>Source: IBSI 2 reference manual, Laplacian-of-Gaussian filter.
 *
 * @param dimensions 2: in the slice; 3: in the volume
 * @param sigma σ in mm
 * @param cutOff c, half width of the kernel in σ
 */
public record LaplacianOfGaussian(int dimensions, double sigma, double cutOff, Boundary boundary) implements Filter {
    public LaplacianOfGaussian {
        Filter.requireDimensions(dimensions);
        Filter.requirePositive("sigma", sigma);
        Filter.requirePositive("cut-off", cutOff);
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        AxisConvolution along = new AxisConvolution(image.grid().size(), boundary, workers);
        double s = sigma / Filter.side(image.grid(), dimensions);
        int reach = reach(s);
        Kernel g = kernel(reach, x -> gauss(x, s));
        Kernel m = kernel(reach, x -> (1 - x * x / (s * s)) * gauss(x, s));
        float[] smooth = along.apply(image.voxels(), g, 0);
        float[] curved = along.apply(along.apply(image.voxels(), m, 0), g, 1);
        progress.at(0.5);
        addTo(curved, along.apply(smooth, m, 1));
        float[] response = curved;
        if (dimensions == 3) {
            response = along.apply(curved, g, 2);
            addTo(response, along.apply(along.apply(smooth, g, 1), m, 2));
        }
        for (int i = 0; i < response.length; i++) response[i] *= (float) (-1 / (s * s));
        progress.at(1);
        return new Volume(image.grid(), response);
    }

    /** Half width of the kernel, in voxels. */
    int reach(double sigmaVoxels) {
        return Filter.reach("sigma and cut-off", Math.floor(cutOff * sigmaVoxels + 0.5));
    }

    @Override
    public long bytes(Grid grid) {
        return 20L * grid.size().voxels();
    }

    private static double gauss(double x, double s) {
        return Math.exp(-x * x / (2 * s * s)) / (Math.sqrt(2 * Math.PI) * s);
    }

    private static Kernel kernel(int reach, DoubleUnaryOperator value) {
        double[] weights = new double[2 * reach + 1];
        for (int x = -reach; x <= reach; x++) weights[x + reach] = value.applyAsDouble(x);
        return Kernel.centred(weights);
    }

    private static void addTo(float[] sum, float[] more) {
        for (int i = 0; i < sum.length; i++) sum[i] += more[i];
    }
}
