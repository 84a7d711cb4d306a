// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.DigestOutputStream;
import java.util.HexFormat;

/** A file in the making beside its place, which it takes whole, or never. */
final class PendingFile implements AutoCloseable {
    private static final int BLOCK = 1 << 16;

    private final Path file;
    private final String name;
    private final Path fresh;
    private final DigestOutputStream digest;
    private final OutputStream stream;
    private boolean kept;

    /** @param name of the file below the folder */
    PendingFile(Path folder, String name) throws IOException {
        this.file = folder.resolve(name);
        this.name = name;
        this.fresh = file.resolveSibling("." + file.getFileName() + Disk.NEW);
        this.digest = new DigestOutputStream(Files.newOutputStream(fresh), Checksum.sha256());
        this.stream = new BufferedOutputStream(digest, BLOCK);
    }

    OutputStream stream() {
        return stream;
    }

    /** Gives the file its place, on the disk. */
    ListedFile keep() throws IOException {
        stream.close();
        String checksum = HexFormat.of().formatHex(digest.getMessageDigest().digest());
        ListedFile listed = new ListedFile(checksum, Files.size(fresh), name);
        Disk.keep(fresh, file);
        kept = true;
        return listed;
    }

    @Override
    public void close() throws IOException {
        if (kept) return;
        try {
            stream.close();
        } finally {
            Files.deleteIfExists(fresh);
        }
    }
}
