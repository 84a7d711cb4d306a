// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.Locale;

/** A tissue that the lesion's signal is set against. */
public enum Tissue {
    MUSCLE,
    MYOMETRIUM,
    ENDOMETRIUM,
    URINE;

    /** As it stands in files and tables. */
    public String key() {
        return name().toLowerCase(Locale.ROOT);
    }
}
