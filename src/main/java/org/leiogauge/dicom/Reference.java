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
    // only where the source says so
    private static final int[] ON_IDENTITY = {Tag.PATIENT_IDENTITY_REMOVED, Tag.DEIDENTIFICATION_METHOD};
    private static final String UNKNOWN_DATE = "19000101";

    private Reference() {}

    /** A new data set in UTF-8 with patient, study and frame of reference of another; empty where that has none. */
    static DataSet start(DataSet header, String classUid, String instanceUid, String seriesUid, String modality) {
        DataSet set = new DataSet().put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192");
        for (int tag : TAKEN_OVER) takeOver(set, header, tag);
        for (int tag : ON_IDENTITY) if (header.text(tag).isPresent()) takeOver(set, header, tag);
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

    private static void takeOver(DataSet set, DataSet header, int tag) {
        Vr vr = Dictionary.vr(tag);
        set.put(
                tag,
                header.texts(tag).stream()
                        .map(value -> FittingText.shortened(vr, value))
                        .toArray(String[]::new));
    }

    /**
     * Date and time of the content, which must be there: those of the study, for an output holds no clock; 1900-01-01 where
     * the study has none.
     */
    static DataSet putMoment(DataSet set, DataSet header) {
        String date = header.text(Tag.STUDY_DATE).orElse("");
        String time = header.text(Tag.STUDY_TIME).orElse("");
        boolean known = date.matches("\\d{8}");
        return set.put(Tag.CONTENT_DATE, known ? date : UNKNOWN_DATE)
                .put(Tag.CONTENT_TIME, known && time.matches("\\d{2,6}(\\.\\d{1,6})?") ? time : "000000");
    }

    static DataSet instance(String classUid, String instanceUid) {
        return new DataSet()
                .put(Tag.REFERENCED_SOP_CLASS_UID, classUid)
                .put(Tag.REFERENCED_SOP_INSTANCE_UID, instanceUid);
    }
}
