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
    private static final int[] IDENTIFYING = {
        Tag.PATIENT_BIRTH_DATE,
        Tag.PATIENT_SEX,
        Tag.STUDY_ID,
        Tag.ACCESSION_NUMBER,
        Tag.REFERRING_PHYSICIAN_NAME,
        Tag.STUDY_DESCRIPTION
    };

    public DrawnOn {
        sopInstances = List.copyOf(sopInstances);
        if (sopInstances.size() != grid.size().z())
            throw new IllegalArgumentException(
                    "UIDs must be one per slice, " + grid.size().z() + ", got " + sopInstances.size());
    }

    public String seriesUid() {
        return header.text(Tag.SERIES_INSTANCE_UID).orElse("");
    }

    /** SOP class of its images. */
    public String imageClass() {
        return header.text(Tag.SOP_CLASS_UID).orElse(Uid.MR_IMAGE);
    }

    /**
     * The same without what says who the patient is: name and ID are the pseudonym; birth date, sex, the study's number and
     * description and the referring physician are empty. UIDs and dates stay, so that objects are filed with the study.
     */
    public DrawnOn withoutIdentity(String pseudonym) {
        DataSet named = header.copy()
                .put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192")
                .putText(Tag.PATIENT_NAME, pseudonym)
                .putText(Tag.PATIENT_ID, pseudonym)
                .put(Tag.PATIENT_IDENTITY_REMOVED, "YES")
                .put(Tag.DEIDENTIFICATION_METHOD, "Names and numbers left out, UIDs and dates kept");
        for (int tag : IDENTIFYING) named.remove(tag);
        return new DrawnOn(named, grid, sopInstances);
    }

    /** It does not print what it holds. */
    @Override
    public String toString() {
        return "DrawnOn[" + seriesUid() + "]";
    }
}
