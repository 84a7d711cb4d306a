// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The band-pass of Simoncelli's non-separable wavelet, which looks alike in all directions.
 *
 * <p>At level j, with ν the length of the frequency and ν₁ = 2^(1−j): cos(½π log₂(2ν/ν₁)) for ν₁/4 &lt; ν ≤ ν₁, else 0; see
 * {@link Frequencies}. The image is periodic by nature: there is no other boundary.
 *
 * <p>Source: IBSI 2 reference manual, Simoncelli wavelet; Simoncelli and Freeman 1995, doi:10.1109/ICIP.1995.537667.
 *
 * @param dimensions 2: in the slice; 3: in the volume
 * @param level 1 to 10
 */
public record Simoncelli(int dimensions, int level) implements Filter {
    public Simoncelli {
        Filter.requireDimensions(dimensions);
        Filter.requireBetween("level", level, 1, 10);
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        Size size = image.grid().size();
        Spectrum spectrum = new Spectrum(size, dimensions);
        spectrum.put(image.voxels());
        spectrum.transform(workers);
        progress.at(0.5);
        new Frequencies(size, dimensions).multiply(spectrum, this::factor, 0, workers);
        spectrum.invert(workers);
        progress.at(1);
        return new Volume(image.grid(), spectrum.real());
    }

    @Override
    public long bytes(Grid grid) {
        return 24L * grid.size().voxels();
    }

    double factor(double x, double y, double z) {
        double highest = Math.scalb(1, 1 - level);
        double frequency = Math.sqrt(x * x + y * y + z * z);
        if (frequency <= highest / 4 || frequency > highest) return 0;
        return Math.cos(0.5 * Math.PI * Math.log(2 * frequency / highest) / Math.log(2));
    }
}
