// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.GeneralSecurityException;
import java.time.LocalDateTime;
import java.util.HexFormat;
import javax.crypto.Mac;
import javax.crypto.spec.SecretKeySpec;

/**
 * The names that cases and readers have in exports, and the days by which a case's dates are shifted there. Both come from
 * the registry's secret by HMAC-SHA-256: the same in each export of one registry, and not to be guessed without it.
 */
final class Pseudonyms {
    private static final int MOST_DAYS = 365;

    private final byte[] secret;

    Pseudonyms(String secret) {
        this.secret = HexFormat.of().parseHex(secret);
    }

    String caseName(String name) {
        return "P-" + HexFormat.of().formatHex(mac("case " + name), 0, 6);
    }

    String reader(String name) {
        return name.isEmpty() ? "" : "R-" + HexFormat.of().formatHex(mac("reader " + name), 0, 4);
    }

    /** The time moved by the case's own number of days, from 1 to 365 back or forward, so that intervals stay. */
    String shifted(String caseName, String time) {
        if (time.isEmpty()) return "";
        int draw = Math.floorMod(ByteBuffer.wrap(mac("days " + caseName)).getInt(), 2 * MOST_DAYS);
        int days = draw < MOST_DAYS ? draw + 1 : MOST_DAYS - 1 - draw;
        return LocalDateTime.parse(time).plusDays(days).toString();
    }

    private byte[] mac(String text) {
        try {
            Mac mac = Mac.getInstance("HmacSHA256");
            mac.init(new SecretKeySpec(secret, "HmacSHA256"));
            return mac.doFinal(text.getBytes(StandardCharsets.UTF_8));
        } catch (GeneralSecurityException e) {
            throw new IllegalStateException("every Java has HMAC-SHA-256", e);
        }
    }
}
