// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.table.CsvTable;
import org.scijava.Context;
import org.scijava.plugin.PluginInfo;
import org.scijava.plugin.PluginService;
import org.scijava.script.AdaptedScriptLanguage;
import org.scijava.script.ScriptLanguage;
import org.scijava.script.ScriptModule;
import org.scijava.script.ScriptService;

/** The script among the macros, run as a SciJava host with Groovy runs it. */
class ScriptTest {
    private static final Path ELLIPSOIDS = Path.of("test-images/ellipsoids");

    @TempDir
    Path folder;

    /** What such a host brings. */
    public static final class Groovy extends AdaptedScriptLanguage {
        public Groovy() {
            super("groovy");
        }

        @Override
        public List<String> getExtensions() {
            return List.of("groovy");
        }
    }

    // Oracle: the tables that the same command writes, one by one.
    @Test
    void everyCaseOfAFolderIsMeasuredAndTheRestIsListed() throws Exception {
        Path cases = Files.createDirectory(folder.resolve("cases"));
        for (String name : List.of("a", "c")) {
            Path study = Files.createDirectories(cases.resolve(name).resolve("study"));
            try (Stream<Path> all = Files.list(ELLIPSOIDS.resolve("study"))) {
                for (Path file : all.toList()) Files.copy(file, study.resolve(file.getFileName()));
            }
            Files.copy(ELLIPSOIDS.resolve("outline.dcm"), cases.resolve(name).resolve("outline.dcm"));
        }
        Files.createDirectories(cases.resolve("b/study"));
        Files.copy(ELLIPSOIDS.resolve("outline.dcm"), cases.resolve("b/outline.dcm"));
        Path settings = Files.writeString(folder.resolve("settings.yaml"), "stability: {draws: 2}\n");
        File out = Files.createDirectory(folder.resolve("out")).toFile();
        ScriptModule script =
                run(Map.of("folder", cases.toFile(), "region", "lesion", "settings", settings.toFile(), "out", out));
        List<List<String>> expected = new ArrayList<>();
        for (String name : List.of("a", "c"))
            for (List<String> row : CsvTable.read(
                            folder.resolve("out").resolve(name).resolve("features.csv"))
                    .rows()) {
                List<String> cells = new ArrayList<>(List.of(name));
                cells.addAll(row);
                expected.add(cells);
            }
        assertThat(expected).hasSizeGreaterThan(500);
        assertThat(script.getOutput("rows")).isEqualTo(expected);
        List<?> failures = (List<?>) script.getOutput("failures");
        assertThat(failures).hasSize(1);
        assertThat(failures.get(0).toString()).startsWith("[b, ").contains("study");
    }

    private static ScriptModule run(Map<String, Object> inputs) throws Exception {
        try (Context context = new Context()) {
            context.service(PluginService.class).addPlugin(new PluginInfo<>(Groovy.class, ScriptLanguage.class));
            return context.service(ScriptService.class)
                    .run(Path.of("macros/batch-of-studies.groovy").toFile(), true, inputs)
                    .get();
        }
    }
}
