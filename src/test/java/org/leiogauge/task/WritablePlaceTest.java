// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WritablePlaceTest {
    @TempDir
    Path folder;

    @Test
    void aNewPlaceBelowAWritableFolderIsGood() throws IOException {
        WritablePlace.requireForFolder(folder.resolve("a/b"));
        WritablePlace.requireForFile(folder.resolve("a/b.csv"));
        assertThat(folder).isEmptyDirectory();
    }

    @Test
    void aFileAboveIsNamedAndNothingIsMade() throws IOException {
        Path file = Files.createFile(folder.resolve("notes.txt"));
        Path out = file.resolve("out");
        String why = ": found " + file + ", a file, expected a folder";
        assertThatThrownBy(() -> WholeFolder.<RuntimeException>write(out, made -> {}))
                .hasMessage(out + why);
        assertThatThrownBy(() -> WholeFile.write(out, made -> {})).hasMessage(out + why);
        assertThatThrownBy(() -> WholeFolder.<RuntimeException>write(file, made -> {}))
                .hasMessage(file + why);
        assertThatThrownBy(() -> WholeFile.write(folder, made -> {}))
                .hasMessage(folder + ": found a folder, expected a file's name");
    }

    @Test
    void aFolderThatTakesNoFilesIsNamedNotATemporaryFile() throws IOException, InterruptedException {
        Path closed = Files.createDirectory(folder.resolve("closed"));
        Unprivileged.close(closed.toFile());
        Path out = closed.resolve("out");
        String why = out + ": found " + closed + ", which is not writable, expected a folder that takes files";
        assertThat(Unprivileged.run(Writing.class, out).lines()).containsExactly(why, why);
    }

    /** Writes a folder and a file of the name that is given, and prints why it cannot. */
    static final class Writing {
        public static void main(String[] names) {
            Path out = Path.of(names[0]);
            try {
                WholeFolder.<RuntimeException>write(out, made -> {});
            } catch (IOException e) {
                System.out.println(e.getMessage());
            }
            try {
                WholeFile.write(out, made -> {});
            } catch (IOException e) {
                System.out.println(e.getMessage());
            }
        }
    }

    @Test
    void aWritableFolderInAClosedOneIsFilled() throws IOException {
        Path closed = Files.createDirectory(folder.resolve("closed"));
        Path mine = Files.createDirectory(closed.resolve("mine"));
        closed.toFile().setWritable(false);
        WholeFolder.<RuntimeException>write(mine, made -> Files.createFile(made.resolve("table.csv")));
        closed.toFile().setWritable(true);
        assertThat(mine.toFile().list()).containsExactly("table.csv");
    }
}
