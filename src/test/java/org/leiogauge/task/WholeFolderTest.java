// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeFolderTest {
    @TempDir
    Path folder;

    // Oracle: by hand.
    @Test
    void aFolderAndWhatLiesInItAreKnownThroughLinksToo() throws Exception {
        Path study = Files.createDirectory(folder.resolve("a-study"));
        Path link = Files.createSymbolicLink(folder.resolve("link"), study);
        assertThat(WholeFolder.isWithin(study, study)).isTrue();
        assertThat(WholeFolder.isWithin(study.resolve("new/report"), study)).isTrue();
        assertThat(WholeFolder.isWithin(link.resolve("report"), study)).isTrue();
        assertThat(WholeFolder.isWithin(study.resolve("report"), link)).isTrue();
        assertThat(WholeFolder.isWithin(folder.resolve("a-study-report"), study))
                .isFalse();
        assertThat(WholeFolder.isWithin(study.resolve("../report"), study)).isFalse();
    }
}
