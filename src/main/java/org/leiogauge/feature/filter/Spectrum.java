// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.feature.BatchFft;
import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/**
 * A complex image and its discrete Fourier transform, in place, x fastest: along x and y, or along all three axes. Sides may
 * have any length. Cost: n log n for n voxels.
 */
final class Spectrum {
    // Lines that are transformed together.
    private static final int BLOCK = 16;

    final Size size;
    final double[] re;
    final double[] im;
    private final LineTransform[] lines;

    /** @param dimensions 2: each slice for itself; 3: the volume */
    Spectrum(Size size, int dimensions) {
        this(size, new LineTransform[] {
            new LineTransform(size.x()), new LineTransform(size.y()), new LineTransform(dimensions == 3 ? size.z() : 1)
        });
    }

    private Spectrum(Size size, LineTransform[] lines) {
        this.size = size;
        this.lines = lines;
        re = new double[size.voxels()];
        im = new double[size.voxels()];
    }

    /** Another one of the same size. */
    Spectrum another() {
        return new Spectrum(size, lines);
    }

    void put(float[] real) {
        for (int i = 0; i < real.length; i++) re[i] = real[i];
    }

    float[] real() {
        float[] real = new float[re.length];
        for (int i = 0; i < real.length; i++) real[i] = (float) re[i];
        return real;
    }

    /** The product with another one, value by value. */
    Spectrum times(Spectrum other) {
        Spectrum product = another();
        for (int i = 0; i < re.length; i++) {
            product.re[i] = re[i] * other.re[i] - im[i] * other.im[i];
            product.im[i] = re[i] * other.im[i] + im[i] * other.re[i];
        }
        return product;
    }

    void transform(Workers workers) {
        along(re, im, workers);
    }

    /** The inverse transform. */
    void invert(Workers workers) {
        // With real and imaginary part exchanged, the transform is its own inverse but for the factor.
        along(im, re, workers);
        double points = (double) lines[0].length() * lines[1].length() * lines[2].length();
        for (int i = 0; i < re.length; i++) {
            re[i] /= points;
            im[i] /= points;
        }
    }

    private void along(double[] a, double[] b, Workers workers) {
        int row = size.x();
        int slice = size.x() * size.y();
        workers.forEach(size.z(), z -> {
            transform(a, b, lines[0], z * slice, size.y(), row, 1);
            transform(a, b, lines[1], z * slice, size.x(), 1, row);
        });
        workers.forEach(size.y(), y -> transform(a, b, lines[2], y * row, size.x(), 1, slice));
    }

    private static void transform(
            double[] a, double[] b, LineTransform along, int from, int count, int apart, int stride) {
        if (along.length() == 1) return;
        BatchFft.Field field = new BatchFft.Field(along.room() * Math.min(BLOCK, count));
        for (int first = 0; first < count; first += BLOCK) {
            int some = Math.min(BLOCK, count - first);
            int start = from + first * apart;
            for (int n = 0; n < along.length(); n++)
                for (int line = 0; line < some; line++) {
                    int at = start + line * apart + n * stride;
                    field.re[n * some + line] = a[at];
                    field.im[n * some + line] = b[at];
                }
            along.transform(field, some);
            for (int n = 0; n < along.length(); n++)
                for (int line = 0; line < some; line++) {
                    int at = start + line * apart + n * stride;
                    a[at] = field.re[n * some + line];
                    b[at] = field.im[n * some + line];
                }
        }
    }
}
