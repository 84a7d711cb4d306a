// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.Settings;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;

/**
 * One case to be measured into its folder of a cohort.
 *
 * @param cases the folder of all cases
 * @param number the case's place in the manifest, from 1
 */
public record CaseJob(Path cases, int number, CohortCase one, Settings settings, String software) {
    // Voxels of two bytes become floats, and a few images of a study are in memory at once.
    private static final long BYTES_PER_BYTE = 12;
    private static final long LEAST_BYTES = 64L << 20;

    /** The folder that the case gets, named so that it cannot lie elsewhere. */
    public Path folder() {
        String name = one.name().replaceAll("[^A-Za-z0-9]+", "-").toLowerCase(Locale.ROOT);
        return cases.resolve(String.format(Locale.ROOT, "%05d-%s", number, name));
    }

    /** Whether the case was measured before and its folder is whole. */
    boolean isFinished() throws IOException {
        return FinishedCase.is(folder());
    }

    /** About how much memory measuring takes, judged by the size of the study on disk. */
    long memoryBytes() {
        try {
            long bytes = 0;
            for (Path file : Disk.files(one.study())) bytes += Files.size(file);
            return LEAST_BYTES + BYTES_PER_BYTE * bytes;
        } catch (IOException | UncheckedIOException e) {
            // the measurement itself will say what is wrong with it
            return LEAST_BYTES;
        }
    }

    /**
     * Measures the case on the calling thread.
     *
     * @throws IOException if its folder cannot be written, which is no fault of the case
     */
    public CaseResult run() throws IOException {
        Path part = cases.resolve("." + number);
        Path named = cases.resolve("." + number + ".yaml");
        WholeFolder.delete(part);
        WholeFolder.delete(folder());
        try {
            CaseMeasurement.run(request(named), part, Workers.SINGLE, Progress.NONE);
            requireName(part);
            new ManifestRow(software, one.reader(), one.site(), one.outcome()).write(part);
        } catch (InputException e) {
            return failed(part, e.getMessage());
        } catch (OutOfMemoryError e) {
            return failed(part, "not enough memory; give Java more, or measure fewer cases at once");
        } catch (CancellationException e) {
            throw e;
        } catch (UncheckedIOException e) {
            // a file of the study that may not be read is the case's fault, a full disk is not
            if (e.getCause() instanceof FileSystemException unreadable) return failed(part, unreadable.toString());
            throw e.getCause();
        } catch (RuntimeException | StackOverflowError e) {
            return failed(part, "internal error: " + e);
        } finally {
            Files.deleteIfExists(named);
        }
        FinishedCase.seal(part, folder());
        return new CaseResult(number, Optional.empty());
    }

    /**
     * Takes the folder of this case as it was measured elsewhere.
     *
     * @param unnamed a copy of the folder, beside its place
     * @throws IOException if it is not whole, or cannot be kept
     */
    public void keep(Path unnamed) throws IOException {
        if (!FinishedCase.is(unnamed)) throw new IOException("case " + one.name() + " did not come whole");
        Files.delete(unnamed.resolve(FinishedCase.LIST));
        WholeFolder.delete(folder());
        FinishedCase.seal(unnamed, folder());
    }

    private CaseResult failed(Path part, String reason) throws IOException {
        WholeFolder.delete(part);
        return new CaseResult(number, Optional.of(OneLine.of(reason)));
    }

    // Without a case file the case would get the name that the study has in its images.
    private CaseRequest request(Path named) throws IOException {
        Path caseFile = named;
        if (one.caseFile().isPresent()) caseFile = one.caseFile().get();
        else {
            Map<String, String> keys = new LinkedHashMap<>();
            keys.put("case", one.name());
            keys.put("lesion", "L1");
            Files.write(named, Yaml.PLAIN.text(keys).getBytes(StandardCharsets.UTF_8));
        }
        return new CaseRequest(
                one.study(),
                one.outline(),
                Optional.empty(),
                Optional.empty(),
                Optional.of(caseFile),
                settings,
                software,
                List.of());
    }

    private void requireName(Path part) throws InputException {
        String measured =
                LesionTable.readTidy(part.resolve("features.csv")).get(0).caseName();
        if (!measured.equals(one.name()))
            throw new InputException(
                    one.caseFile().<Object>map(file -> file).orElse(one.study()),
                    "key case",
                    measured,
                    one.name() + ", as the manifest says");
    }
}
