// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * What makes a case's folder a finished one: a list of its files with sizes and checksums, on disk before the folder gets
 * its name. A stop at any moment leaves a folder that has no name yet, or one whose list holds.
 */
public final class FinishedCase {
    static final String LIST = "finished.txt";
    static final String TIDY = "features.csv";
    static final String WIDE = "features-wide.csv";
    static final String DICTIONARY = "dictionary.csv";
    private static final Set<String> TABLES = Set.of(TIDY, WIDE, DICTIONARY);

    private FinishedCase() {}

    /** Lists the folder's files, brings all to the disk and gives the folder its name. */
    static void seal(Path unnamed, Path folder) throws IOException {
        List<String> lines = new ArrayList<>();
        for (Path file : Disk.files(unnamed)) {
            Disk.force(file);
            lines.add(ListedFile.of(unnamed, file).line());
        }
        ListedFile.writeClosed(unnamed.resolve(LIST), lines);
        Files.move(unnamed, folder, StandardCopyOption.ATOMIC_MOVE);
        Disk.forceFolder(folder.toAbsolutePath().getParent());
    }

    /** Whether the folder is whole: every file is there in its size, and the tables' bytes are those that were written. */
    public static boolean is(Path folder) throws IOException {
        Optional<List<ListedFile>> files = files(folder);
        if (files.isEmpty()) return false;
        for (ListedFile file : files.get())
            if (!(TABLES.contains(file.name()) ? file.isWhole(folder) : file.isThere(folder))) return false;
        return true;
    }

    /** The files of a case as its list tells of them; empty if the list is not there or not whole. */
    static Optional<List<ListedFile>> files(Path folder) throws IOException {
        return ListedFile.opened(folder.resolve(LIST))
                .map(lines -> lines.stream().map(ListedFile::of).toList());
    }
}
