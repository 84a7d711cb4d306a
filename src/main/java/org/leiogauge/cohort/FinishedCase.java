// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;

/**
 * What makes a case's folder a finished one: a list of its files with sizes and checksums, on disk before the folder gets
 * its name. A stop at any moment leaves a folder that has no name yet, or one whose list holds.
 */
public final class FinishedCase {
    static final String LIST = "finished.txt";
    private static final String END = "end ";
    private static final List<String> TABLES = List.of("features.csv", "dictionary.csv");

    private FinishedCase() {}

    /** Lists the folder's files, brings all to the disk and gives the folder its name. */
    static void seal(Path unnamed, Path folder) throws IOException {
        StringBuilder list = new StringBuilder();
        for (Path file : Disk.files(unnamed)) {
            Disk.force(file);
            list.append(Checksum.of(file)).append(' ').append(Files.size(file)).append(' ');
            list.append(name(unnamed, file)).append('\n');
        }
        String checksum = Checksum.of(list.toString());
        list.append(END).append(checksum).append('\n');
        Disk.write(unnamed.resolve(LIST), out -> out.write(list.toString().getBytes(StandardCharsets.UTF_8)));
        Files.move(unnamed, folder, StandardCopyOption.ATOMIC_MOVE);
        Disk.forceFolder(folder.toAbsolutePath().getParent());
    }

    /** Whether the folder is whole: every file is there in its size, and the tables' bytes are those that were written. */
    public static boolean is(Path folder) throws IOException {
        Path list = folder.resolve(LIST);
        if (!Files.isRegularFile(list)) return false;
        String text = new String(Files.readAllBytes(list), StandardCharsets.ISO_8859_1);
        int end = text.lastIndexOf(END);
        if (end < 0 || !text.substring(end).equals(END + Checksum.of(decoded(text.substring(0, end))) + "\n"))
            return false;
        for (String line : decoded(text.substring(0, end)).split("\n"))
            if (!holds(folder, line.split(" ", 3))) return false;
        return true;
    }

    // Damaged bytes must not stop the reading: ISO 8859-1 takes all of them, and gives them back.
    private static String decoded(String bytes) {
        return new String(bytes.getBytes(StandardCharsets.ISO_8859_1), StandardCharsets.UTF_8);
    }

    private static boolean holds(Path folder, String[] entry) throws IOException {
        if (entry.length != 3) return false;
        Path file = folder.resolve(entry[2]);
        if (!Files.isRegularFile(file) || Files.size(file) != Long.parseLong(entry[1])) return false;
        return !TABLES.contains(entry[2]) || Checksum.of(file).equals(entry[0]);
    }

    private static String name(Path folder, Path file) {
        return folder.relativize(file).toString().replace('\\', '/');
    }
}
