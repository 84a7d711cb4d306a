// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Studies of 10 × 10 × 6 voxels with seeded noise, each drawn by two readers, and the manifest that lists them. */
public final class TinyCohort {
    public static final List<String> QUICK = List.of("features.families=[intensity]");
    static final String BROKEN = "broken";

    private static final Grid GRID =
            new Grid(new Size(10, 10, 6), new Spacing(1, 1, 2), DirectionCosines.AXIAL, new Point(0, 0, 0));

    private TinyCohort() {}

    /** Writes {@code cases} studies and returns the manifest; the study {@value #BROKEN} comes third, if asked for. */
    public static Path write(Path folder, int cases, boolean withBroken) throws IOException {
        StringBuilder manifest = new StringBuilder("case,study,outline,site,reader,outcome\n");
        for (int i = 0; i < cases; i++) {
            String name = withBroken && i == 2 ? BROKEN : "case-" + i;
            writeStudy(folder.resolve(name), i, name.equals(BROKEN));
            for (int reader = 1; reader <= 2; reader++)
                manifest.append(String.format(
                        "%s,%s,%s/reader-%d.nii.gz,site-%d,reader-%d,%s%n",
                        name, name, name, reader, i % 3, reader, i % 2 == 0 ? "benign" : "malignant"));
        }
        Path file = folder.resolve("manifest.csv");
        Files.writeString(file, manifest.toString());
        return file;
    }

    private static void writeStudy(Path study, int seed, boolean broken) throws IOException {
        Files.createDirectories(study);
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = random.nextInt(50, 200);
        NiftiWriter.write(study.resolve("t2.nii.gz"), new Volume(GRID, voxels));
        Files.writeString(study.resolve("study.yaml"), "series:\n  - {file: t2.nii.gz, role: t2}\n");
        for (int reader = 1; reader <= 2; reader++) {
            Path outline = study.resolve("reader-" + reader + ".nii.gz");
            NiftiWriter.write(outline, box(reader));
            if (broken) Files.write(outline, java.util.Arrays.copyOf(Files.readAllBytes(outline), 40));
        }
    }

    private static Mask box(int reader) {
        byte[] inside = new byte[GRID.size().voxels()];
        for (int z = 1; z < 5; z++)
            for (int y = 2; y < 7; y++) for (int x = 2; x < 7 + reader; x++) inside[GRID.offset(x, y, z)] = 1;
        return new Mask(GRID, inside);
    }

    public static Settings quickSettings() throws InputException {
        return SettingsFile.read(Optional.empty(), QUICK);
    }

    public static Cohort.Result run(Path manifest, Path out, boolean resume, int threads)
            throws InputException, IOException {
        return run(manifest, out, resume, threads, quickSettings(), new LocalRunner());
    }

    public static Cohort.Result run(
            Path manifest, Path out, boolean resume, int threads, Settings settings, CaseRunner runner)
            throws InputException, IOException {
        return run(manifest, out, resume, threads, settings, runner, Progress.NONE);
    }

    static Cohort.Result run(
            Path manifest,
            Path out,
            boolean resume,
            int threads,
            Settings settings,
            CaseRunner runner,
            Progress progress)
            throws InputException, IOException {
        try (Workers workers = Workers.of(threads)) {
            return Cohort.run(
                    CohortManifest.read(manifest),
                    new Cohort.Options(out, resume, runner, 1L << 30, settings, "Leiogauge 0.1.0"),
                    workers,
                    progress);
        }
    }

    /** Every file of a folder with the checksum of its bytes, but for the lock. */
    public static Map<String, String> bytes(Path folder) throws IOException {
        Map<String, String> all = new TreeMap<>();
        try (Stream<Path> files = Files.walk(folder)) {
            files.filter(Files::isRegularFile)
                    .filter(file -> !file.getFileName().toString().equals(".lock"))
                    .forEach(file -> all.put(folder.relativize(file).toString(), checksum(file)));
        }
        return all;
    }

    private static String checksum(Path file) {
        try {
            return Checksum.of(file);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
