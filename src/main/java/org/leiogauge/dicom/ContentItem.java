// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.List;

/**
 * One node of a structured report's content tree: how it relates to its parent, what it says, and the nodes below it.
 *
 * <p>Source: PS3.3 C.17.3, C.18.
 *
 * @param value the attributes of its value type and its name
 */
public record ContentItem(Relation relation, DataSet value, List<ContentItem> content) {
    public ContentItem {
        content = List.copyOf(content);
    }

    /** How a node relates to its parent (PS3.3 C.17.3.2.4). */
    public enum Relation {
        CONTAINS,
        HAS_OBS_CONTEXT,
        HAS_ACQ_CONTEXT,
        HAS_CONCEPT_MOD,
        HAS_PROPERTIES;

        String text() {
            return name().replace('_', ' ');
        }
    }

    /** A heading with what stands under it. */
    public static ContentItem container(Code name, List<ContentItem> content) {
        return new ContentItem(
                Relation.CONTAINS, named("CONTAINER", name).put(Tag.CONTINUITY_OF_CONTENT, "SEPARATE"), content);
    }

    public static ContentItem text(Relation relation, Code name, String text) {
        return leaf(relation, named("TEXT", name).putText(Tag.TEXT_VALUE, text));
    }

    public static ContentItem code(Relation relation, Code name, Code value) {
        return leaf(relation, named("CODE", name).put(Tag.CONCEPT_CODE_SEQUENCE, List.of(value.item())));
    }

    public static ContentItem uid(Relation relation, Code name, String uid) {
        return leaf(relation, named("UIDREF", name).put(Tag.UID, uid));
    }

    /**
     * A number, to 16 characters and in full.
     *
     * @param unit in UCUM
     */
    public static ContentItem number(Relation relation, Code name, double value, Code unit, List<ContentItem> content) {
        DataSet measured = new DataSet()
                .put(Tag.NUMERIC_VALUE, value)
                .put(Tag.FLOATING_POINT_VALUE, value)
                .put(Tag.MEASUREMENT_UNITS_CODE_SEQUENCE, List.of(unit.item()));
        return new ContentItem(
                relation, named("NUM", name).put(Tag.MEASURED_VALUE_SEQUENCE, List.of(measured)), content);
    }

    /** A reference to an image, without a name. */
    public static ContentItem image(String classUid, String instanceUid) {
        DataSet image = Reference.instance(classUid, instanceUid);
        return leaf(
                Relation.CONTAINS,
                new DataSet().put(Tag.VALUE_TYPE, "IMAGE").put(Tag.REFERENCED_SOP_SEQUENCE, List.of(image)));
    }

    /** A reference to one segment of a segmentation object. */
    public static ContentItem segment(Code name, String segmentationUid, int number) {
        DataSet segment =
                Reference.instance(Uid.SEGMENTATION, segmentationUid).put(Tag.REFERENCED_SEGMENT_NUMBER, number);
        return leaf(Relation.CONTAINS, named("IMAGE", name).put(Tag.REFERENCED_SOP_SEQUENCE, List.of(segment)));
    }

    private static DataSet named(String type, Code name) {
        return new DataSet().put(Tag.VALUE_TYPE, type).put(Tag.CONCEPT_NAME_CODE_SEQUENCE, List.of(name.item()));
    }

    private static ContentItem leaf(Relation relation, DataSet value) {
        return new ContentItem(relation, value, List.of());
    }

    /** The same with more below it. */
    public ContentItem with(List<ContentItem> below) {
        return new ContentItem(relation, value, below);
    }

    /** The item of its parent's content sequence. */
    DataSet item() {
        return tree().put(Tag.RELATIONSHIP_TYPE, relation.text());
    }

    /** The node and all below it, as the root of a document has them. */
    DataSet tree() {
        DataSet set = value.copy();
        if (!content.isEmpty())
            set.put(
                    Tag.CONTENT_SEQUENCE,
                    content.stream().map(ContentItem::item).toList());
        return set;
    }
}
