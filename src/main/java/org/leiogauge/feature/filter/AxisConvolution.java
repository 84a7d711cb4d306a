// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.Arrays;
import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/** One kernel along one axis of an image. Sums are in double precision, in the order of the weights. */
final class AxisConvolution {
    private final Size size;
    private final Boundary boundary;
    private final Workers workers;

    AxisConvolution(Size size, Boundary boundary, Workers workers) {
        this.size = size;
        this.boundary = boundary;
        this.workers = workers;
    }

    /** @param axis 0, 1 or 2 for x, y or z */
    float[] apply(float[] image, Kernel kernel, int axis) {
        float[] response = new float[image.length];
        double[] weights =
                kernel.weights().stream().mapToDouble(Double::doubleValue).toArray();
        workers.forEach(size.z(), z -> {
            double[] sum = new double[size.x()];
            Line line = new Line(kernel, weights);
            for (int y = 0; y < size.y(); y++) {
                Arrays.fill(sum, 0);
                if (axis == 0) line.alongRow(image, row(y, z), sum);
                else acrossRows(image, kernel, weights, axis, y, z, sum);
                int to = row(y, z);
                for (int x = 0; x < sum.length; x++) response[to + x] = (float) sum[x];
            }
        });
        return response;
    }

    private void acrossRows(float[] image, Kernel kernel, double[] weights, int axis, int y, int z, double[] sum) {
        for (int k = 0; k < weights.length; k++) {
            int shift = kernel.first() + k * kernel.step();
            int at = axis == 1 ? boundary.index(y + shift, size.y()) : boundary.index(z + shift, size.z());
            if (at < 0) continue;
            int from = axis == 1 ? row(at, z) : row(y, at);
            double w = weights[k];
            for (int x = 0; x < sum.length; x++) sum[x] += w * image[from + x];
        }
    }

    private int row(int y, int z) {
        return (z * size.y() + y) * size.x();
    }

    /** A row with what stands beyond its two ends. */
    private final class Line {
        private final Kernel kernel;
        private final double[] weights;
        private final double[] padded;

        Line(Kernel kernel, double[] weights) {
            this.kernel = kernel;
            this.weights = weights;
            this.padded = new double[size.x() + (weights.length - 1) * kernel.step()];
        }

        void alongRow(float[] image, int row, double[] sum) {
            for (int i = 0; i < padded.length; i++) {
                int at = boundary.index(i + kernel.first(), size.x());
                padded[i] = at < 0 ? 0 : image[row + at];
            }
            for (int k = 0; k < weights.length; k++) {
                double w = weights[k];
                int shift = k * kernel.step();
                for (int x = 0; x < sum.length; x++) sum[x] += w * padded[x + shift];
            }
        }
    }
}
