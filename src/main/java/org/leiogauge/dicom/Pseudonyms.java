// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.math.BigInteger;
import java.nio.charset.StandardCharsets;
import java.security.InvalidKeyException;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.regex.Pattern;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/**
 * New names and UIDs for old ones: the same old one gives the same new one under a key, and without the key nobody can tell
 * or try out which old one it was.
 *
 * <p>Source: HMAC (RFC 2104) with SHA-256; UIDs from a 128-bit number under 2.25 (PS3.5 B.2).
 */
public final class Pseudonyms {
    private static final int KEY_BYTES = 32;
    private static final int LEAST_BYTES = 16;
    // UIDs of the standard itself, as of object classes, and nothing long enough to be a patient's number.
    private static final Pattern STANDARD = Pattern.compile("1\\.2\\.840\\.10008(\\.\\d{1,4}){1,10}");

    private final byte[] key;

    private Pseudonyms(byte[] key) {
        this.key = key;
    }

    /** Under a key that is drawn now and never told: a later run gives other names. */
    public static Pseudonyms drawn() {
        byte[] key = new byte[KEY_BYTES];
        new SecureRandom().nextBytes(key);
        return new Pseudonyms(key);
    }

    /** @param key 16 bytes or more, to be kept secret */
    public static Pseudonyms of(byte[] key) {
        if (key.length < LEAST_BYTES)
            throw new IllegalArgumentException("key must have " + LEAST_BYTES + " bytes or more, got " + key.length);
        return new Pseudonyms(key.clone());
    }

    /** As {@link #uid}, but for a UID of the standard itself, as of an object class. */
    String classUid(String old) {
        return STANDARD.matcher(old).matches() ? old : uid(old);
    }

    /** Any text becomes a UID. */
    String uid(String old) {
        return "2.25." + new BigInteger(1, Arrays.copyOf(hash("uid", old), 16));
    }

    /** As {@code case-1a2b3c4d}. */
    String patient(String old) {
        return "case-" + HexFormat.of().formatHex(hash("patient", old), 0, 4);
    }

    /** A word that keeps different words different, as {@code X1A2B3C4D}. */
    String word(String old) {
        return "X" + HexFormat.of().withUpperCase().formatHex(hash("word", old), 0, 4);
    }

    private byte[] hash(String kind, String old) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(key, "HmacSHA256"));
            return mac.doFinal((kind + " " + old).getBytes(StandardCharsets.UTF_8));
        } catch (NoSuchAlgorithmException | InvalidKeyException e) {
            throw new IllegalStateException("every Java platform has HmacSHA256", e);
        }
    }
}
