// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assumptions.assumeThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeFileTest {
    private static final Set<PosixFilePermission> OWNER = PosixFilePermissions.fromString("rw-------");

    @TempDir
    Path folder;

    @BeforeEach
    void onlyWhereThereArePermissions() {
        assumeThat(folder.getFileSystem().supportedFileAttributeViews()).contains("posix");
    }

    // Oracle: a file that the system itself makes new.
    @Test
    void aNewFileMayBeReadByWhoMayReadOtherNewFiles() throws IOException {
        Set<PosixFilePermission> usual = Files.getPosixFilePermissions(Files.createFile(folder.resolve("other")));
        WholeFile.write(folder.resolve("table.csv"), out -> out.write('a'));
        WholeFile.writeDurably(folder.resolve("case.yaml"), out -> out.write('a'));
        assertThat(Files.getPosixFilePermissions(folder.resolve("table.csv"))).isEqualTo(usual);
        assertThat(Files.getPosixFilePermissions(folder.resolve("case.yaml"))).isEqualTo(usual);
    }

    @Test
    void aPrivateFileStaysPrivateFromItsFirstByteOn() throws IOException {
        Path file = Files.createFile(folder.resolve("case.yaml"));
        Files.setPosixFilePermissions(file, OWNER);
        WholeFile.writeDurably(file, out -> {
            out.write('a');
            out.flush();
            try (var files = Files.newDirectoryStream(folder)) {
                for (Path one : files)
                    assertThat(Files.getPosixFilePermissions(one))
                            .as(one.toString())
                            .isEqualTo(OWNER);
            }
        });
        assertThat(Files.getPosixFilePermissions(file)).isEqualTo(OWNER);
    }
}
