// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.FileChannel;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributeView;
import java.util.UUID;

/** Writes a file that is there whole or not at all: into a temporary file beside it, which is then moved. */
public final class WholeFile {
    /** How the name of the temporary file ends; it begins with a full stop. */
    public static final String TEMPORARY = ".part";

    private WholeFile() {}

    /** What is written. */
    @FunctionalInterface
    public interface Content {
        void writeTo(OutputStream out) throws IOException;
    }

    /**
     * Writes the file, in place of one that is there, for whom the process lets read its new files. Missing folders above it
     * are made.
     *
     * @throws IOException if it cannot be written; nothing is left behind, and an older file stays as it was
     */
    public static void write(Path file, Content content) throws IOException {
        write(file, content, temporary -> {}, temporary -> {});
    }

    /**
     * As {@link #write}, and when it returns the file is on the disk, where a power cut does not reach it. A file that is
     * replaced hands on who may read it.
     */
    public static void writeDurably(Path file, Content content) throws IOException {
        write(
                file,
                content,
                temporary -> handOnPermissions(file, temporary),
                temporary -> force(temporary, StandardOpenOption.WRITE));
        Path folder = file.toAbsolutePath().getParent();
        try {
            force(folder, StandardOpenOption.READ);
        } catch (IOException e) {
            // some systems cannot open a folder; there the move alone must do
        }
    }

    private interface Step {
        void accept(Path temporary) throws IOException;
    }

    private static void write(Path file, Content content, Step beforeContent, Step beforeMove) throws IOException {
        WritablePlace.requireForFile(file);
        Path folder = file.toAbsolutePath().getParent();
        Files.createDirectories(folder);
        // not by createTempFile, whose files are for their owner alone
        Path temporary = Files.createFile(folder.resolve("." + UUID.randomUUID() + TEMPORARY));
        try {
            beforeContent.accept(temporary);
            try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(temporary), 1 << 16)) {
                content.writeTo(out);
            }
            beforeMove.accept(temporary);
            move(temporary, file);
        } finally {
            Files.deleteIfExists(temporary);
        }
    }

    private static void handOnPermissions(Path from, Path to) throws IOException {
        PosixFileAttributeView old = Files.getFileAttributeView(from, PosixFileAttributeView.class);
        PosixFileAttributeView made = Files.getFileAttributeView(to, PosixFileAttributeView.class);
        if (old != null && made != null && Files.exists(from))
            made.setPermissions(old.readAttributes().permissions());
    }

    private static void force(Path path, StandardOpenOption option) throws IOException {
        try (FileChannel channel = FileChannel.open(path, option)) {
            channel.force(true);
        }
    }

    private static void move(Path from, Path to) throws IOException {
        try {
            Files.move(from, to, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        } catch (AtomicMoveNotSupportedException e) {
            Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
        }
    }
}
