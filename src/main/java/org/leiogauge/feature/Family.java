// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

/** A family of features of the standard, under its short name in the settings. */
public enum Family {
    SHAPE("morphology"),
    LOCAL_INTENSITY("local intensity"),
    INTENSITY("intensity-based statistics"),
    HISTOGRAM("intensity histogram"),
    INTENSITY_VOLUME("intensity-volume histogram"),
    GLCM("grey level co-occurrence matrix"),
    GLRLM("grey level run length matrix"),
    GLSZM("grey level size zone matrix"),
    GLDZM("grey level distance zone matrix"),
    NGTDM("neighbourhood grey tone difference matrix"),
    NGLDM("neighbouring grey level dependence matrix");

    private final String group;

    Family(String group) {
        this.group = group;
    }

    /** The family's name in the standard, lower case: the group of its definitions. */
    public String group() {
        return group;
    }
}
