// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.MrImages;

/** What an enhanced object must say beside what a classic one says. Source: PS3.3 C.8.13. */
final class EnhancedAttributes {
    private EnhancedAttributes() {}

    /** All parts in one object. */
    static DataSet with(DataSet template, List<MrImages.Part> parts) {
        return MrImages.enhanced(template, parts);
    }
}
