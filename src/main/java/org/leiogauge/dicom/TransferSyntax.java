// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.ByteOrder;
import java.util.Arrays;
import java.util.Optional;

/**
 * How a data set is turned into bytes, as far as this package reads it.
 *
 * <p>Source: PS3.5 section 10 and annex A; UIDs PS3.6 annex A.
 */
public enum TransferSyntax {
    IMPLICIT_LITTLE_ENDIAN("1.2.840.10008.1.2"),
    EXPLICIT_LITTLE_ENDIAN("1.2.840.10008.1.2.1"),
    DEFLATED("1.2.840.10008.1.2.1.99"),
    EXPLICIT_BIG_ENDIAN("1.2.840.10008.1.2.2"),
    JPEG_BASELINE("1.2.840.10008.1.2.4.50"),
    JPEG_EXTENDED("1.2.840.10008.1.2.4.51"),
    JPEG_LOSSLESS("1.2.840.10008.1.2.4.57"),
    JPEG_LOSSLESS_FIRST_ORDER("1.2.840.10008.1.2.4.70"),
    JPEG_LS_LOSSLESS("1.2.840.10008.1.2.4.80"),
    JPEG_LS_NEAR_LOSSLESS("1.2.840.10008.1.2.4.81"),
    JPEG_2000_LOSSLESS("1.2.840.10008.1.2.4.90"),
    JPEG_2000("1.2.840.10008.1.2.4.91"),
    RLE("1.2.840.10008.1.2.5");

    private final String uid;

    TransferSyntax(String uid) {
        this.uid = uid;
    }

    public String uid() {
        return uid;
    }

    static Optional<TransferSyntax> of(String uid) {
        return Arrays.stream(values()).filter(s -> s.uid.equals(uid)).findFirst();
    }

    boolean isExplicit() {
        return this != IMPLICIT_LITTLE_ENDIAN;
    }

    ByteOrder order() {
        return this == EXPLICIT_BIG_ENDIAN ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN;
    }

    /** Whether pixel data come as fragments (PS3.5 A.4). */
    public boolean isEncapsulated() {
        return ordinal() >= JPEG_BASELINE.ordinal();
    }
}
