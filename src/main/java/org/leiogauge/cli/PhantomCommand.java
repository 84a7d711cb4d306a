// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.phantom.Preset;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
        name = "phantom",
        mixinStandardHelpOptions = true,
        description = "Computes an invented pelvic study with known truth, as DICOM. No patient was scanned.",
        footer = {
            "",
            "Example:",
            "  leiogauge phantom --out study --preset sarcoma",
            "  leiogauge phantom --out study --preset cystic --set seed=7 --set scanner.coil-bias=0"
        })
final class PhantomCommand implements Callable<Integer> {
    @Option(names = "--out", paramLabel = "DIR", required = true, description = "folder that gets the study")
    private Path out;

    @Option(
            names = "--preset",
            paramLabel = "NAME",
            description = {
                "what to begin with, each after a textbook pattern:",
                "demo, ordinary, hyaline, cystic, myxoid, red, cellular, sarcoma, hard-benign, hard-malignant, ice-water; without, demo"
            })
    private Optional<String> preset = Optional.empty();

    @Option(
            names = "--settings",
            paramLabel = "FILE",
            description = "settings as YAML; what is absent is as the preset has it")
    private Optional<Path> file = Optional.empty();

    @Option(
            names = "--set",
            paramLabel = "KEY=VALUE",
            description = "one setting, as scanner.coil-bias=0; may be repeated")
    private List<String> overrides = new ArrayList<>();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        PhantomSettings settings = settings();
        try (Workers workers = common.workers()) {
            Phantom.write(settings, out, workers, common.progress("computing"));
        }
        System.out.println(out);
        return 0;
    }

    private PhantomSettings settings() throws InputException {
        List<String> all = new ArrayList<>();
        if (preset.isPresent()) all.add("preset=" + Preset.named(preset.get()).key());
        all.addAll(overrides);
        return file.isPresent() ? PhantomSettings.read(file.get(), all) : PhantomSettings.of(Preset.DEMO, all);
    }
}
