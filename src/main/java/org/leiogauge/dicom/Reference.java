// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

/** What an object made from a series takes over from it. */
final class Reference {
    // PS3.3 C.7.1.1 patient, C.7.2.1 study, C.7.4.1 frame of reference
    private static final int[] TAKEN_OVER = {
        Tag.PATIENT_NAME,
        Tag.PATIENT_ID,
        Tag.PATIENT_BIRTH_DATE,
        Tag.PATIENT_SEX,
        Tag.STUDY_INSTANCE_UID,
        Tag.STUDY_DATE,
        Tag.STUDY_TIME,
        Tag.STUDY_ID,
        Tag.ACCESSION_NUMBER,
        Tag.REFERRING_PHYSICIAN_NAME,
        Tag.STUDY_DESCRIPTION,
        Tag.FRAME_OF_REFERENCE_UID,
        Tag.POSITION_REFERENCE_INDICATOR
    };

    private Reference() {}

    /** A new data set in UTF-8 with patient, study and frame of reference of another; empty where that has none. */
    static DataSet start(DataSet header, String classUid, String instanceUid, String seriesUid, String modality) {
        DataSet set = new DataSet().put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192");
        for (int tag : TAKEN_OVER) set.put(tag, header.texts(tag).toArray(String[]::new));
        return set.put(Tag.SOP_CLASS_UID, classUid)
                .put(Tag.SOP_INSTANCE_UID, instanceUid)
                .put(Tag.SERIES_INSTANCE_UID, seriesUid)
                .put(Tag.MODALITY, modality)
                .put(Tag.SERIES_NUMBER, "")
                .put(Tag.MANUFACTURER, "Leiogauge")
                .put(Tag.MANUFACTURER_MODEL_NAME, "Leiogauge")
                .put(Tag.SOFTWARE_VERSIONS, "1")
                .put(Tag.DEVICE_SERIAL_NUMBER, "0");
    }

    static DataSet instance(String classUid, String instanceUid) {
        return new DataSet()
                .put(Tag.REFERENCED_SOP_CLASS_UID, classUid)
                .put(Tag.REFERENCED_SOP_INSTANCE_UID, instanceUid);
    }

    static DataSet code(String value, String scheme, String meaning) {
        return new DataSet()
                .put(Tag.CODE_VALUE, value)
                .put(Tag.CODING_SCHEME_DESIGNATOR, scheme)
                .put(Tag.CODE_MEANING, meaning);
    }
}
