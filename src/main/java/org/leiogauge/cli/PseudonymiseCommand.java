// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.leiogauge.dicom.PseudonymisedFolder;
import org.leiogauge.dicom.PseudonymisedFolder.CopiedSeries;
import org.leiogauge.dicom.PseudonymisedFolder.LeftOut;
import org.leiogauge.dicom.Pseudonyms;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "pseudonymise",
        mixinStandardHelpOptions = true,
        description = {
            "Copies a study without what says who the patient is (DICOM PS3.15, basic profile).",
            "Look at the images yourself before you share them: text in pixels is not looked for."
        },
        footer = {"", "Example:", "  leiogauge pseudonymise study outline.dcm --out copy"})
final class PseudonymiseCommand implements Callable<Integer> {
    private static final int LARGEST_KEY = 1 << 16;

    @Parameters(
            paramLabel = "STUDY",
            arity = "1..*",
            description = "folder of DICOM files, in any nesting; more folders or files, as its outline, may follow")
    private List<Path> sources = new ArrayList<>();

    @Option(
            names = "--out",
            paramLabel = "DIR",
            required = true,
            description = "folder for the copy: a new or an empty one")
    private Path out;

    @Option(
            names = "--key",
            paramLabel = "FILE",
            description = "secret of 16 bytes or more: the same one gives the same names again; without, one is drawn"
                    + " and forgotten")
    private Optional<Path> key = Optional.empty();

    @Option(
            names = "--shift-days",
            paramLabel = "N",
            description = "moves dates by N days, to be the same for all studies of a patient; without, a patient's"
                    + " first day becomes 1970-01-01. Times of day count from the first in any case")
    private Optional<Integer> shiftDays = Optional.empty();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        requireOut();
        PseudonymisedFolder.Result result;
        try (Workers workers = common.workers()) {
            result = PseudonymisedFolder.write(
                    sources,
                    pseudonyms(),
                    shiftDays.map(OptionalInt::of).orElse(OptionalInt.empty()),
                    out,
                    workers,
                    common.progress("copying"));
        }
        print(System.out, result);
        return 0;
    }

    // A copy among other files, or within what is copied, would be taken for part of it.
    private void requireOut() throws InputException, IOException {
        if (Files.exists(out)) {
            if (!Files.isDirectory(out)) throw new InputException("--out", "", out + ", a file", "a new folder");
            try (DirectoryStream<Path> there = Files.newDirectoryStream(out)) {
                if (there.iterator().hasNext())
                    throw new InputException("--out", "", out + ", a folder with files", "a new or an empty folder");
            }
        }
        for (Path source : sources)
            if (WholeFolder.isWithin(out, source))
                throw new InputException("--out", "", out + ", inside " + source, "a folder outside the study");
    }

    private Pseudonyms pseudonyms() throws InputException {
        if (key.isEmpty()) return Pseudonyms.drawn();
        Path file = key.get();
        try {
            if (!Files.isRegularFile(file) || Files.size(file) > LARGEST_KEY)
                throw new InputException(file, "", "no such file, or a large one", "a file of 16 to 65536 bytes");
            return Pseudonyms.of(Files.readAllBytes(file));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(file, "", e);
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a file of 16 to 65536 bytes");
        }
    }

    private static void print(PrintStream to, PseudonymisedFolder.Result result) {
        int files = result.series().stream().mapToInt(CopiedSeries::files).sum();
        to.println(
                "copied: " + Counted.of(files, "file") + ", " + result.series().size() + " series, "
                        + Counted.of(result.patients().size(), "patient"));
        for (CopiedSeries series : result.series())
            to.println(series.folder() + ": " + series.kind() + ", " + Counted.of(series.files(), "file"));
        int silent = result.series().stream()
                .mapToInt(CopiedSeries::saysNothingOfText)
                .sum();
        if (silent > 0)
            to.println("look at them: whether text is burned into the pixels is not said of "
                    + Counted.of(silent, "image"));
        to.println("left out: " + Counted.of(result.leftOut().size(), "file"));
        Map<String, List<LeftOut>> byReason = result.leftOut().stream()
                .collect(Collectors.groupingBy(LeftOut::reason, TreeMap::new, Collectors.toList()));
        byReason.forEach((reason, all) -> {
            to.println("  " + reason + ": " + all.size());
            all.forEach(one -> to.println("    " + OneLine.of(one.file().toString())));
        });
    }
}
