// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.leiogauge.table.CsvTable;
import org.scijava.Context;
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;

/**
 * Runs our commands by name in a context of which nothing is known but SciJava's own classes, and leaves what came of them in
 * a folder.
 *
 * <p>Arguments: study, its outline, its compressed copy, settings, folder for the results.
 */
public final class BareContext {
    private final CommandService commands;
    private final Path out;

    private BareContext(CommandService commands, Path out) {
        this.commands = commands;
        this.out = out;
    }

    public static void main(String[] paths) throws Exception {
        try (Context context = new Context()) {
            new BareContext(context.service(CommandService.class), Path.of(paths[4]))
                    .run(new File(paths[0]), new File(paths[1]), new File(paths[2]), new File(paths[3]));
        }
    }

    private void run(File study, File outline, File compressed, File settings) throws Exception {
        Files.createDirectories(out);
        keep("inspect.csv", "InspectStudy", Map.of("study", study));
        keep("compressed.csv", "InspectStudy", Map.of("study", compressed));
        File measured = out.resolve("measured").toFile();
        keep(
                "study.csv",
                "MeasureStudy",
                Map.of("study", study, "outline", outline, "region", "lesion", "settings", settings, "out", measured));
        keep(
                "study-compressed.csv",
                "MeasureStudy",
                Map.of(
                        "study",
                        compressed,
                        "outline",
                        outline,
                        "region",
                        "lesion",
                        "settings",
                        settings,
                        "out",
                        out.resolve("measured-compressed").toFile()));
        File region = out.resolve("region.nii.gz").toFile();
        run("RefineOutline", Map.of("study", study, "rough", outline, "region", "lesion", "out", region));
        File table = new File(measured, "features.csv");
        CommandModule appraised = run("AppraiseTable", Map.of("table", table));
        Files.writeString(out.resolve("appraisal.txt"), (String) appraised.getOutput("appraisal"));
        run(
                "ComputePhantom",
                Map.of(
                        "preset",
                        "ice-water",
                        "overrides",
                        "seed=3",
                        "out",
                        out.resolve("phantom").toFile()));
    }

    private void keep(String file, String command, Map<String, Object> inputs) throws Exception {
        ((CsvTable) run(command, inputs).getOutput("table")).write(out.resolve(file));
    }

    private CommandModule run(String command, Map<String, Object> inputs) throws Exception {
        CommandModule module =
                commands.run("org.leiogauge.plugin." + command, true, inputs).get();
        if (module.isCanceled()) throw new IOException(command + ": " + module.getCancelReason());
        return module;
    }

    /** Every file of a folder and its bytes, by its path in it. */
    static Map<String, byte[]> files(Path folder) throws IOException {
        Map<String, byte[]> files = new TreeMap<>();
        List<Path> all;
        try (var walk = Files.walk(folder)) {
            all = walk.filter(Files::isRegularFile).toList();
        }
        for (Path file : all) files.put(folder.relativize(file).toString(), Files.readAllBytes(file));
        return files;
    }
}
