// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.math.BigInteger;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Arrays;

/** Unique identifiers: those of the object classes that this package knows, and new ones. */
public final class Uid {
    // PS3.4 B.5
    public static final String MR_IMAGE = "1.2.840.10008.5.1.4.1.1.4";
    public static final String ENHANCED_MR_IMAGE = "1.2.840.10008.5.1.4.1.1.4.1";
    public static final String CT_IMAGE = "1.2.840.10008.5.1.4.1.1.2";
    public static final String RT_STRUCTURE_SET = "1.2.840.10008.5.1.4.1.1.481.3";
    public static final String SEGMENTATION = "1.2.840.10008.5.1.4.1.1.66.4";

    public static final String COMPREHENSIVE_SR = "1.2.840.10008.5.1.4.1.1.88.33";
    public static final String ENCAPSULATED_PDF = "1.2.840.10008.5.1.4.1.1.104.1";

    // PS3.16 8-1
    static final String IBSI_SCHEME = "1.2.840.10008.2.16.13";

    private Uid() {}

    /**
     * A UID made from a name: the same name gives the same UID, so that the same input gives the same files.
     *
     * <p>Source: PS3.5 B.2, UIDs from a 128-bit number under 2.25; the number is the start of the name's SHA-256.
     */
    public static String of(String name) {
        try {
            byte[] hash = MessageDigest.getInstance("SHA-256").digest(name.getBytes(StandardCharsets.UTF_8));
            return "2.25." + new BigInteger(1, Arrays.copyOf(hash, 16));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }
}
