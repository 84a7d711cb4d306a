// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What a series says of itself, as far as its role depends on it. Names as in DICOM PS3.6; times in ms.
 *
 * @param description series description and protocol name, for where the attributes are silent
 * @param bValues in s/mm², each once, ascending; empty where none is stated
 * @param contrastAgent whether a contrast agent is named
 * @param phases number of time points
 */
public record SeriesFacts(
        String modality,
        String description,
        List<String> imageType,
        List<String> scanningSequence,
        List<String> scanOptions,
        OptionalDouble repetitionTime,
        OptionalDouble echoTime,
        OptionalDouble inversionTime,
        List<Double> bValues,
        boolean contrastAgent,
        int phases) {

    public SeriesFacts {
        imageType = List.copyOf(imageType);
        scanningSequence = List.copyOf(scanningSequence);
        scanOptions = List.copyOf(scanOptions);
        bValues = List.copyOf(bValues);
    }

    Optional<Double> highestB() {
        return bValues.isEmpty() ? Optional.empty() : Optional.of(bValues.get(bValues.size() - 1));
    }
}
