// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/** What the synthetic pelvis is made of. */
public enum Tissue {
    AIR,
    FAT,
    MUSCLE,
    MARROW,
    CORTICAL_BONE,
    BOWEL_WALL,
    BOWEL_CONTENT,
    URINE,
    MYOMETRIUM,
    JUNCTIONAL_ZONE,
    ENDOMETRIUM,
    CERVIX,
    LEIOMYOMA,
    CELLULAR,
    SARCOMA,
    HYALINE,
    CYSTIC,
    MYXOID,
    NECROTIC,
    HAEMORRHAGE,
    ICE_WATER;

    private static final Tissue[] ALL = values();

    static Tissue of(int ordinal) {
        return ALL[ordinal];
    }

    static int count() {
        return ALL.length;
    }

    /** Whether a lesion may be made of it. */
    boolean isOfLesion() {
        return ordinal() >= LEIOMYOMA.ordinal();
    }
}
