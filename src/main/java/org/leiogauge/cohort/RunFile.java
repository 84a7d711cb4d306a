// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/**
 * What a cohort's folder was begun with; a run can be resumed with the same only, else its table would mix two.
 *
 * @param software name and version
 * @param manifest checksum of its bytes
 * @param settings in full, as YAML
 */
record RunFile(String software, String manifest, String settings) {
    static final String NAME = "run.yaml";

    static boolean isIn(Path out) {
        return Files.exists(out.resolve(NAME));
    }

    void write(Path out) throws IOException {
        byte[] bytes = Yaml.PLAIN.text(this).getBytes(StandardCharsets.UTF_8);
        Disk.write(out.resolve(NAME), stream -> stream.write(bytes));
    }

    /** @throws InputException if the run in the folder was begun with something else */
    void requireSame(Path out) throws InputException {
        Path file = out.resolve(NAME);
        RunFile begun = Yaml.PLAIN.read(file, RunFile.class);
        String again = " (to measure anew, take another folder)";
        if (!begun.software.equals(software))
            throw new InputException(file, "key software", software, begun.software + ", as begun" + again);
        if (!begun.manifest.equals(manifest))
            throw new InputException(file, "key manifest", "a changed manifest", "the one as begun" + again);
        if (!begun.settings.equals(settings))
            throw new InputException(
                    file, "key settings", "changed settings: " + firstChange(begun), "those as begun" + again);
    }

    private String firstChange(RunFile begun) {
        String[] before = begun.settings.split("\n");
        String[] now = settings.split("\n");
        int at = 0;
        while (at < Math.min(before.length, now.length) && before[at].equals(now[at])) at++;
        String was = at < before.length ? before[at].strip() : "nothing";
        return (at < now.length ? now[at].strip() : "nothing") + " in place of " + was;
    }
}
