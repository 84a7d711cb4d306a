// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;

class CohortManifestTest {
    @TempDir
    Path folder;

    @BeforeEach
    void files() throws IOException {
        Files.createDirectories(folder.resolve("study"));
        Files.writeString(folder.resolve("lesion.dcm"), "x");
        Files.writeString(folder.resolve("case.yaml"), "case: a");
    }

    @Test
    void columnsComeInAnyOrderAndPathsAreRelativeToTheManifest() throws IOException, InputException {
        CohortManifest manifest = read("outline,case,study,reader,case-file\nlesion.dcm,a,./study,r 1,case.yaml\n");
        assertThat(manifest.cases())
                .containsExactly(new CohortCase(
                        2,
                        "a",
                        folder.resolve("study"),
                        folder.resolve("lesion.dcm"),
                        Optional.of(folder.resolve("case.yaml")),
                        "",
                        "r 1",
                        ""));
    }

    @Test
    void whatCannotBeUsedIsNamedWithLineAndColumn() {
        refused("case,study\na,study\n", "header: found no column outline");
        refused("case,study,outline,sites\na,study,lesion.dcm,x\n", "header: found the unknown column sites");
        refused("case,case,study,outline\na,a,study,lesion.dcm\n", "header: found two columns named case");
        refused("case,study,outline\n", "found no row below the header");
        refused("case,study,outline\na,study\n", "line 2: found 2 cells, expected 3 cells");
        refused("case,study,outline\n,study,lesion.dcm\n", "line 2, column case: found nothing");
        refused("case,study,outline\na,,lesion.dcm\n", "line 2, column study: found nothing");
        refused(
                "case,study,outline\na,study,lesion.dcm\na,study,lesion.dcm\n",
                "line 3, column case: found a by reader '' again, as in line 2");
    }

    @Test
    void whatIsNotThereIsNamedWithLineAndColumnAndRefusesNothing() throws IOException, InputException {
        CohortManifest manifest = read("case,study,outline,case-file\na,gone,lesion.dcm,\nb,study,gone.dcm,\n"
                + "c,study,lesion.dcm,no.yaml\nd,study,lesion.dcm,case.yaml\n");
        List<String> missing =
                manifest.missing().stream().map(m -> m.orElse("")).toList();
        assertThat(missing.get(0)).contains("line 2, column study: found").endsWith("expected a study's folder");
        assertThat(missing.get(1)).contains("line 3, column outline: found").contains("gone.dcm, which is not there");
        assertThat(missing.get(2)).contains("line 4, column case-file: found");
        assertThat(missing.get(3)).isEmpty();
        assertThat(manifest.cases()).hasSize(4);
    }

    @Test
    void hostileNamesAreRefused() {
        for (String name :
                new String[] {"../a", "=1+1", "<script>", "a/b", "a\\b", "\"a\nb\"", "x".repeat(65), "a\u202Eb"})
            refused("case,study,outline\n" + name + ",study,lesion.dcm\n", "line 2, column case: found");
        refused("case,study,outline,reader\na,study,lesion.dcm,../../r\n", "line 2, column reader: found");
        refused("case,study,outline\na,study,a\u0000b\n", "line 2, column outline: found a?b");
    }

    private void refused(String text, String message) {
        assertThatThrownBy(() -> read(text))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("manifest.csv: " + message);
    }

    private CohortManifest read(String text) throws IOException, InputException {
        Path file = folder.resolve("manifest.csv");
        Files.writeString(file, text);
        return CohortManifest.read(file);
    }
}
