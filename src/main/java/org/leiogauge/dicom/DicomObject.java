// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.file.Path;

/** A DICOM object that is not an image of a stack: a structure set, a segmentation, a report, a secondary capture. */
public record DicomObject(
        Path file, String classUid, String modality, String seriesUid, String description, String frameOfReferenceUid) {
    public boolean isStructureSet() {
        return classUid.equals(Uid.RT_STRUCTURE_SET);
    }

    public boolean isSegmentation() {
        return classUid.equals(Uid.SEGMENTATION);
    }
}
