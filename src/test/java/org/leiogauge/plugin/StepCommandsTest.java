// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.CsvTable;
import org.scijava.Context;
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;

/** The single steps of a case, as commands. The study is {@code EllipsoidStudy}, whose ellipsoids are the oracle. */
class StepCommandsTest {
    private static final Path ELLIPSOIDS = Path.of("test-images/ellipsoids");

    private static Context context;

    @TempDir
    static Path shared;

    private static Path measured;

    @TempDir
    Path folder;

    @BeforeAll
    static void measure() throws Exception {
        context = new Context();
        measured = shared.resolve("measured");
        Path settings = Files.writeString(shared.resolve("settings.yaml"), "stability: {draws: 2}\n");
        Map<String, Object> inputs = onEllipsoids();
        inputs.putAll(Map.of("settings", settings.toFile(), "out", measured.toFile()));
        assertThat(run("MeasureStudy", inputs).getCancelReason()).isNull();
    }

    @AfterAll
    static void close() {
        context.dispose();
    }

    // Oracle: closed form of the ellipsoid; voxels and slices as in the study's own test: 2 %.
    @Test
    void anOutlineIsLoadedAsMaskAndImage() throws Exception {
        Map<String, Object> inputs = onEllipsoids();
        inputs.put("out", folder.resolve("mask.nii.gz").toFile());
        CommandModule module = run("LoadOutline", inputs);
        assertThat((double) module.getOutput("volume"))
                .isCloseTo(4.0 / 3 * Math.PI * 30 * 25 * 22, within(0.02 * 69115));
        Mask mask = (Mask) module.getOutput("mask");
        assertThat(((Volume) module.getOutput("image")).grid()).isEqualTo(mask.grid());
        assertThat((String) module.getOutput("series")).contains("T2 sagittal");
        assertThat(NiftiReader.readMask(folder.resolve("mask.nii.gz")).voxels()).isEqualTo(mask.voxels());
    }

    // Oracle: closed forms of a ball of 40 mm and of an ellipsoid of 50, 30 and 40 mm; slices of 4 mm: 3 %.
    @Test
    void anOutlineIsDrawnByAClickOrAnEllipse() throws Exception {
        Map<String, Object> click = new HashMap<>(Map.of("study", study(), "centre", "0 0 0", "diameter", 40.0));
        double ball = 4.0 / 3 * Math.PI * 20 * 20 * 20;
        assertThat((double) run("DrawOutline", click).getOutput("volume")).isCloseTo(ball, within(0.03 * ball));
        click.putAll(Map.of("diameter", 50.0, "across", 30.0, "turn", 25.0));
        double ellipsoid = 4.0 / 3 * Math.PI * 25 * 15 * 20;
        assertThat((double) run("DrawOutline", click).getOutput("volume"))
                .isCloseTo(ellipsoid, within(0.03 * ellipsoid));
    }

    // Oracle: by hand; a square of 10 by 10 voxels with a hole of 4 by 4, and one of 3 by 3 on the next slice.
    @Test
    void anOutlineIsDrawnAsAreasOnSlices() throws Exception {
        String areas = "7: 9.5 9.5 19.5 9.5 19.5 19.5 9.5 19.5; 7: 12.5 12.5 16.5 12.5 16.5 16.5 12.5 16.5;"
                + " 8: 9.5 9.5 12.5 9.5 12.5 12.5 9.5 12.5";
        Mask mask = (Mask)
                run("DrawOutline", Map.of("study", study(), "areas", areas)).getOutput("mask");
        assertThat(mask.count()).isEqualTo(100 - 16 + 9);
        assertThat(mask.has(10, 10, 6)).isTrue();
        assertThat(mask.has(13, 13, 6)).isFalse();
        assertThat(mask.has(10, 10, 7)).isTrue();
    }

    @Test
    void wordsThatAreNoOutlineAreRefused() throws Exception {
        Map<String, String> wrong = Map.of(
                "7: 1 1 2 2", "points must be three or more",
                "7: 1 1 2 2 3", "pairs of x and y",
                "7.5: 1 1 2 2 3 1", "a slice, a colon",
                "99: 1 1 2 2 3 1", "expected 1 to 20",
                "7: 1 1 x 2 3 1", "found x, expected numbers",
                "7: 1 1 NaN 2 3 1", "two numbers");
        for (Map.Entry<String, String> one : wrong.entrySet())
            assertThat(run("DrawOutline", Map.of("study", study(), "areas", one.getKey()))
                            .getCancelReason())
                    .contains(one.getValue());
        assertThat(run("DrawOutline", Map.of("study", study())).getCancelReason())
                .contains("neither or both");
        assertThat(run("DrawOutline", Map.of("study", study(), "centre", "0 0 0"))
                        .getCancelReason())
                .contains("diameter must be above 0");
        assertThat(run("DrawOutline", Map.of("study", study(), "centre", "900 0 0", "diameter", 9.0))
                        .getCancelReason())
                .contains("a point within T2 sagittal");
    }

    // Oracle: the finished run of the same command; by hand, slices at 2, 6 ... 18 mm on both sides.
    @Test
    void aPreviewOfAnOutlineIsTheOutline() throws Exception {
        Map<String, Object> click = Map.of("study", study(), "centre", "0 0 0", "diameter", 40.0);
        CommandModule preview = preview("DrawOutline", click);
        Mask mask = (Mask) run("DrawOutline", click).getOutput("mask");
        assertThat(((Mask) preview.getOutput("mask")).voxels()).isEqualTo(mask.voxels());
        assertThat((String) preview.getInput("note")).isEqualTo("33.9 mL on 10 slices of T2 sagittal");
        preview.setInput("diameter", -1.0);
        preview.preview();
        assertThat((String) preview.getInput("note")).contains("diameter must be above 0");
        preview.cancel();
        assertThat((String) preview.getInput("note")).isEqualTo("For research. Not a diagnosis.");
    }

    // Oracle: the signal's own law on the middle slice; half of the region's voxels 7, half 9, in as many levels.
    @Test
    void previewsOfMapAndTextureSayWhatWillCome() throws Exception {
        Grid grid = new Grid(new Size(12, 10, 6), new Spacing(1, 2, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));
        File[] images = new File[2];
        for (int i = 0; i < 2; i++) {
            float[] voxels = new float[grid.size().voxels()];
            java.util.Arrays.fill(voxels, (float) (1000 * Math.exp(-800.0 * i * 1.25e-3)));
            images[i] = folder.resolve("b" + i + ".nii").toFile();
            NiftiWriter.write(images[i].toPath(), new Volume(grid, voxels));
        }
        CommandModule map = preview("MapAdc", Map.of("images", images, "bValues", "0, 800"));
        Volume adc = (Volume) map.getOutput("adc");
        assertThat(adc.grid()).isEqualTo(grid.crop(new org.leiogauge.image.Box(0, 0, 3, 11, 9, 3)));
        assertThat(adc.at(5, 5, 0)).isCloseTo(1.25f, within(1e-4f));
        assertThat((String) map.getInput("note")).isEqualTo("slice 4 of 6: 0 of 120 voxels not fitted");

        float[] voxels = new float[grid.size().voxels()];
        byte[] inside = new byte[voxels.length];
        for (int i = 0; i < 240; i++) {
            voxels[i] = i % 2 == 0 ? 7 : 9;
            inside[i] = 1;
        }
        NiftiWriter.write(folder.resolve("image.nii"), new Volume(grid, voxels));
        NiftiWriter.write(folder.resolve("mask.nii"), new Mask(grid, inside));
        Path settings = Files.writeString(
                folder.resolve("settings.yaml"),
                "features:\n  discretise: {method: fixed-width, width: 1, origin: 0}\n");
        CommandModule texture = preview(
                "MeasureFeatures",
                Map.of(
                        "image", folder.resolve("image.nii").toFile(),
                        "mask", folder.resolve("mask.nii").toFile(),
                        "settings", settings.toFile()));
        assertThat((String) texture.getInput("note")).isEqualTo("240 voxels in 10 grey levels");
    }

    private static CommandModule preview(String name, Map<String, Object> inputs) {
        org.scijava.command.CommandInfo info =
                context.service(CommandService.class).getCommand("org.leiogauge.plugin." + name);
        assertThat(info.canPreview()).isTrue();
        CommandModule module = (CommandModule)
                context.service(org.scijava.module.ModuleService.class).createModule(info);
        inputs.forEach(module::setInput);
        module.preview();
        return module;
    }

    private static File study() {
        return ELLIPSOIDS.resolve("study").toFile();
    }

    // Oracle: nothing moved between the series; T1 signals 290 of the lesion and 180 of its fluid, scattered by noise.
    @Test
    void aSeriesIsLaidOverTheOutline() throws Exception {
        Map<String, Object> inputs = onEllipsoids();
        inputs.putAll(Map.of("role", "t1", "out", folder.resolve("t1.nii").toFile()));
        CommandModule module = run("AlignSeries", inputs);
        assertThat(module.getCancelReason()).isNull();
        Volume t1 = (Volume) module.getOutput("image");
        assertThat(mean(t1, new Point(-12, 6, -6), 5)).isCloseTo(290, within(15.0));
        assertThat(mean(t1, new Point(8, -4, 5), 4)).isCloseTo(180, within(15.0));
        assertThat((double) module.getOutput("residual")).isBetween(0.0, 2.0);
        assertThat((String) module.getOutput("decisions")).contains("T1 axial");
        assertThat(NiftiReader.read(folder.resolve("t1.nii")).voxels()).isEqualTo(t1.voxels());
    }

    @Test
    void aRoleThatTheStudyLacksIsNamed() throws Exception {
        Map<String, Object> inputs = onEllipsoids();
        inputs.put("role", "dwi");
        assertThat(run("AlignSeries", inputs).getCancelReason()).contains("no series that is diffusion-weighted");
        inputs.put("role", "t2");
        assertThat(run("AlignSeries", inputs).getCancelReason()).contains("the outline's own");
    }

    // Oracle: T2 signals 480 of the uterus and 1150 of the fluid; 5 % for the median of what noise scatters.
    @Test
    void referenceRegionsArePlacedAndKeptInACaseFile() throws Exception {
        Map<String, Object> inputs = onEllipsoids();
        inputs.putAll(Map.of(
                "places", "myometrium 0 4 33 4; urine 0 -20 -45 8; muscle 58 30 0 5",
                "caseFile", ELLIPSOIDS.resolve("case.yaml").toFile(),
                "out", folder.resolve("case.yaml").toFile()));
        CommandModule module = run("PlaceReferences", inputs);
        assertThat(module.getCancelReason()).isNull();
        List<List<String>> rows = ((CsvTable) module.getOutput("table")).rows();
        assertThat(Double.parseDouble(rows.get(0).get(5))).isCloseTo(480, within(24.0));
        assertThat(Double.parseDouble(rows.get(1).get(5))).isCloseTo(1150, within(57.0));
        // the sagittal slices do not reach so far
        assertThat(rows.get(2).get(8)).contains("region holds 0 voxels");
        CaseFile kept = CaseFile.read(folder.resolve("case.yaml"));
        assertThat(kept.references()).containsOnlyKeys(Tissue.MYOMETRIUM, Tissue.URINE);
        assertThat(kept.caseName()).isEqualTo("demo");
        assertThat(Files.readString(folder.resolve("case.yaml"))).isEqualTo(module.getOutput("references"));
    }

    @Test
    void aProposalIsUsedOnlyOnceAReaderHasConfirmedIt() throws Exception {
        Map<String, Object> inputs = onEllipsoids();
        File proposal = folder.resolve("references.yaml").toFile();
        inputs.put("out", proposal);
        CommandModule module = run("PlaceReferences", inputs);
        assertThat(module.getCancelReason()).isNull();
        assertThat((String) module.getOutput("references")).contains("confirmed: false", "urine: {points");
        inputs.put("references", proposal);
        inputs.put("out", folder.resolve("out").toFile());
        assertThat(run("MeasureStudy", inputs).getCancelReason()).contains("confirmed: found false");
    }

    @Test
    void wordsThatAreNoPlaceAreRefused() throws Exception {
        for (String words : List.of("bone 1 2 3 4", "muscle 1 2 3", "muscle 1 2 x 4", "muscle 1 2 3 -4")) {
            Map<String, Object> inputs = onEllipsoids();
            inputs.put("places", words);
            assertThat(run("PlaceReferences", inputs).getCancelReason()).contains("places");
        }
    }

    // Oracle: the report that the measurement itself wrote, byte by byte.
    @Test
    void aReportWrittenAgainIsTheSame() throws Exception {
        Path out = folder.resolve("report");
        CommandModule module = run("WriteReport", Map.of("measured", measured.toFile(), "out", out.toFile()));
        assertThat(module.getCancelReason()).isNull();
        assertThat((File) module.getOutput("report"))
                .hasSameBinaryContentAs(measured.resolve("report.html").toFile());
        assertThat((File) module.getOutput("paper"))
                .hasSameBinaryContentAs(measured.resolve("report.pdf").toFile());
    }

    @Test
    void aReportWithAnotherPrevalenceSaysSo() throws Exception {
        Path out = folder.resolve("report");
        String before = Files.readString(measured.resolve("report.html"));
        run("WriteReport", Map.of("measured", measured.toFile(), "prevalence", "0.031", "out", out.toFile()));
        assertThat(Files.readString(out.resolve("report.html"))).contains("3.1 %");
        assertThat(before).doesNotContain("3.1 %");
        assertThat(measured.resolve("report.html")).hasContent(before);
    }

    @Test
    void whatIsNoMeasuredCaseIsRefusedAndNothingWritten() throws Exception {
        File out = folder.resolve("report").toFile();
        assertThat(run("WriteReport", Map.of("measured", folder.toFile(), "out", out))
                        .getCancelReason())
                .contains("no features.csv");
        assertThat(run("WriteReport", Map.of("measured", measured.toFile(), "out", measured.toFile()))
                        .getCancelReason())
                .contains("the measured folder itself");
        Path hostile = Files.createDirectory(folder.resolve("hostile"));
        for (String name : List.of("features.csv", "settings.yaml"))
            Files.copy(measured.resolve(name), hostile.resolve(name));
        Files.writeString(
                hostile.resolve("report.yaml"),
                Files.readString(measured.resolve("report.yaml")).replaceFirst("name: .*", "name: ../../secret"));
        assertThat(run("WriteReport", Map.of("measured", hostile.toFile(), "out", out))
                        .getCancelReason())
                .contains("report.yaml", "name must be of a-z");
        assertThat(out).doesNotExist();
    }

    private static Map<String, Object> onEllipsoids() {
        return new HashMap<>(Map.of(
                "study", ELLIPSOIDS.resolve("study").toFile(),
                "outline", ELLIPSOIDS.resolve("outline.dcm").toFile(),
                "region", "lesion"));
    }

    private static CommandModule run(String name, Map<String, Object> inputs) throws Exception {
        return context.service(CommandService.class)
                .run("org.leiogauge.plugin." + name, true, inputs)
                .get();
    }

    private static double number(List<String> row, int column) {
        return Double.parseDouble(row.get(column));
    }

    private static double mean(Volume image, Point centre, double radiusMm) {
        Mask ball = ReferenceRegion.ball(image.grid(), centre, radiusMm);
        double sum = 0;
        for (int i = 0; i < ball.voxels().length; i++) if (ball.voxels()[i] != 0) sum += image.voxels()[i];
        return sum / ball.count();
    }
}
