// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.Locale;

/** What a series is for. */
public enum Role {
    T2("T2-weighted"),
    T1("T1-weighted"),
    T1_FAT_SAT("T1-weighted, fat-suppressed"),
    PRE_CONTRAST("before contrast"),
    POST_CONTRAST("after contrast"),
    DWI("diffusion-weighted"),
    ADC("apparent diffusion coefficient");

    private final String words;

    Role(String words) {
        this.words = words;
    }

    /** As it stands in files and tables, as {@code t1-fat-sat}. */
    public String key() {
        return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    /** As a reader says it. */
    public String words() {
        return words;
    }
}
