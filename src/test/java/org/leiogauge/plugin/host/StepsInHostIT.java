// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.scijava.Context;
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;

/**
 * Every step of a case in the classic host, by the one jar as it is built; each held against the SciJava command on the usual class
 * path. The study's ellipsoids are those of {@code EllipsoidStudy}.
 */
class StepsInHostIT {
    private static final File STUDY = new File("test-images/ellipsoids/study");
    private static final File OUTLINE = new File("test-images/ellipsoids/outline.dcm");
    private static final Grid SMALL =
            new Grid(new Size(12, 10, 6), new Spacing(1, 2, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));

    @TempDir
    static Path folder;

    private static Path given;
    private static Path seen;

    @BeforeAll
    static void walkThroughTheSteps() throws Exception {
        assertThat(ForeignJava.JAR).as("built by mvn package").isRegularFile();
        assumeTrue(ForeignJava.hasScreen() || "true".equals(System.getenv("CI")), "not installed: xvfb, xauth");
        given = Files.createDirectories(folder.resolve("with spaces/given"));
        seen = Files.createDirectories(folder.resolve("seen"));
        prepare();
        new ForeignJava(folder).walk("StepWalk", given, seen);
    }

    private static void prepare() throws IOException {
        Path study = Files.createDirectory(given.resolve("study"));
        try (Stream<Path> all = Files.list(STUDY.toPath())) {
            for (Path file : all.toList()) Files.copy(file, study.resolve(file.getFileName()));
        }
        Files.copy(OUTLINE.toPath(), given.resolve("outline.dcm"));
        HostImages.save(HostImages.diffusion(), given, "diffusion.tif");
        Files.writeString(given.resolve("settings.yaml"), "stability: {draws: 2}\n");
        byte[] inside = new byte[SMALL.size().voxels()];
        Arrays.fill(inside, SMALL.offset(0, 0, 2), SMALL.offset(0, 0, 4), (byte) 1);
        NiftiWriter.write(given.resolve("mask.nii"), new Mask(SMALL, inside));
        for (int i = 0; i < 2; i++) {
            float[] voxels = new float[SMALL.size().voxels()];
            Arrays.fill(voxels, (float) (1000 * Math.exp(-800.0 * i * 1.25e-3)));
            NiftiWriter.write(given.resolve("b" + i + ".nii"), new Volume(SMALL, voxels));
        }
        for (String name : List.of("first", "second")) {
            StringBuilder table = new StringBuilder(
                    "case,lesion,region,series,group,feature,code,aggregation,value,unit,low,high,status,note\n");
            for (char one = 'a'; one <= 'd'; one++)
                table.append(one + ",L1,lesion,adc,lesion,adc p50,,," + (one + (name.equals("first") ? 0 : 2))
                        + ",10-3.mm2/s,,,ok,\n");
            Files.writeString(given.resolve(name + ".csv"), table);
        }
    }

    // Oracle: the series that were written, by the study's own test: T2 sagittal and T1 axial.
    @Test
    void aStudyIsOpenedAsTableAndImage() throws IOException {
        assertThat(text("series.txt")).contains("T2 sagittal", "T1 axial");
        Grid grid = t2().grid();
        assertThat(text("image.txt"))
                .isEqualTo("Image of the series " + grid.size().z());
    }

    // Oracle: the equation of the host's ovals at the centres of its pixels, by the host's own mask of them.
    @Test
    void areasDrawnOnSlicesAreTheOutline() throws Exception {
        Mask drawn = NiftiReader.readMask(seen.resolve("areas.nii.gz"));
        Size size = drawn.grid().size();
        byte[] expected = new byte[size.voxels()];
        fill(expected, drawn.grid(), size.z() / 2 - 1, 30, 22);
        fill(expected, drawn.grid(), size.z() / 2, 24, 26);
        assertThat(drawn.voxels()).isEqualTo(expected);
    }

    private static void fill(byte[] voxels, Grid grid, int z, int width, int height) {
        ij.process.ImageProcessor mask = new ij.gui.OvalRoi(0, 0, width, height).getMask();
        int left = (grid.size().x() - width) / 2;
        int top = (grid.size().y() - height) / 2;
        for (int y = 0; y < height; y++)
            for (int x = 0; x < width; x++) if (mask.get(x, y) != 0) voxels[grid.offset(left + x, top + y, z)] = 1;
    }

    @Test
    void oneClickOrAnEllipseIsTheOutlineOfTheCommand() throws Exception {
        Map<String, Object> click = Map.of("study", STUDY, "centre", "0 0 0", "diameter", 40.0);
        assertThat(mask("ball.nii.gz")).isEqualTo(((Mask) output("DrawOutline", click, "mask")).voxels());
        Map<String, Object> ellipse =
                Map.of("study", STUDY, "centre", "0 0 0", "diameter", 50.0, "across", 30.0, "turn", 25.0);
        assertThat(mask("ellipse.nii.gz"))
                .isEqualTo(((Mask) output("DrawOutline", ellipse, "mask")).voxels())
                .isNotEqualTo(mask("ball.nii.gz"));
    }

    @Test
    void anOutlineIsLoadedAsOverlayAndRefinedOnTheSameImage() throws Exception {
        Map<String, Object> lesion = Map.of("study", STUDY, "outline", OUTLINE, "region", "lesion");
        Mask loaded = (Mask) output("LoadOutline", lesion, "mask");
        assertThat(mask("loaded.nii.gz")).isEqualTo(loaded.voxels());
        assertThat(text("loaded.txt")).isEqualTo("Image of the series, areas: " + slices(loaded));
        File rough = seen.resolve("loaded.nii.gz").toFile();
        Mask refined = (Mask) output("RefineOutline", Map.of("study", STUDY, "rough", rough), "mask");
        assertThat(mask("refined.nii.gz")).isEqualTo(refined.voxels()).isNotEqualTo(loaded.voxels());
        assertThat(text("refined.txt")).isEqualTo("true, areas: " + slices(refined));
    }

    // Oracle: T2 signal 1150 of the bladder; 5 % for the median of what noise scatters.
    @Test
    void anAreaThatBearsATissuesNameIsItsReference() throws IOException {
        List<String> row =
                List.of(Files.readAllLines(seen.resolve("places.txt")).get(1).split("\t"));
        assertThat(row.get(0)).isEqualTo("urine");
        assertThat(Double.parseDouble(row.get(5))).isCloseTo(1150, within(57.0));
        assertThat(text("case.yaml")).contains("urine:");
    }

    @Test
    void aSeriesIsAlignedAsByTheCommand() throws Exception {
        Map<String, Object> inputs = new HashMap<>(Map.of("study", STUDY, "role", "t1"));
        inputs.put("outline", seen.resolve("refined.nii.gz").toFile());
        assertThat(NiftiReader.read(seen.resolve("t1.nii.gz")).voxels())
                .isEqualTo(((Volume) output("AlignSeries", inputs, "image")).voxels());
    }

    @Test
    void aMeasuredStudyIsAppraisedComparedAndReported() throws IOException {
        assertThat(seen.resolve("again/report.html")).hasSameBinaryContentAs(seen.resolve("measured/report.html"));
        assertThat(text("log.txt")).contains("Leiogauge: Appraisal: ", "Prevalence: 0.2 %", "not a diagnosis");
        // Oracle: by hand; each value of the second table is 2 more
        assertThat(Files.readAllLines(seen.resolve("agreement.txt")))
                .anyMatch(row -> row.contains("\t-2.0\t") && row.contains("\tbias\t"));
    }

    // Oracle: by hand, 2 slices of 12 × 10 voxels of 1 × 2 × 3 mm; the signal's own law, D = 1.25 · 10⁻³ mm²/s.
    @Test
    void filesAreMeasuredAndMapped() throws IOException {
        List<List<String>> rows = Files.readAllLines(seen.resolve("features.txt")).stream()
                .map(line -> List.of(line.split("\t", -1)))
                .toList();
        List<String> volume =
                rows.stream().filter(row -> row.contains("YEKZ")).findFirst().orElseThrow();
        assertThat(Double.parseDouble(volume.get(rows.get(0).indexOf("value")))).isCloseTo(1440, within(1e-2));
        assertThat(Float.parseFloat(text("adc.txt"))).isCloseTo(1.25f, within(1e-4f));
        assertThat(seen.resolve("invented/dicom")).isNotEmptyDirectory();
    }

    @Test
    void whatIsMissingIsSaidInTheLog() throws IOException {
        assertThat(text("log.txt"))
                .contains(
                        "Leiogauge: active image: found none, expected an image that is open",
                        "Leiogauge: Refine an Outline: Rough outline: found nothing, expected what it asks for",
                        "absent: found no such folder, expected a study's folder",
                        "Leiogauge: outline: at: found ",
                        "Leiogauge: foreign: found an image of which the place in the patient is not known");
    }

    @Test
    void theDialogTakesTheSelectedPointAndTheRecordersLineRunsAgain() throws IOException {
        assertThat(text("recorded.txt"))
                .startsWith("run(\"Draw an Outline...\", \"study=[" + given.resolve("study"))
                .contains("series=t2 centre=[" + voxelNearestToTheOrigin() + "] diameter=36 across=0 turn=0");
        assertThat(text("by-dialog.txt")).matches("[1-9].* areas").isEqualTo(text("by-macro.txt"));
    }

    // Oracle: the finished outline; the signal's own law of the images.
    @Test
    void aPreviewShowsWhatWillComeAndLeavesNothingBehind() throws IOException {
        assertThat(text("preview.txt")).isEqualTo(text("by-dialog.txt"));
        assertThat(text("after-preview.txt")).isEqualTo("null true");
        assertThat(Double.parseDouble(text("adc-preview.txt"))).isCloseTo(HostImages.diffusivity(7), within(1e-4));
    }

    private static String voxelNearestToTheOrigin() {
        Grid grid = t2().grid();
        Index at = grid.index(new Point(0, 0, 0));
        Point point = grid.point(Math.round(at.x()), Math.round(at.y()), Math.round(at.z()));
        return String.format(Locale.ROOT, "%.2f %.2f %.2f", point.x(), point.y(), point.z());
    }

    private static long slices(Mask mask) {
        Size size = mask.grid().size();
        int plane = size.x() * size.y();
        return java.util.stream.IntStream.range(0, size.z())
                .filter(z -> java.util.stream.IntStream.range(z * plane, (z + 1) * plane)
                        .anyMatch(i -> mask.voxels()[i] != 0))
                .count();
    }

    private static Volume t2() {
        return (Volume) output("InspectStudy", Map.of("study", STUDY, "role", "t2"), "image");
    }

    private static Object output(String command, Map<String, Object> inputs, String name) {
        try (Context context = new Context()) {
            CommandModule module = context.service(CommandService.class)
                    .run("org.leiogauge.plugin." + command, true, inputs)
                    .get();
            assertThat(module.getCancelReason()).isNull();
            return module.getOutput(name);
        } catch (InterruptedException | java.util.concurrent.ExecutionException e) {
            throw new IllegalStateException(e);
        }
    }

    private static byte[] mask(String file) {
        try {
            return NiftiReader.readMask(seen.resolve(file)).voxels();
        } catch (org.leiogauge.task.InputException e) {
            throw new IllegalStateException(e);
        }
    }

    private static String text(String file) throws IOException {
        return Files.readString(seen.resolve(file));
    }
}
