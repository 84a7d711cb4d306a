// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

/**
 * Measures the cases of a manifest into one folder of tables. A case that cannot be measured is a row of the table of
 * failures. After a stop of any kind a resumed run measures what is not finished, and its tables are those of a run
 * without a stop, byte for byte.
 */
public final class Cohort {
    private static final String LOCK = ".lock";
    private static final String CASES = "cases";

    private Cohort() {}

    /**
     * How to run.
     *
     * @param resume whether a run that the folder holds is to be continued
     * @param memoryBytes that the cases running at one time may take together
     */
    public record Options(
            Path out, boolean resume, CaseRunner runner, long memoryBytes, Settings settings, String software) {}

    /**
     * What came of it.
     *
     * @param cases in the manifest
     * @param failed of these
     * @param kept those that an earlier run had finished
     */
    public record Result(int cases, int failed, int kept) {}

    /**
     * Runs.
     *
     * @throws InputException if the folder holds a run that may not be continued, or another run is writing into it
     * @throws IOException if something cannot be written; what is finished stays so, for a resumed run
     */
    public static Result run(CohortManifest manifest, Options options, Workers workers, Progress progress)
            throws InputException, IOException {
        Path out = options.out();
        Files.createDirectories(out);
        try (FileChannel channel =
                FileChannel.open(out.resolve(LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE)) {
            lock(out, channel);
            begin(manifest, options);
            return runLocked(manifest, options, workers, progress);
        }
    }

    // Held until the channel is closed, or the process is gone in whatever way.
    private static void lock(Path out, FileChannel channel) throws InputException, IOException {
        try {
            if (channel.tryLock() != null) return;
        } catch (OverlappingFileLockException e) {
            // held by this very process
        }
        throw new InputException(out, "", "another run at work", "a folder for this run alone");
    }

    private static void begin(CohortManifest manifest, Options options) throws InputException, IOException {
        Path out = options.out();
        RunFile run = new RunFile(options.software(), manifest.checksum(), SettingsFile.text(options.settings()));
        if (RunFile.isIn(out)) {
            if (!options.resume())
                throw new InputException(out, "", "a run", "another folder, or --resume to continue this one");
            run.requireSame(out);
            return;
        }
        try (Stream<Path> inside = Files.list(out)) {
            Optional<Path> other = inside.filter(
                            file -> !file.getFileName().toString().startsWith("."))
                    .findFirst();
            if (other.isPresent())
                throw new InputException(
                        out,
                        "",
                        other.get().getFileName() + " and no " + RunFile.NAME,
                        "a new folder, or an empty one");
        }
        run.write(out);
    }

    private static Result runLocked(CohortManifest manifest, Options options, Workers workers, Progress progress)
            throws IOException {
        Path cases = options.out().resolve(CASES);
        Files.createDirectories(cases);
        removeUnnamed(cases, name -> true);
        removeUnnamed(options.out(), Cohort::isPending);
        Path readers = options.out().resolve(TidyTables.READERS);
        if (Files.isDirectory(readers)) removeUnnamed(readers, Cohort::isPending);
        List<CaseJob> jobs = new ArrayList<>();
        for (CohortCase one : manifest.cases())
            jobs.add(new CaseJob(cases, jobs.size() + 1, one, options.settings(), options.software()));
        List<CaseJob> left = new ArrayList<>();
        List<Optional<String>> failures = new ArrayList<>();
        List<Boolean> finished =
                workers.<Boolean, IOException>map(jobs.size(), i -> jobs.get(i).isFinished());
        for (int i = 0; i < jobs.size(); i++) {
            failures.add(finished.get(i) ? Optional.empty() : manifest.missing().get(i));
            if (!finished.get(i) && failures.get(i).isEmpty()) left.add(jobs.get(i));
        }
        for (CaseResult result : options.runner().run(left, workers, options.memoryBytes(), progress.part(0, 0.99)))
            failures.set(result.number() - 1, result.failure());
        int failed = new CohortTables(options.out(), jobs, failures).write(workers);
        progress.at(1);
        return new Result(jobs.size(), failed, Collections.frequency(finished, true));
    }

    // What a killed run was writing: a hidden file or folder.
    private static void removeUnnamed(Path folder, Predicate<String> which) throws IOException {
        List<Path> unnamed;
        try (Stream<Path> inside = Files.list(folder)) {
            unnamed = inside.filter(file -> file.getFileName().toString().startsWith(".")
                            && which.test(file.getFileName().toString()))
                    .toList();
        }
        for (Path file : unnamed) WholeFolder.delete(file);
    }

    // The system may have hidden files of its own in the folder.
    private static boolean isPending(String name) {
        return name.endsWith(Disk.NEW) || name.endsWith(WholeFile.TEMPORARY);
    }
}
