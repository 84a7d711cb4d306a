// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Whether results can be written where they are wanted, to be asked before the work that makes them. */
public final class WritablePlace {
    private WritablePlace() {}

    /** @throws IOException naming the folder, if it is not there and cannot be made, or takes no files */
    public static void requireForFolder(Path folder) throws IOException {
        require(folder, folder.toAbsolutePath());
    }

    /** @throws IOException naming the file, if it cannot be made or replaced */
    public static void requireForFile(Path file) throws IOException {
        if (Files.isDirectory(file)) throw new IOException(file + ": found a folder, expected a file's name");
        require(file, file.toAbsolutePath().getParent());
    }

    private static void require(Path wanted, Path folder) throws IOException {
        Path there = folder;
        while (there.getParent() != null && !Files.exists(there)) there = there.getParent();
        if (!Files.isDirectory(there))
            throw new IOException(wanted + ": found " + there + ", a file, expected a folder");
        if (!Files.isWritable(there))
            throw new IOException(
                    wanted + ": found " + there + ", which is not writable, expected a folder that takes files");
    }
}
