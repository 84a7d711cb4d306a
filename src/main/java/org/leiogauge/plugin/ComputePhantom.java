// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.phantom.Preset;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Computes an invented study with known truth. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: invent a study",
        menuPath = "Plugins>Leiogauge>Invent a Study...",
        headless = true)
public final class ComputePhantom extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Pattern",
            choices = {
                "demo",
                "ordinary",
                "hyaline",
                "cystic",
                "myxoid",
                "red",
                "cellular",
                "sarcoma",
                "hard-benign",
                "hard-malignant",
                "ice-water"
            })
    private String preset = "demo";

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Settings (single ones)",
            required = false,
            description = "key=value, several between semicolons, as seed=7; scanner.coil-bias=0")
    private String overrides;

    @Parameter(persist = false, autoFill = false, label = "Results (folder)", style = "directory")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Study")
    private File study;

    public ComputePhantom() {
        super("computing");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        List<String> all =
                new ArrayList<>(List.of("preset=" + Preset.named(preset).key()));
        for (String one : text(overrides).orElse("").split(";")) if (!one.isBlank()) all.add(one.trim());
        Phantom.write(PhantomSettings.of(Preset.DEMO, all), out.toPath(), workers, progress);
        study = out.toPath().resolve("dicom").toFile();
    }
}
