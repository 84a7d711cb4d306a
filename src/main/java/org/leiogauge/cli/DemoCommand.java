// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.Settings;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
        name = "demo",
        mixinStandardHelpOptions = true,
        description = "Measures the invented case that comes with the program and prints where its report lies.",
        footer = {"", "Example:", "  leiogauge demo --out demo-result"})
final class DemoCommand implements Callable<Integer> {
    private static final String CASE_FILE = "/test-images/demo/case.yaml";

    @Option(
            names = "--out",
            paramLabel = "DIR",
            description = "folder that gets the results; without, demo-result here",
            defaultValue = "demo-result")
    private Path out;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        Path study = out.resolve("demo-case");
        WholeFolder.<InputException>write(study, folder -> unpack(folder, study.resolve("case.yaml")));
        CaseRequest request = new CaseRequest(
                study.resolve("dicom"),
                study.resolve("outline-true.dcm"),
                Optional.of("L1"),
                Optional.empty(),
                Optional.of(study.resolve("case.yaml")),
                Settings.standard(),
                "Leiogauge " + Main.VERSION,
                List.of("Invented: a synthetic pelvis, computed from physics. No patient was scanned."));
        try (Workers workers = common.workers()) {
            CaseMeasurement.run(request, out, workers, common.progress("measuring"));
        }
        System.out.println(out.resolve("report.html"));
        return 0;
    }

    // A reader may have written an impression into the case file of a former run.
    private static void unpack(Path folder, Path former) throws IOException, InputException {
        unpack(folder);
        if (Files.exists(former) && Files.mismatch(former, folder.resolve("case.yaml")) != -1)
            throw new InputException(
                    former,
                    "",
                    "a case file that was changed, which the demo would replace",
                    "none: move it away, or give another folder by --out");
    }

    private static void unpack(Path folder) throws IOException {
        try {
            URI inside = DemoCommand.class.getResource(CASE_FILE).toURI();
            if (!inside.getScheme().equals("jar")) {
                copy(Path.of(inside).getParent(), folder);
                return;
            }
            try (FileSystem jar = FileSystems.newFileSystem(inside, Map.of())) {
                copy(jar.getPath(CASE_FILE).getParent(), folder);
            }
        } catch (URISyntaxException e) {
            throw new IllegalStateException(e);
        }
    }

    private static void copy(Path from, Path to) throws IOException {
        try (Stream<Path> files = Files.walk(from)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                Path target = to.resolve(from.relativize(file).toString());
                Files.createDirectories(target.getParent());
                Files.copy(file, target);
            }
        }
    }
}
