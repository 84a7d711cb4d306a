// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.Collection;

/** Whether a criterion holds; not measured where what is missing could change it. */
public enum Outcome {
    MET("met"),
    NOT_MET("not met"),
    NOT_MEASURED("not measured");

    private final String text;

    Outcome(String text) {
        this.text = text;
    }

    static Outcome of(boolean holds) {
        return holds ? MET : NOT_MET;
    }

    Outcome not() {
        return this == MET ? NOT_MET : this == NOT_MET ? MET : NOT_MEASURED;
    }

    /** Whether at least so many of them are met, as far as can be told. */
    static Outcome atLeast(int number, Collection<Outcome> outcomes) {
        long met = outcomes.stream().filter(o -> o == MET).count();
        long open = outcomes.stream().filter(o -> o == NOT_MEASURED).count();
        if (met >= number) return MET;
        return met + open < number ? NOT_MET : NOT_MEASURED;
    }

    @Override
    public String toString() {
        return text;
    }
}
