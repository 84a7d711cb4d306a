// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.List;

/**
 * A content tree as a Comprehensive SR object, to be written.
 *
 * <p>Source: PS3.3 A.35.3, C.17.1 to C.17.3; coding schemes: C.12.1.1.
 */
public final class StructuredReport {
    private static final long SERIES_NUMBER = 9102;

    private StructuredReport() {}

    /** Objects of one series that the tree refers to. */
    public record Evidence(String seriesUid, String classUid, List<String> instances) {
        public Evidence {
            instances = List.copyOf(instances);
        }
    }

    /**
     * The data set: unverified, complete, in the study of the series.
     *
     * @param template the root template's number in PS3.16, as {@code 1500}
     * @param evidence of the same study, every object that the tree names
     * @param title of the series
     * @param name what tells this object from others made of the same series: its UID comes from it
     */
    public static DataSet of(
            DrawnOn on, ContentItem root, String template, List<Evidence> evidence, String title, String name) {
        DataSet header = on.header();
        String id = "report " + on.seriesUid() + " " + name;
        DataSet set = Reference.start(header, Uid.COMPREHENSIVE_SR, Uid.of(id), Uid.of(id + " series"), "SR")
                .putAll(root.tree())
                .putText(Tag.SERIES_DESCRIPTION, title)
                .put(Tag.SERIES_NUMBER, SERIES_NUMBER)
                .put(Tag.INSTANCE_NUMBER, 1)
                .put(Tag.COMPLETION_FLAG, "COMPLETE")
                .put(Tag.VERIFICATION_FLAG, "UNVERIFIED")
                .put(Tag.REFERENCED_PERFORMED_PROCEDURE_STEP_SEQUENCE, List.of())
                .put(Tag.PERFORMED_PROCEDURE_CODE_SEQUENCE, List.of())
                .put(Tag.CODING_SCHEME_IDENTIFICATION_SEQUENCE, schemes())
                .put(
                        Tag.CONTENT_TEMPLATE_SEQUENCE,
                        List.of(new DataSet().put(Tag.MAPPING_RESOURCE, "DCMR").put(Tag.TEMPLATE_IDENTIFIER, template)))
                .put(
                        Tag.CURRENT_REQUESTED_PROCEDURE_EVIDENCE_SEQUENCE,
                        List.of(new DataSet()
                                .put(
                                        Tag.STUDY_INSTANCE_UID,
                                        header.text(Tag.STUDY_INSTANCE_UID).orElse(""))
                                .put(
                                        Tag.REFERENCED_SERIES_SEQUENCE,
                                        evidence.stream()
                                                .map(StructuredReport::item)
                                                .toList())));
        // a document has no place in space
        set.remove(Tag.FRAME_OF_REFERENCE_UID).remove(Tag.POSITION_REFERENCE_INDICATOR);
        return Reference.putMoment(set, header);
    }

    private static DataSet item(Evidence evidence) {
        return new DataSet()
                .put(Tag.SERIES_INSTANCE_UID, evidence.seriesUid)
                .put(
                        Tag.REFERENCED_SOP_SEQUENCE,
                        evidence.instances.stream()
                                .map(uid -> Reference.instance(evidence.classUid, uid))
                                .toList());
    }

    private static List<DataSet> schemes() {
        return List.of(
                new DataSet()
                        .put(Tag.CODING_SCHEME_DESIGNATOR, "IBSI")
                        .put(Tag.CODING_SCHEME_UID, Uid.IBSI_SCHEME)
                        .put(Tag.CODING_SCHEME_NAME, "Image Biomarker Standardisation Initiative"),
                new DataSet()
                        .put(Tag.CODING_SCHEME_DESIGNATOR, Code.OURS)
                        .put(Tag.CODING_SCHEME_NAME, "Features of Leiogauge: the feature's name with dashes")
                        .put(Tag.CODING_SCHEME_RESPONSIBLE_ORGANIZATION, "Leiogauge"));
    }
}
