// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

/**
 * Value representations: how the bytes of a value are meant.
 *
 * <p>Source: PS3.5 6.2; which have a 32-bit length in explicit VR, 7.1.2.
 */
public enum Vr {
    AE(Kind.TEXT, 1),
    AS(Kind.TEXT, 1),
    AT(Kind.TAG, 2),
    CS(Kind.TEXT, 1),
    DA(Kind.TEXT, 1),
    DS(Kind.TEXT, 1),
    DT(Kind.TEXT, 1),
    FD(Kind.FLOAT, 8),
    FL(Kind.FLOAT, 4),
    IS(Kind.TEXT, 1),
    LO(Kind.TEXT, 1),
    LT(Kind.TEXT, 1),
    OB(Kind.BYTES, 1),
    OD(Kind.FLOAT, 8),
    OF(Kind.FLOAT, 4),
    OL(Kind.UNSIGNED, 4),
    OV(Kind.UNSIGNED, 8),
    OW(Kind.UNSIGNED, 2),
    PN(Kind.TEXT, 1),
    SH(Kind.TEXT, 1),
    SL(Kind.SIGNED, 4),
    SQ(Kind.SEQUENCE, 1),
    SS(Kind.SIGNED, 2),
    ST(Kind.TEXT, 1),
    SV(Kind.SIGNED, 8),
    TM(Kind.TEXT, 1),
    UC(Kind.TEXT, 1),
    UI(Kind.TEXT, 1),
    UL(Kind.UNSIGNED, 4),
    UN(Kind.BYTES, 1),
    UR(Kind.TEXT, 1),
    US(Kind.UNSIGNED, 2),
    UT(Kind.TEXT, 1),
    UV(Kind.UNSIGNED, 8);

    enum Kind {
        TEXT,
        TAG,
        SIGNED,
        UNSIGNED,
        FLOAT,
        BYTES,
        SEQUENCE
    }

    private final Kind kind;
    private final int width;

    Vr(Kind kind, int width) {
        this.kind = kind;
        this.width = width;
    }

    Kind kind() {
        return kind;
    }

    /** Bytes that the byte order turns round together. */
    int width() {
        return width;
    }

    boolean hasLongLength() {
        return switch (this) {
            case OB, OD, OF, OL, OV, OW, SQ, SV, UC, UN, UR, UT, UV -> true;
            default -> false;
        };
    }

    /** Whether its text follows the character set of the data set (PS3.5 6.1.2.3). */
    boolean followsCharacterSet() {
        return switch (this) {
            case LO, LT, PN, SH, ST, UC, UT -> true;
            default -> false;
        };
    }

    /** Whether a backslash is part of the text instead of a border between values. */
    boolean isSingle() {
        return this == LT || this == ST || this == UT || this == UR;
    }

    /** What fills a value to even length (PS3.5 6.2). */
    byte padding() {
        return kind == Kind.TEXT && this != UI ? (byte) ' ' : 0;
    }
}
