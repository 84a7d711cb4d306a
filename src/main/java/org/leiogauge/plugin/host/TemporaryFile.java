// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** A file in a folder of its own, gone with it when closed. */
record TemporaryFile(Path path) implements AutoCloseable {
    static TemporaryFile named(String name) throws IOException {
        return new TemporaryFile(Files.createTempDirectory("leiogauge").resolve(name));
    }

    @Override
    public void close() throws IOException {
        Files.deleteIfExists(path);
        Files.deleteIfExists(path.getParent());
    }
}
