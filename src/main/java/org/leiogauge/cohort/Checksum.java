// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** SHA-256, in hexadecimal digits. */
public final class Checksum {
    private static final int BLOCK = 1 << 16;

    private Checksum() {}

    public static String of(String text) {
        return HexFormat.of().formatHex(sha256().digest(text.getBytes(StandardCharsets.UTF_8)));
    }

    public static String of(Path file) throws IOException {
        MessageDigest digest = sha256();
        byte[] block = new byte[BLOCK];
        try (InputStream in = Files.newInputStream(file)) {
            for (int read = in.read(block); read >= 0; read = in.read(block)) digest.update(block, 0, read);
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java has SHA-256", e);
        }
    }
}
