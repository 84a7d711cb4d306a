// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;

/**
 * A PDF document as an object of the study that it reports on, to be written.
 *
 * <p>Source: PS3.3 A.45.1, C.24.1, C.24.2.
 */
public final class EncapsulatedPdf {
    private static final long SERIES_NUMBER = 9103;
    private static final byte[] BEGIN = "%PDF-".getBytes(StandardCharsets.US_ASCII);

    private EncapsulatedPdf() {}

    /**
     * The data set.
     *
     * @param pdf a whole PDF file, in which nothing names the patient
     * @param name what tells this object from others made of the same series: its UID comes from it
     */
    public static DataSet of(DrawnOn on, byte[] pdf, String title, String name) {
        if (!begins(pdf)) throw new IllegalArgumentException("pdf must begin with %PDF-, got " + pdf.length + " bytes");
        DataSet header = on.header();
        String id = "document " + on.seriesUid() + " " + name;
        DataSet set = Reference.start(header, Uid.ENCAPSULATED_PDF, Uid.of(id), Uid.of(id + " series"), "DOC")
                .putText(Tag.SERIES_DESCRIPTION, title)
                .put(Tag.SERIES_NUMBER, SERIES_NUMBER)
                .put(Tag.INSTANCE_NUMBER, 1)
                .put(Tag.CONVERSION_TYPE, "WSD")
                .put(Tag.ACQUISITION_DATE_TIME, "")
                .put(Tag.BURNED_IN_ANNOTATION, "NO")
                .putText(Tag.DOCUMENT_TITLE, title)
                .put(
                        Tag.CONCEPT_NAME_CODE_SEQUENCE,
                        List.of(Code.dcm("126000", "Imaging Measurement Report").item()))
                .put(Tag.MIME_TYPE_OF_ENCAPSULATED_DOCUMENT, "application/pdf")
                .put(Tag.ENCAPSULATED_DOCUMENT_LENGTH, pdf.length)
                .put(Element.bytes(Tag.ENCAPSULATED_DOCUMENT, Vr.OB, pdf));
        set.remove(Tag.FRAME_OF_REFERENCE_UID).remove(Tag.POSITION_REFERENCE_INDICATOR);
        return Reference.putMoment(set, header);
    }

    private static boolean begins(byte[] pdf) {
        return pdf.length >= BEGIN.length && Arrays.equals(pdf, 0, BEGIN.length, BEGIN, 0, BEGIN.length);
    }
}
