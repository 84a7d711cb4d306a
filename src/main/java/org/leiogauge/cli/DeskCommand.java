// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.awt.HeadlessException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.ServiceLoader;
import java.util.concurrent.Callable;
import org.leiogauge.measure.ReadingWindow;
import org.leiogauge.task.InputException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "desk",
        mixinStandardHelpOptions = true,
        description = "Opens the reading window: look, draw, form an impression, then see the numbers.",
        footer = {"", "Example:", "  leiogauge desk demo-result/demo-case/dicom"})
final class DeskCommand implements Callable<Integer> {
    @Parameters(
            paramLabel = "STUDY",
            arity = "0..1",
            description = "folder of DICOM files, or of NIfTI files with a study.yaml; without, the window asks")
    private Optional<Path> study = Optional.empty();

    @Option(
            names = "--out",
            paramLabel = "DIR",
            description = "folder for case file, outline and results; without, STUDY-reading beside the study")
    private Optional<Path> out = Optional.empty();

    @Option(
            names = "--reader",
            paramLabel = "NAME",
            description = "who reads, as reader-1: stands in the case file beside the outline")
    private Optional<String> reader = Optional.empty();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException {
        // the other commands do without a screen, and say so
        System.clearProperty("java.awt.headless");
        ReadingWindow window = ServiceLoader.load(ReadingWindow.class)
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("this program was built without its window"));
        try {
            window.read(study, out, reader);
        } catch (HeadlessException e) {
            throw new InputException(
                    "desk", "screen", "none", "a screen, as DISPLAY names one; the other commands need none");
        }
        return 0;
    }
}
