// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The Riesz transform of another filter's response: its directional derivatives of an order, all frequencies alike strong.
 *
 * <p>(−i)^L √(L! / (l₁! l₂! l₃!)) ν₁^l₁ ν₂^l₂ ν₃^l₃ / ν^L times the filter's own transform, with L = l₁ + l₂ + l₃; 0 where ν is 0;
 * see {@link Frequencies}. The response of a Laplacian of Gaussian is worked out on an image that its boundary continues by
 * {@value #MARGIN} voxels on all sides, so that the long tails do not come round from the other side.
 *
 * <p>Source: IBSI 2 reference manual, Riesz transformation.
 *
 * @param of a Laplacian of Gaussian or a Simoncelli band-pass, in three dimensions
 */
public record Riesz(int orderX, int orderY, int orderZ, Filter of) implements Filter {
    private static final int MARGIN = 16;

    public Riesz {
        Filter.requireBetween("order", orderX, 0, 10);
        Filter.requireBetween("order", orderY, 0, 10);
        Filter.requireBetween("order", orderZ, 0, 10);
        Filter.requireBetween("order, its sum", orderX + orderY + orderZ, 1, 10);
        boolean fits = of instanceof LaplacianOfGaussian log && log.dimensions() == 3
                || of instanceof Simoncelli wavelet && wavelet.dimensions() == 3;
        if (!fits)
            throw new IllegalArgumentException("of must be a filter of the kind log or simoncelli in 3 dimensions");
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        if (of instanceof Simoncelli wavelet)
            return transform(image, (x, y, z) -> wavelet.factor(x, y, z) * factor(x, y, z), workers, progress);
        LaplacianOfGaussian log = (LaplacianOfGaussian) of;
        Volume continued = Margin.add(image, MARGIN, log.boundary());
        Volume response = log.apply(continued, workers, progress.part(0, 0.5));
        return Margin.remove(transform(response, this::factor, workers, progress.part(0.5, 1)), MARGIN, image.grid());
    }

    @Override
    public long bytes(Grid grid) {
        if (of instanceof Simoncelli) return of.bytes(grid);
        Size size = grid.size();
        long continued = (size.x() + 2L * MARGIN) * (size.y() + 2L * MARGIN) * (size.z() + 2L * MARGIN);
        return 44 * continued;
    }

    private Volume transform(Volume image, Frequencies.Factor factor, Workers workers, Progress progress) {
        Size size = image.grid().size();
        Spectrum spectrum = new Spectrum(size, 3);
        spectrum.put(image.voxels());
        spectrum.transform(workers);
        progress.at(0.5);
        new Frequencies(size, 3).multiply(spectrum, factor, sum(), workers);
        spectrum.invert(workers);
        progress.at(1);
        return new Volume(image.grid(), spectrum.real());
    }

    private double factor(double x, double y, double z) {
        double length = Math.sqrt(x * x + y * y + z * z);
        if (length == 0) return 0;
        double share = Math.pow(x, orderX) * Math.pow(y, orderY) * Math.pow(z, orderZ) / Math.pow(length, sum());
        return Math.sqrt(factorial(sum()) / (factorial(orderX) * factorial(orderY) * factorial(orderZ))) * share;
    }

    private int sum() {
        return orderX + orderY + orderZ;
    }

    private static double factorial(int n) {
        double product = 1;
        for (int i = 2; i <= n; i++) product *= i;
        return product;
    }
}
