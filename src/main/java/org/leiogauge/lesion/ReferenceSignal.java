// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Map;
import java.util.Optional;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;

/**
 * The signal of a reference tissue, or why there is none.
 *
 * @param signal in the image's unit; above 0 where nothing is missing
 * @param missing the reason
 */
record ReferenceSignal(double signal, Optional<String> missing) {
    static ReferenceSignal of(Map<Tissue, Reference> references, Tissue tissue) {
        Reference reference = references.get(tissue);
        if (reference instanceof ReferenceRegion.Accepted accepted)
            return new ReferenceSignal(accepted.median(), Optional.empty());
        if (reference instanceof ReferenceRegion.Refused refused)
            return new ReferenceSignal(
                    Double.NaN, Optional.of("reference region for " + tissue.key() + ": " + refused.reason()));
        return new ReferenceSignal(Double.NaN, Optional.of("no reference region for " + tissue.key()));
    }
}
