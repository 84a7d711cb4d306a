// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.IOException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.BasicFileAttributes;

/** Writes a folder that gets all its files or none: into a temporary folder beside it, or in it, which is then moved. */
public final class WholeFolder {
    private WholeFolder() {}

    /** What is written. */
    @FunctionalInterface
    public interface Content<X extends Exception> {
        void writeTo(Path folder) throws IOException, X;
    }

    /**
     * Writes the folder. One that is there keeps its other files; those of the same name are replaced.
     *
     * @throws IOException if it cannot be written; nothing of it is left behind then
     */
    public static <X extends Exception> void write(Path folder, Content<X> content) throws IOException, X {
        WritablePlace.requireForFolder(folder);
        // inside one that is there: it may be the only place on its disk, or the only one that takes files
        Path place = Files.isDirectory(folder)
                ? folder
                : Files.createDirectories(folder.toAbsolutePath().getParent());
        Path temporary = Files.createTempDirectory(place, ".part-");
        try {
            content.writeTo(temporary);
            // not by moving the folder itself: a temporary one is for its owner alone
            moveInto(temporary, folder);
        } finally {
            delete(temporary);
        }
    }

    /** Whether a path, which need not be there yet, is a folder or lies in it; symbolic links are followed. */
    public static boolean isWithin(Path path, Path folder) {
        return real(path).startsWith(real(folder));
    }

    // Links followed as far as there is something.
    private static Path real(Path path) {
        Path whole = path.toAbsolutePath().normalize();
        try {
            return whole.toRealPath();
        } catch (IOException e) {
            Path parent = whole.getParent();
            return parent == null ? whole : real(parent).resolve(whole.getFileName());
        }
    }

    private static void moveInto(Path from, Path to) throws IOException {
        Files.walkFileTree(from, new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult preVisitDirectory(Path dir, BasicFileAttributes attributes) throws IOException {
                Files.createDirectories(to.resolve(from.relativize(dir).toString()));
                return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) throws IOException {
                Files.move(file, to.resolve(from.relativize(file).toString()), StandardCopyOption.REPLACE_EXISTING);
                return FileVisitResult.CONTINUE;
            }
        });
    }

    /** Removes a folder or file with all that is in it, if it is there. */
    public static void delete(Path path) throws IOException {
        try {
            Files.walkFileTree(path, new SimpleFileVisitor<>() {
                @Override
                public FileVisitResult visitFile(Path file, BasicFileAttributes attributes) throws IOException {
                    Files.delete(file);
                    return FileVisitResult.CONTINUE;
                }

                @Override
                public FileVisitResult postVisitDirectory(Path dir, IOException e) throws IOException {
                    Files.delete(dir);
                    return FileVisitResult.CONTINUE;
                }
            });
        } catch (NoSuchFileException e) {
            // then there is nothing to remove
        }
    }
}
