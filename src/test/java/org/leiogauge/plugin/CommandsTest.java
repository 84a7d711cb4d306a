// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import java.util.concurrent.ExecutionException;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.table.CsvTable;
import org.scijava.Context;
import org.scijava.command.CommandInfo;
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;
import org.scijava.module.Module;
import org.scijava.task.event.TaskEvent;

class CommandsTest {
    private static final Path ELLIPSOIDS = Path.of("test-images/ellipsoids");
    private static final Grid GRID =
            new Grid(new Size(12, 10, 6), new Spacing(1, 2, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));

    private static Context context;

    @TempDir
    Path folder;

    @BeforeAll
    static void open() {
        context = new Context();
    }

    @AfterAll
    static void close() {
        context.dispose();
    }

    @Test
    void aPlainContextFindsEveryCommand() {
        List<String> found = context.service(CommandService.class).getCommands().stream()
                .map(CommandInfo::getClassName)
                .filter(name -> name.startsWith("org.leiogauge."))
                .sorted()
                .toList();
        assertThat(found)
                .containsExactly(
                        "org.leiogauge.plugin.AlignSeries",
                        "org.leiogauge.plugin.AppraiseTable",
                        "org.leiogauge.plugin.CompareTables",
                        "org.leiogauge.plugin.ComputePhantom",
                        "org.leiogauge.plugin.DrawOutline",
                        "org.leiogauge.plugin.InspectStudy",
                        "org.leiogauge.plugin.LoadOutline",
                        "org.leiogauge.plugin.MapAdc",
                        "org.leiogauge.plugin.MeasureFeatures",
                        "org.leiogauge.plugin.MeasureStudy",
                        "org.leiogauge.plugin.PlaceReferences",
                        "org.leiogauge.plugin.RefineOutline",
                        "org.leiogauge.plugin.WriteReport");
    }

    @Test
    void everyInputHasALabelAndEveryCommandRunsWithoutAWindow() {
        for (CommandInfo info : context.service(CommandService.class).getCommands()) {
            if (!info.getClassName().startsWith("org.leiogauge.")) continue;
            assertThat(info.canRunHeadless()).as(info.getClassName()).isTrue();
            info.inputs().forEach(input -> {
                if (!input.getType().getName().startsWith("org.scijava."))
                    assertThat(input.getLabel())
                            .as(info.getClassName() + " " + input.getName())
                            .isNotEmpty();
            });
        }
    }

    // Oracle: closed form of the ellipsoid with half axes 30, 25, 22 mm; voxels and slices as in its own test: 2 %.
    @Test
    void aStudyIsMeasuredByName() throws Exception {
        Path settings = Files.writeString(folder.resolve("settings.yaml"), "stability: {draws: 2}\n");
        Module module = run(
                "MeasureStudy",
                Map.of(
                        "study", ELLIPSOIDS.resolve("study").toFile(),
                        "outline", ELLIPSOIDS.resolve("outline.dcm").toFile(),
                        "region", "lesion",
                        "settings", settings.toFile(),
                        "out", folder.resolve("out").toFile()));
        CsvTable table = (CsvTable) module.getOutput("table");
        assertThat(number(table, "feature", "volume", "value"))
                .isCloseTo(4.0 / 3 * Math.PI * 30 * 25 * 22, within(0.02 * 69115));
        assertThat((File) module.getOutput("report")).isFile();
    }

    // Oracle: by hand, 2 · 3 · 4 voxels of 1 · 2 · 3 mm, all of the signal 7.
    @Test
    void standardFeaturesOfAnImageAndItsMask() throws Exception {
        Mask mask = box(2, 4, 3, 6, 1, 5);
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = mask.voxels()[i] * 7;
        NiftiWriter.write(folder.resolve("image.nii"), new Volume(GRID, voxels));
        NiftiWriter.write(folder.resolve("mask.nii"), mask);
        Module module = run(
                "MeasureFeatures",
                Map.of(
                        "image", folder.resolve("image.nii").toFile(),
                        "mask", folder.resolve("mask.nii").toFile(),
                        "out", folder.resolve("features.csv").toFile()));
        CsvTable table = (CsvTable) module.getOutput("table");
        assertThat(number(table, "code", "YEKZ", "value")).isCloseTo(24 * 6, within(1e-3));
        assertThat(number(table, "code", "Q4LE", "value")).isEqualTo(7);
        assertThat(CsvTable.read(folder.resolve("features.csv"))).isEqualTo(table);
    }

    // Oracle: the signal's own law, S = S₀ exp(-b D), D = 1.25 · 10⁻³ mm²/s.
    @Test
    void anAdcMapComesOutAsVolumeAndAsFile() throws Exception {
        File[] images = new File[2];
        for (int i = 0; i < 2; i++) {
            float[] voxels = new float[GRID.size().voxels()];
            java.util.Arrays.fill(voxels, (float) (1000 * Math.exp(-800.0 * i * 1.25e-3)));
            NiftiWriter.write(folder.resolve("b" + i + ".nii"), new Volume(GRID, voxels));
            images[i] = folder.resolve("b" + i + ".nii").toFile();
        }
        Module module = run(
                "MapAdc",
                Map.of(
                        "images",
                        images,
                        "bValues",
                        "0, 800",
                        "out",
                        folder.resolve("adc.nii.gz").toFile()));
        Volume adc = (Volume) module.getOutput("adc");
        assertThat(adc.at(3, 3, 3)).isCloseTo(1.25f, within(1e-4f));
        assertThat(module.getOutput("notFitted")).isEqualTo(0);
        assertThat(NiftiReader.read(folder.resolve("adc.nii.gz")).voxels()).isEqualTo(adc.voxels());
    }

    // Oracle: the contours that the study's images were computed with; see the test of the study.
    @Test
    void anOutlineIsRefinedIntoAMask() throws Exception {
        Module module = run(
                "RefineOutline",
                Map.of(
                        "study",
                        ELLIPSOIDS.resolve("study").toFile(),
                        "rough",
                        ELLIPSOIDS.resolve("outline.dcm").toFile(),
                        "region",
                        "lesion"));
        Mask mask = (Mask) module.getOutput("mask");
        assertThat(mask.volume()).isCloseTo(4.0 / 3 * Math.PI * 30 * 25 * 22, within(0.05 * 69115));
        assertThat((String) module.getOutput("decisions")).contains("the border was refined");
    }

    // The host's macros name an input by its label's first word.
    @Test
    void theFirstWordsOfLabelsTellTheInputsOfACommandApart() {
        for (CommandInfo info : context.service(CommandService.class).getCommands()) {
            if (!info.getClassName().startsWith("org.leiogauge.")) continue;
            List<String> words = new java.util.ArrayList<>();
            info.inputs().forEach(input -> {
                if (!input.getType().getName().startsWith("org.scijava."))
                    words.add(input.getLabel().split(" ")[0].toLowerCase(java.util.Locale.ROOT));
            });
            assertThat(words).as(info.getClassName()).doesNotHaveDuplicates().allMatch(word -> word.matches("[a-z-]+"));
        }
    }

    // Oracle: by hand; each value of the second table is 2 more.
    @Test
    void twoTablesAreComparedAndOneIsAppraised() throws Exception {
        Path first = table("first.csv", 0);
        Path second = table("second.csv", 2);
        CsvTable agreement = (CsvTable) run("CompareTables", Map.of("first", first.toFile(), "second", second.toFile()))
                .getOutput("table");
        assertThat(number(agreement, "statistic", "bias", "value")).isCloseTo(-2, within(1e-12));
        Path caseFile = folder.resolve("case.yaml");
        Files.writeString(caseFile, "case: a\nlesion: L1\nimpression: {border: lobulated}\n");
        Module appraised = run(
                "AppraiseTable", Map.of("table", first.toFile(), "prevalence", "0.002", "caseFile", caseFile.toFile()));
        assertThat((String) appraised.getOutput("appraisal")).contains("Prevalence: 0.2 %", "not a diagnosis");
        assertThat(Files.readString(caseFile)).contains("locked: ", "numbers-shown: ");
    }

    // Oracle: the series that were written, by the study's own test: T2 sagittal and T1 axial.
    @Test
    void aStudyIsLookedThrough() throws Exception {
        CsvTable table = (CsvTable)
                run("InspectStudy", Map.of("study", ELLIPSOIDS.resolve("study").toFile()))
                        .getOutput("table");
        assertThat(table.rows().stream().map(row -> row.get(2))).containsExactlyInAnyOrder("t2", "t1");
    }

    @Test
    void inputThatCannotBeUsedCancelsWithTheReasonAndWritesNothing() throws Exception {
        CommandModule module = run(
                "MeasureStudy",
                Map.of(
                        "study", folder.resolve("absent").toFile(),
                        "outline", ELLIPSOIDS.resolve("outline.dcm").toFile(),
                        "out", folder.resolve("out").toFile()),
                true);
        assertThat(module.getCancelReason()).contains("absent: found no such folder, expected a study's folder");
        assertThat(module.getOutput("table")).isNull();
        assertThat(folder.resolve("out")).doesNotExist();
        assertThat(run("MapAdc", Map.of("images", new File[0], "bValues", "0, x"), true)
                        .getCancelReason())
                .contains("b-values: found x");
    }

    @Test
    void aCommandThatIsStoppedLeavesNothingBehind() throws Exception {
        // whoever shows the task stops it at once
        Context stopping = new Context();
        List<Object> kept = stopping.service(org.scijava.event.EventService.class).subscribe(new Stopper()).stream()
                .map(Object.class::cast)
                .toList();
        CommandModule module = stopping.service(CommandService.class)
                .run(
                        MeasureStudy.class,
                        true,
                        Map.of(
                                "study", ELLIPSOIDS.resolve("study").toFile(),
                                "outline", ELLIPSOIDS.resolve("outline.dcm").toFile(),
                                "out", folder.resolve("out").toFile()))
                .get();
        assertThat(kept).isNotEmpty();
        assertThat(module.getCancelReason()).isEqualTo("stopped; nothing was written");
        assertThat(folder.resolve("out")).doesNotExist();
        stopping.dispose();
    }

    /** Stops every task when it begins. */
    private static final class Stopper {
        @org.scijava.event.EventHandler
        void began(TaskEvent event) {
            if (!event.getTask().isCanceled()) event.getTask().cancel("the test stops it");
        }
    }

    private static CommandModule run(String name, Map<String, Object> inputs)
            throws InterruptedException, ExecutionException {
        return run(name, inputs, false);
    }

    private static CommandModule run(String name, Map<String, Object> inputs, boolean expected)
            throws InterruptedException, ExecutionException {
        CommandModule module = context.service(CommandService.class)
                .run("org.leiogauge.plugin." + name, true, inputs)
                .get();
        assertThat(module.isCanceled())
                .as(String.valueOf(module.getCancelReason()))
                .isEqualTo(expected);
        return module;
    }

    private static double number(CsvTable table, String column, String wanted, String of) {
        assertThat(table).as("the command's table").isNotNull();
        int key = table.columns().indexOf(column);
        int value = table.columns().indexOf(of);
        return Double.parseDouble(table.rows().stream()
                .filter(row -> row.get(key).equals(wanted))
                .findFirst()
                .orElseThrow()
                .get(value));
    }

    private static Mask box(int x0, int x1, int y0, int y1, int z0, int z1) {
        byte[] voxels = new byte[GRID.size().voxels()];
        for (int z = z0; z < z1; z++)
            for (int y = y0; y < y1; y++) for (int x = x0; x < x1; x++) voxels[GRID.offset(x, y, z)] = 1;
        return new Mask(GRID, voxels);
    }

    private Path table(String name, double more) throws IOException {
        StringBuilder text = new StringBuilder(
                "case,lesion,region,series,group,feature,code,aggregation,value,unit,low,high,status,note\n");
        for (String lesion : new TreeSet<>(List.of("a", "b", "c", "d")))
            text.append(
                    lesion + ",L1,lesion,adc,lesion,adc p50,,," + (lesion.charAt(0) + more) + ",10-3.mm2/s,,,ok,\n");
        return Files.writeString(folder.resolve(name), text.toString());
    }
}
