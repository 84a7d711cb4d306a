// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.Locale;
import java.util.Map;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.table.Percentile;

/**
 * The ADC of the lesion's voxels that have one, and what its distribution says.
 *
 * <p>Percentiles: type 7 of Hyndman and Fan 1996, doi:10.1080/00031305.1996.10473566. Skewness μ₃ / σ³ and excess kurtosis
 * μ₄ / σ⁴ - 3 from population moments; undefined where the ADC is the same everywhere.
 */
final class AdcDistribution {
    static final String EMPTY = "no voxel of the lesion has an ADC";
    private static final String CONSTANT = "the ADC is the same everywhere";
    private static final double FEW = 0.05;

    private final double[] ascending;
    private final int voxels;
    private final double mean;
    private final double[] moments = new double[5];

    private AdcDistribution(double[] ascending, int voxels) {
        this.ascending = ascending;
        this.voxels = voxels;
        double sum = 0;
        for (double value : ascending) sum += value;
        this.mean = sum / ascending.length;
        for (double value : ascending) {
            double d = value - mean;
            moments[2] += d * d;
            moments[3] += d * d * d;
            moments[4] += d * d * d * d;
        }
        for (int k = 2; k < 5; k++) moments[k] /= ascending.length;
    }

    /**
     * @param values of the lesion's voxels that have one
     * @param voxels of the lesion
     */
    static AdcDistribution of(float[] values, int voxels) {
        double[] ascending = new double[values.length];
        for (int i = 0; i < values.length; i++) ascending[i] = values[i];
        Arrays.sort(ascending);
        return new AdcDistribution(ascending, voxels);
    }

    boolean isEmpty() {
        return ascending.length == 0;
    }

    double mean() {
        return mean;
    }

    /** Whether much of the lesion has no ADC; empty if not. */
    String caution() {
        double share = 1 - (double) ascending.length / Math.max(1, voxels);
        return share > FEW ? String.format(Locale.ROOT, "%.0f %% of the lesion has no ADC", 100 * share) : "";
    }

    /** @param cutOff of the restricted fraction, in 10⁻³ mm²/s */
    Measurement value(Definition definition, double cutOff) {
        if (isEmpty()) return new NotMeasured(EMPTY);
        if (definition == LesionDefinitions.ADC_MEAN) return new Measured(mean);
        if (definition == LesionDefinitions.ADC_SKEWNESS)
            return Measurement.of(moments[3] / Math.pow(moments[2], 1.5), CONSTANT);
        if (definition == LesionDefinitions.ADC_KURTOSIS)
            return Measurement.of(moments[4] / (moments[2] * moments[2]) - 3, CONSTANT);
        if (definition == LesionDefinitions.RESTRICTED_FRACTION)
            return new Measured((double) below(cutOff) / ascending.length);
        for (Map.Entry<Integer, Definition> entry : LesionDefinitions.ADC_PERCENTILES.entrySet())
            if (entry.getValue() == definition) return new Measured(Percentile.of(ascending, entry.getKey() / 100.0));
        throw new IllegalArgumentException("definition must be of the distribution, got " + definition.feature());
    }

    private int below(double cutOff) {
        int n = 0;
        while (n < ascending.length && ascending[n] < cutOff) n++;
        return n;
    }
}
