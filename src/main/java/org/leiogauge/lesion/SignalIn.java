// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.NotMeasured;

/** The signal of a lesion's voxels, without those that have no value. */
final class SignalIn {
    static final String EMPTY = "the lesion holds no voxel with a value";

    private SignalIn() {}

    /** The part of a region whose voxels have a value. */
    static Mask valued(Volume image, Mask region) {
        if (!region.grid().size().equals(image.grid().size()))
            throw new IllegalArgumentException("lesion must have the image's size "
                    + image.grid().size() + ", got " + region.grid().size());
        byte[] inside = region.voxels().clone();
        for (int i = 0; i < inside.length; i++) if (Float.isNaN(image.voxels()[i])) inside[i] = 0;
        return new Mask(region.grid(), inside);
    }

    static double[] ascending(Volume image, Mask region) {
        double[] values = new double[region.count()];
        int n = 0;
        for (int i = 0; i < region.voxels().length; i++) if (region.voxels()[i] != 0) values[n++] = image.voxels()[i];
        Arrays.sort(values);
        return values;
    }

    /** NaN for no values. */
    static double mean(double[] values) {
        return Arrays.stream(values).average().orElse(Double.NaN);
    }

    /** Share of the values at or below a limit; NaN for no values. */
    static double shareUpTo(double[] ascending, double limit) {
        long count = Arrays.stream(ascending).filter(v -> v <= limit).count();
        return (double) count / ascending.length;
    }

    /** A mean over the reference's median; not measured without a reference. */
    static LesionValue ratio(
            Definition definition, double mean, Map<Tissue, Reference> references, Tissue tissue, String caution) {
        Optional<Accepted> reference = References.accepted(references, tissue);
        if (reference.isEmpty())
            return LesionValue.of(definition, new NotMeasured(References.reason(references, tissue)));
        Measurement ratio = Measurement.of(mean / reference.get().median(), EMPTY);
        return LesionValue.of(definition, ratio).with(ratio.number().isEmpty() ? "" : caution);
    }
}
