// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.stream.Stream;
import org.leiogauge.task.WholeFile;

/** Files that are on the disk, not merely on their way to it, when a method returns. */
final class Disk {
    /** How the name of a file ends that is being written, behind a full stop and the name that it will have. */
    static final String NEW = ".new";

    private Disk() {}

    /** Writes a file that is there whole or not at all, power loss included. */
    static void write(Path file, WholeFile.Content content) throws IOException {
        Path fresh = file.resolveSibling("." + file.getFileName() + NEW);
        WholeFile.write(fresh, content);
        keep(fresh, file);
    }

    /** Gives a file that is written its place beside it. */
    static void keep(Path fresh, Path file) throws IOException {
        force(fresh);
        Files.move(fresh, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        forceFolder(file.toAbsolutePath().getParent());
    }

    static void force(Path file) throws IOException {
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
            channel.force(true);
        }
    }

    /** A folder's entries; not every system lets a folder be opened, and those that do not keep its entries safe. */
    static void forceFolder(Path folder) throws IOException {
        FileChannel channel;
        try {
            channel = FileChannel.open(folder, StandardOpenOption.READ);
        } catch (IOException e) {
            if (Files.isDirectory(folder)) return;
            throw e;
        }
        try (channel) {
            channel.force(true);
        }
    }

    /** All files below a folder, sorted; symbolic links are not followed. */
    static List<Path> files(Path folder) throws IOException {
        try (Stream<Path> all = Files.walk(folder)) {
            return all.filter(file -> !Files.isDirectory(file)).sorted().toList();
        }
    }
}
