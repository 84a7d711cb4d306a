// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.UnaryOperator;
import java.util.regex.Pattern;
import org.leiogauge.task.InputException;

/**
 * One object without what says who the patient is, who examined her, where and when: {@link KeptAttributes} in all its
 * sequences, values checked or replaced, no private attribute, text in ASCII.
 *
 * <p>A b-value that stands in a maker's private place, or in a comment, moves to the standard's attribute.
 *
 * <p>Source: PS3.15 annex E, basic profile with the options to clean descriptors and to keep times with modified dates.
 */
final class Pseudonymiser {
    private static final Pattern NUMBER = Pattern.compile("[+-]?(\\d+\\.?\\d*|\\.\\d+)([eE][+-]?\\d{1,3})?");
    private static final int LONGEST_NUMBER = 24;
    private static final Code TISSUE = new Code("85756007", "SCT", "Tissue");
    private static final Code UNKNOWN_UNIT = new Code("{unknown}", "UCUM", "unknown");

    private final Pseudonyms pseudonyms;
    private final Timeline timeline;
    private final String patient;
    private final Set<String> regions = new HashSet<>();

    /** For one object. */
    private Pseudonymiser(Pseudonyms pseudonyms, Timeline timeline, String patient) {
        this.pseudonyms = pseudonyms;
        this.timeline = timeline;
        this.patient = patient;
    }

    /**
     * The object without identity, but for its pixel data, which are not in it.
     *
     * @param patient the pseudonym
     */
    static DataSet of(DataSet set, Pseudonyms pseudonyms, Timeline timeline, String patient) throws InputException {
        DataSet kept = new Pseudonymiser(pseudonyms, timeline, patient).kept(set);
        for (int tag : KeptAttributes.ALWAYS) if (!kept.has(tag)) kept.put(tag, "");
        kept.put(Tag.PATIENT_NAME, patient).put(Tag.PATIENT_ID, patient);
        Optional<BValue> b = BValue.of(set, set);
        if (b.isPresent() && !b.get().place().isEmpty())
            kept.put(Tag.DIFFUSION_B_VALUE, b.get().value());
        return kept.put(Tag.PATIENT_IDENTITY_REMOVED, "YES")
                .put(Tag.DEIDENTIFICATION_METHOD, "List of kept attributes\\DICOM PS3.15 basic profile".split("\\\\"))
                .put(
                        Tag.DEIDENTIFICATION_METHOD_CODE_SEQUENCE,
                        METHODS.stream().map(Code::item).toList())
                .put(Tag.LONGITUDINAL_TEMPORAL_INFORMATION_MODIFIED, "MODIFIED");
    }

    // PS3.16, CID 7050
    private static final List<Code> METHODS = List.of(
            Code.dcm("113100", "Basic Application Confidentiality Profile"),
            Code.dcm("113105", "Clean Descriptors Option"),
            Code.dcm("113107", "Retain Longitudinal Temporal Information Modified Dates Option"));

    private DataSet kept(DataSet set) throws InputException {
        DataSet kept = new DataSet();
        for (Element element : set.elements()) keep(set, element, kept);
        return kept;
    }

    private void keep(DataSet set, Element element, DataSet kept) throws InputException {
        int tag = element.tag();
        switch (KeptAttributes.rule(tag)) {
            case REMOVED -> {}
            case EMPTIED -> kept.put(tag, "");
            case PSEUDONYM -> kept.put(tag, patient);
            case DUMMY -> kept.put(tag, set.text(tag).isPresent() ? KeptAttributes.dummy(tag) : "");
            case WORDS -> kept.put(tag, SafeWords.of(set.text(tag).orElse("")));
            case REGION -> kept.put(tag, region(set.text(tag).orElse("")));
            case DISTINCT_CODES -> putTexts(set, tag, kept, v -> SafeWords.isCode(v) ? v : pseudonyms.word(v));
            case CODES -> putTexts(set, tag, kept, v -> SafeWords.isCode(v) ? v : "");
            case UIDS -> putTexts(set, tag, kept, isOfClass(tag) ? pseudonyms::classUid : pseudonyms::uid);
            case DATES -> putTexts(set, tag, kept, moved(Dictionary.vr(tag)));
            case NUMBERS -> putNumbers(set, element, kept);
            case ITEMS -> {
                List<DataSet> items = new ArrayList<>();
                for (DataSet item : element.items()) items.add(kept(item));
                kept.put(tag, items);
            }
            case CODED_CONCEPT ->
                kept.put(
                        tag,
                        element.items().stream().map(item -> concept(tag, item)).toList());
        }
    }

    private static boolean isOfClass(int tag) {
        return tag == Tag.SOP_CLASS_UID || tag == Tag.REFERENCED_SOP_CLASS_UID;
    }

    private UnaryOperator<String> moved(Vr vr) {
        if (vr == Vr.DA) return timeline::date;
        return vr == Vr.TM ? timeline::time : timeline::dateTime;
    }

    private static void putTexts(DataSet set, int tag, DataSet kept, UnaryOperator<String> change) {
        List<String> values = new ArrayList<>();
        for (String value : set.texts(tag)) {
            String changed = value.isEmpty() ? "" : change.apply(value);
            if (value.isEmpty() || !changed.isEmpty()) values.add(changed);
        }
        // an attribute that was there stays, if empty
        kept.put(tag, values.toArray(String[]::new));
    }

    private static void putNumbers(DataSet set, Element element, DataSet kept) {
        int tag = element.tag();
        Vr vr = Dictionary.vr(tag);
        if (vr.kind() == Vr.Kind.TEXT) {
            List<String> values = set.texts(tag);
            boolean fits = values.stream()
                    .allMatch(v -> v.isEmpty()
                            || v.length() <= LONGEST_NUMBER && NUMBER.matcher(v).matches());
            if (fits) kept.put(tag, values.toArray(String[]::new));
            return;
        }
        Vr found = element.vr();
        // pixel values are signed or not, whatever the dictionary says; bytes without a meaning may be letters
        boolean fits = found == vr || found.width() == vr.width() && isWhole(found) && isWhole(vr);
        byte[] bytes = element.littleEndian();
        if (fits && bytes.length % found.width() == 0) kept.put(Element.bytes(tag, found, bytes));
    }

    private static boolean isWhole(Vr vr) {
        return vr.kind() == Vr.Kind.SIGNED || vr.kind() == Vr.Kind.UNSIGNED;
    }

    private String region(String name) {
        String words = SafeWords.of(name);
        String label = words.isEmpty() || regions.contains(words) ? "region " + (regions.size() + 1) : words;
        while (!regions.add(label)) label = label + "-";
        return label;
    }

    private static DataSet concept(int tag, DataSet item) {
        String value = item.text(Tag.CODE_VALUE).orElse("");
        String scheme = item.text(Tag.CODING_SCHEME_DESIGNATOR).orElse("");
        if (!SafeWords.isConcept(scheme, value))
            return (tag == Tag.MEASUREMENT_UNITS_CODE_SEQUENCE ? UNKNOWN_UNIT : TISSUE).item();
        String meaning = SafeWords.of(item.text(Tag.CODE_MEANING).orElse(""));
        return new Code(value, scheme, meaning.isEmpty() ? "not told" : meaning).item();
    }
}
