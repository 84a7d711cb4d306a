// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.List;
import org.leiogauge.image.Grid;

/**
 * The volume of a series that contours or masks belong to, as objects made of them refer to it.
 *
 * @param header of an image of the series, for patient, study and frame of reference: it holds the patient's identity
 * @param sopInstances UID of the object that each slice comes from, in the order of z
 */
public record DrawnOn(DataSet header, Grid grid, List<String> sopInstances) {
    public DrawnOn {
        sopInstances = List.copyOf(sopInstances);
        if (sopInstances.size() != grid.size().z())
            throw new IllegalArgumentException(
                    "UIDs must be one per slice, " + grid.size().z() + ", got " + sopInstances.size());
    }

    String seriesUid() {
        return header.text(Tag.SERIES_INSTANCE_UID).orElse("");
    }

    String imageClass() {
        return header.text(Tag.SOP_CLASS_UID).orElse(Uid.MR_IMAGE);
    }

    /** It does not print what it holds. */
    @Override
    public String toString() {
        return "DrawnOn[" + seriesUid() + "]";
    }
}
