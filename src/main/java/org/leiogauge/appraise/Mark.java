// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

/** How far a fact was checked. */
public enum Mark {
    SOURCE("seen in the source"),
    CALC("worked out from figures seen in the source"),
    MEMORY("from memory, unverified"),
    COMMON_PRACTICE("common practice, no source");

    private final String text;

    Mark(String text) {
        this.text = text;
    }

    @Override
    public String toString() {
        return text;
    }
}
