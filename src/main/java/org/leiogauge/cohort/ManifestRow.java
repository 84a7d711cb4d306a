// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/** What the manifest says of a case, kept in the case's folder beside its measurement. An empty text is not known. */
public record ManifestRow(String software, String reader, String site, String outcome) {
    private static final String NAME = "row.yaml";

    void write(Path folder) throws IOException {
        Files.write(folder.resolve(NAME), Yaml.PLAIN.text(this).getBytes(StandardCharsets.UTF_8));
    }

    public static ManifestRow read(Path folder) throws InputException {
        ManifestRow row = Yaml.PLAIN.read(folder.resolve(NAME), ManifestRow.class);
        return new ManifestRow(text(row.software), text(row.reader), text(row.site), text(row.outcome));
    }

    // an empty text in the file is read as none
    private static String text(String read) {
        return read == null ? "" : read;
    }
}
