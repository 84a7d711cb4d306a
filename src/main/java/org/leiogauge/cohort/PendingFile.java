// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;

/** A file in the making beside its place, which it takes whole, or never. */
final class PendingFile implements AutoCloseable {
    private final Path file;
    private final Path fresh;
    private final OutputStream stream;
    private boolean kept;

    PendingFile(Path file) throws IOException {
        this.file = file;
        this.fresh = file.resolveSibling("." + file.getFileName() + ".new");
        this.stream = new BufferedOutputStream(Files.newOutputStream(fresh), 1 << 16);
    }

    OutputStream stream() {
        return stream;
    }

    /** Gives the file its place, on the disk. */
    void keep() throws IOException {
        stream.close();
        Disk.force(fresh);
        Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        Disk.forceFolder(file.toAbsolutePath().getParent());
        kept = true;
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
