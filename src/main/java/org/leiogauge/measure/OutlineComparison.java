// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;

/** Two outlines of one lesion, as they lie beside the tables of two measurements, against each other. */
public final class OutlineComparison {
    private static final String DICE = "Dice";
    private static final String JACCARD = "Jaccard";
    private static final String MASK = "lesion.nii.gz";
    // coordinates that were written in single precision
    private static final double SAME_PLACE_MM = 0.01;

    private OutlineComparison() {}

    /** The unit of what is compared, as UCUM. */
    public static String unitOf(String name) {
        return name.equals(DICE) || name.equals(JACCARD) ? "1" : "mm";
    }

    /**
     * Compares.
     *
     * @param first folder of a measured case
     * @param second the same lesion as another outline has it
     * @return the values by their names, in a fixed order; none if the outlines lie on different grids
     */
    public static Optional<Map<String, Measurement>> of(Path first, Path second, Workers workers)
            throws InputException {
        Mask a = NiftiReader.readMask(first.resolve(MASK));
        Mask b = NiftiReader.readMask(second.resolve(MASK));
        if (!a.grid().coincides(b.grid(), SAME_PLACE_MM)) return Optional.empty();
        OutlineAgreement.Agreement agreement = OutlineAgreement.between(a, b, workers);
        Map<String, Measurement> values = new LinkedHashMap<>();
        values.put(DICE, agreement.dice());
        values.put(JACCARD, agreement.jaccard());
        values.put("95 % Hausdorff distance", agreement.hausdorff95());
        values.put("Hausdorff distance", agreement.hausdorff());
        values.put("mean surface distance", agreement.meanSurfaceDistance());
        return Optional.of(values);
    }
}
