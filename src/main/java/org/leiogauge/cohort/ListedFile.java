// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.List;
import java.util.Optional;

/**
 * A file as a list tells of it, so that one sees whether it still is what was written.
 *
 * @param checksum of its bytes, SHA-256
 * @param name below the folder of the list
 */
record ListedFile(String checksum, long bytes, String name) {
    private static final String END = "end ";

    /** A file as it is now. */
    static ListedFile of(Path folder, Path file) throws IOException {
        String name = folder.relativize(file).toString().replace('\\', '/');
        return new ListedFile(Checksum.of(file), Files.size(file), name);
    }

    String line() {
        return checksum + ' ' + bytes + ' ' + name;
    }

    /** @throws IllegalArgumentException if it is no line of ours */
    static ListedFile of(String line) {
        String[] parts = line.split(" ", 3);
        if (parts.length != 3) throw new IllegalArgumentException("line must be checksum, bytes and name, got " + line);
        return new ListedFile(parts[0], Long.parseLong(parts[1]), parts[2]);
    }

    /** Whether the file is there in its size. */
    boolean isThere(Path folder) {
        try {
            BasicFileAttributes found = Files.readAttributes(folder.resolve(name), BasicFileAttributes.class);
            return found.isRegularFile() && found.size() == bytes;
        } catch (IOException e) {
            // not there, or in a folder that is none: either way it is not what was written
            return false;
        }
    }

    /** Whether the file is there with the bytes it had. */
    boolean isWhole(Path folder) throws IOException {
        return isThere(folder) && Checksum.of(folder.resolve(name)).equals(checksum);
    }

    /** Writes a list, closed by a line with the checksum of the others; it is on the disk then. */
    static void writeClosed(Path file, List<String> lines) throws IOException {
        StringBuilder list = new StringBuilder();
        for (String line : lines) list.append(line).append('\n');
        String closed = list + END + Checksum.of(list.toString()) + "\n";
        Disk.write(file, out -> out.write(closed.getBytes(StandardCharsets.UTF_8)));
    }

    /** The lines of a list but for the one that closes it; empty if it is not there, cut short or damaged. */
    static Optional<List<String>> opened(Path list) throws IOException {
        if (!Files.isRegularFile(list)) return Optional.empty();
        // damaged bytes become other ones here, which the checksum tells
        String text = new String(Files.readAllBytes(list), StandardCharsets.UTF_8);
        int end = text.lastIndexOf(END);
        if (end < 0 || !text.substring(end).equals(END + Checksum.of(text.substring(0, end)) + "\n"))
            return Optional.empty();
        return Optional.of(text.substring(0, end).lines().toList());
    }
}
