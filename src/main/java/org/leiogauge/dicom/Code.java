// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

/**
 * A coded concept (PS3.3 8.8).
 *
 * @param value the code; more than 16 characters are written as a long code value
 * @param scheme the coding scheme's designator, as {@code SCT}, {@code DCM}, {@code IBSI} or {@code UCUM}
 * @param meaning what it says to people
 */
public record Code(String value, String scheme, String meaning) {
    /** Our own scheme, for what no published one has: the value is the feature's name with dashes. */
    public static final String OURS = "99LEIOGAUGE";

    private static final int LONGEST_SHORT_VALUE = 16;

    // SNOMED CT as PS3.16 uses it
    /** A mass. */
    public static final Code MASS = new Code("4147007", "SCT", "Mass");
    /** The category of a mass. */
    public static final Code ABNORMAL_STRUCTURE = new Code("49755003", "SCT", "Morphologically Abnormal Structure");

    public static final Code NECROSIS = new Code("6574001", "SCT", "Necrosis");
    public static final Code HEMORRHAGE = new Code("50960005", "SCT", "Hemorrhage");
    public static final Code UTERUS = new Code("35039007", "SCT", "Uterus");

    public Code {
        if (value.isBlank() || scheme.isBlank() || meaning.isBlank())
            throw new IllegalArgumentException("value, scheme and meaning must not be blank, got “" + value + "”, “"
                    + scheme + "”, “" + meaning + "”");
    }

    /** A concept of our own, named in plain words. */
    public static Code ours(String name) {
        return new Code(name.strip().replaceAll("[^\\p{Alnum}.%]+", "-"), OURS, name);
    }

    /** A code of the DICOM standard itself. */
    public static Code dcm(String value, String meaning) {
        return new Code(value, "DCM", meaning);
    }

    DataSet item() {
        boolean isLong = value.length() > LONGEST_SHORT_VALUE;
        return new DataSet()
                .putText(isLong ? Tag.LONG_CODE_VALUE : Tag.CODE_VALUE, value)
                .putText(Tag.CODING_SCHEME_DESIGNATOR, scheme)
                .putText(Tag.CODE_MEANING, meaning);
    }
}
