// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Map;
import java.util.Optional;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.study.Tissue;

/** What the reference tissues of one series are good for. */
final class References {
    private References() {}

    static Optional<Accepted> accepted(Map<Tissue, Reference> references, Tissue tissue) {
        return references.get(tissue) instanceof Accepted accepted ? Optional.of(accepted) : Optional.empty();
    }

    /** Why a tissue cannot serve; that there is none, if nobody placed one. */
    static String reason(Map<Tissue, Reference> references, Tissue tissue) {
        return references.get(tissue) instanceof Refused refused
                ? "the " + tissue.key() + " reference region is refused: " + refused.reason()
                : "no " + tissue.key() + " reference region is given";
    }
}
