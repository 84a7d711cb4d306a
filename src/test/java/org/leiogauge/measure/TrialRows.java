// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** The rows that trials have left in files of a folder, without their heads and remarks. */
record TrialRows(Path folder) {
    private static final List<String> HEADS = List.of("trial,", "preset,", "job,");

    List<List<String>> of(String file) throws IOException {
        Path csv = folder.resolve(file);
        if (!Files.exists(csv)) return List.of();
        return Files.readAllLines(csv).stream()
                .filter(row -> !row.startsWith("#") && row.contains(","))
                .filter(row -> HEADS.stream().noneMatch(row::startsWith))
                .map(row -> List.of(row.split(",", -1)))
                .toList();
    }
}
