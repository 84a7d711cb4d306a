// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Which attributes a copy without identity keeps, and what becomes of their values.
 *
 * <p>The list says what stays, not what goes: what measuring reads and what the standard asks an object to have. All else is
 * left out whatever it is called, so that an attribute which is private, new, misused or unknown here cannot carry a name. That
 * leaves out at least what table E.1-1 of PS3.15 lists for the basic profile.
 */
final class KeptAttributes {
    /** What becomes of a value. */
    enum Rule {
        /** The element goes. */
        REMOVED,
        /** It stays without a value. */
        EMPTIED,
        /** The patient's pseudonym. */
        PSEUDONYM,
        /** A word that says nothing stands in its place. */
        DUMMY,
        /** Only words of {@link SafeWords} stay. */
        WORDS,
        /** As words, and different from the others of the object. */
        REGION,
        /** A code of {@link SafeWords} stays, another one is replaced so that different ones stay different. */
        DISTINCT_CODES,
        /** Codes of {@link SafeWords} stay. */
        CODES,
        NUMBERS,
        UIDS,
        DATES,
        ITEMS,
        /** The items of a code sequence: what is a code of a known scheme stays. */
        CODED_CONCEPT
    }

    private static final Map<Integer, String> DUMMIES = Map.ofEntries(
            Map.entry(Tag.MANUFACTURER, "unknown"),
            Map.entry(Tag.MANUFACTURER_MODEL_NAME, "unknown"),
            Map.entry(Tag.DEVICE_SERIAL_NUMBER, "unknown"),
            Map.entry(Tag.SOFTWARE_VERSIONS, "unknown"),
            Map.entry(Tag.PULSE_SEQUENCE_NAME, "unknown"),
            Map.entry(Tag.CONTRAST_BOLUS_AGENT, "agent"),
            Map.entry(Tag.RESCALE_TYPE, "US"),
            Map.entry(Tag.LUT_LABEL, "LUT"),
            Map.entry(Tag.CONTENT_LABEL, "REGIONS"),
            Map.entry(Tag.SEGMENT_ALGORITHM_NAME, "unknown"),
            Map.entry(Tag.STRUCTURE_SET_LABEL, "REGIONS"));

    private static final Map<Integer, Rule> RULES = new HashMap<>();

    static {
        put(Rule.PSEUDONYM, Tag.PATIENT_NAME, Tag.PATIENT_ID);
        put(
                Rule.EMPTIED,
                Tag.PATIENT_BIRTH_DATE,
                Tag.PATIENT_SEX,
                Tag.REFERRING_PHYSICIAN_NAME,
                Tag.OPERATORS_NAME,
                Tag.ACCESSION_NUMBER,
                Tag.STUDY_ID,
                Tag.POSITION_REFERENCE_INDICATOR,
                Tag.CONTENT_DESCRIPTION,
                Tag.CONTENT_CREATOR_NAME,
                Tag.LUT_EXPLANATION,
                Tag.ROI_INTERPRETER);
        put(Rule.WORDS, Tag.SERIES_DESCRIPTION, Tag.PROTOCOL_NAME);
        put(Rule.REGION, Tag.SEGMENT_LABEL, Tag.ROI_NAME);
        put(Rule.DISTINCT_CODES, Tag.IMAGE_TYPE, Tag.FRAME_TYPE, Tag.STACK_ID);
        put(
                Rule.CODED_CONCEPT,
                Tag.ANATOMIC_REGION_SEQUENCE,
                Tag.DERIVATION_CODE_SEQUENCE,
                Tag.PURPOSE_OF_REFERENCE_CODE_SEQUENCE,
                Tag.MEASUREMENT_UNITS_CODE_SEQUENCE,
                Tag.SEGMENTED_PROPERTY_CATEGORY_CODE_SEQUENCE,
                Tag.SEGMENTED_PROPERTY_TYPE_CODE_SEQUENCE);
        // of a VR that would else stay
        put(
                Rule.REMOVED,
                Tag.PATIENT_WEIGHT,
                Tag.INSTANCE_CREATION_DATE,
                Tag.INSTANCE_CREATION_TIME,
                Tag.PATIENT_IDENTITY_REMOVED,
                Tag.CODING_SCHEME_IDENTIFICATION_SEQUENCE,
                Tag.REFERENCED_PERFORMED_PROCEDURE_STEP_SEQUENCE,
                Tag.CONCEPT_NAME_CODE_SEQUENCE,
                Tag.CONCEPT_CODE_SEQUENCE,
                Tag.MEASURED_VALUE_SEQUENCE,
                Tag.PERFORMED_PROCEDURE_CODE_SEQUENCE,
                Tag.CURRENT_REQUESTED_PROCEDURE_EVIDENCE_SEQUENCE,
                Tag.CONTENT_TEMPLATE_SEQUENCE,
                Tag.CONTENT_SEQUENCE,
                Tag.SPECIFIC_CHARACTER_SET,
                Tag.TEMPLATE_IDENTIFIER,
                Tag.TRACKING_UID,
                Tag.UID,
                Tag.CODE_VALUE,
                Tag.ENCAPSULATED_DOCUMENT_LENGTH,
                Tag.EXTENDED_OFFSET_TABLE,
                Tag.EXTENDED_OFFSET_TABLE_LENGTHS,
                Tag.LONGITUDINAL_TEMPORAL_INFORMATION_MODIFIED,
                Tag.DEIDENTIFICATION_METHOD_CODE_SEQUENCE);
        DUMMIES.keySet().forEach(tag -> RULES.put(tag, Rule.DUMMY));
    }

    private static final Set<Vr> NUMBERS = Set.of(Vr.DS, Vr.IS, Vr.US, Vr.SS, Vr.UL, Vr.SL, Vr.FL, Vr.FD, Vr.AT);

    private KeptAttributes() {}

    private static void put(Rule rule, int... tags) {
        for (int tag : tags) RULES.put(tag, rule);
    }

    static Rule rule(int tag) {
        Rule rule = RULES.get(tag);
        if (rule != null) return rule;
        if (Dictionary.keyword(tag).isEmpty() || Tag.group(tag) <= 2) return Rule.REMOVED;
        Vr vr = Dictionary.vr(tag);
        if (NUMBERS.contains(vr)) return Rule.NUMBERS;
        return switch (vr) {
            case CS -> Rule.CODES;
            case UI -> Rule.UIDS;
            case DA, TM, DT -> Rule.DATES;
            case SQ -> Rule.ITEMS;
            default -> Rule.REMOVED;
        };
    }

    static String dummy(int tag) {
        return DUMMIES.get(tag);
    }

    /** What every object must have, if without a value (type 2). */
    static final List<Integer> ALWAYS = List.of(
            Tag.STUDY_DATE,
            Tag.STUDY_TIME,
            Tag.ACCESSION_NUMBER,
            Tag.REFERRING_PHYSICIAN_NAME,
            Tag.PATIENT_NAME,
            Tag.PATIENT_ID,
            Tag.PATIENT_BIRTH_DATE,
            Tag.PATIENT_SEX,
            Tag.STUDY_ID);
}
