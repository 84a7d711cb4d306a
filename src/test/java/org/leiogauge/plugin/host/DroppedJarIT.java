// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assumptions.assumeTrue;
import static org.leiogauge.dicom.OutsideTool.assumePresent;

import ij.IJ;
import ij.ImagePlus;
import ij.gui.Roi;
import ij.measure.Calibration;
import ij.process.ImageProcessor;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.jar.JarFile;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.OutsideTool;
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
import org.scijava.command.CommandModule;
import org.scijava.command.CommandService;
import org.scijava.parsington.Operator;

/**
 * The one jar as it is built, dropped into the classic host and put before a bare SciJava context, each in a Java of its own
 * that knows nothing else of ours. Values are held against those of the same commands on the usual class path.
 */
class DroppedJarIT {
    private static final Path JAR = ForeignJava.JAR;
    private static final Path STUDY = Path.of("test-images/ellipsoids/study");
    private static final Path OUTLINE = Path.of("test-images/ellipsoids/outline.dcm");
    private static final Set<String> NUMBERS = Set.of("value", "low", "high");
    private static final String STUDY_TABLE = "study.csv";

    @TempDir
    static Path folder;

    private static Path given;
    private static Path seen;

    @BeforeAll
    static void walkThroughTheHost() throws Exception {
        assertThat(JAR).as("built by mvn package").isRegularFile();
        assumeTrue(ForeignJava.hasScreen() || "true".equals(System.getenv("CI")), "not installed: xvfb, xauth");
        given = Files.createDirectories(folder.resolve("with spaces/given"));
        seen = Files.createDirectories(folder.resolve("seen"));
        prepare();
        new ForeignJava(folder).walk("HostWalk", given, seen);
    }

    private static void prepare() throws IOException {
        HostImages.save(HostImages.lesion(), given, "lesion.tif");
        HostImages.save(HostImages.stack(), given, "stack.tif");
        HostImages.save(HostImages.diffusion(), given, "diffusion.tif");
        HostImages.save(HostImages.withoutRegion(), given, "no-region.tif");
        HostImages.save(HostImages.withoutUnit(), given, "no-unit.tif");
        HostImages.save(HostImages.inColours(), given, "colours.tif");
        Path batch = Files.createDirectory(given.resolve("batch"));
        HostImages.save(HostImages.lesion(), batch, "a.tif");
        HostImages.save(HostImages.withoutRegion(), batch, "b.tif");
        HostImages.save(HostImages.lesion(), batch, "c.tif");
        Path study = Files.createDirectory(given.resolve("study"));
        try (Stream<Path> all = Files.list(STUDY)) {
            for (Path file : all.toList()) Files.copy(file, study.resolve(file.getFileName()));
        }
        Files.copy(OUTLINE, given.resolve("outline.dcm"));
    }

    @Test
    void theMenuHoldsOurEntries() throws IOException {
        assertThat(Files.readAllLines(seen.resolve("menu.txt")))
                .containsExactlyInAnyOrder(
                        "Open a Study...",
                        "Draw an Outline...",
                        "Load an Outline...",
                        "Refine an Outline...",
                        "Align a Series...",
                        "Place Reference Regions...",
                        "Measure a Study...",
                        "Appraise a Table...",
                        "Compare Two Tables...",
                        "Write a Report...",
                        "Measure Drawn Region...",
                        "Texture of Drawn Region...",
                        "ADC Map of Stack...",
                        "Standard Features of Files...",
                        "ADC Map of Files...",
                        "Invent a Study...");
    }

    // Oracle: the headless command on the same voxels and the host's own pixels of the region, digit by digit.
    @Test
    void theActiveImageIsMeasuredAsTheCommandDoes() throws Exception {
        assertThat(rows("measure.csv")).isEqualTo(headless(HostImages.lesion(), "[shape, intensity]"));
        assertThat(Files.readString(seen.resolve("overlay.txt"))).isEqualTo("1 on slice 1");
    }

    @Test
    void theTextureOfTheDrawnRegionIsThatOfTheCommand() throws Exception {
        assertThat(rows("texture.csv"))
                .isEqualTo(headless(HostImages.lesion(), "[glcm, glrlm, glszm, gldzm, ngtdm, ngldm]"));
    }

    @Test
    void circlesMarkedOnSlicesAreOneRegionInSpace() throws Exception {
        assertThat(rows("marked.csv")).isEqualTo(headless(HostImages.stack(), "[shape, intensity]"));
    }

    // Oracle: the host's own area and mean of the region.
    @Test
    void theRegionIsTheOneTheHostMeasures() throws Exception {
        ImagePlus image = HostImages.lesion();
        double area = image.getStatistics().area;
        double mean = image.getStatistics().mean;
        CsvTable table = read("measure.csv");
        assertThat(value(table, "YEKZ")).isCloseTo(area * image.getCalibration().pixelDepth, within(1e-9 * area));
        assertThat(value(table, "Q4LE")).isCloseTo(mean, within(1e-9 * mean));
    }

    // Oracle: the signal's own law, which the images follow but for their rounding to 32 bits; and the headless
    // command.
    @Test
    void theStackBecomesTheAdcMapOfTheCommand() throws Exception {
        ImagePlus map = IJ.openImage(seen.resolve("adc.tif").toString());
        ImagePlus images = HostImages.diffusion();
        File[] files = new File[HostImages.B_VALUES.length];
        for (int b = 0; b < files.length; b++) {
            files[b] = folder.resolve("b" + b + ".nii").toFile();
            NiftiWriter.write(files[b].toPath(), volume(images, b + 1, 1));
        }
        Path out = folder.resolve("adc.nii");
        command("MapAdc", Map.of("images", files, "bValues", "0,400,800", "out", out.toFile()));
        float[] adc = NiftiReader.read(out).voxels();
        for (int y = 0; y < images.getHeight(); y++)
            for (int x = 0; x < images.getWidth(); x++) {
                assertThat(map.getProcessor().getf(x, y)).isEqualTo(adc[y * images.getWidth() + x]);
                assertThat((double) map.getProcessor().getf(x, y)).isCloseTo(HostImages.diffusivity(x), within(1e-4));
            }
        assertThat(map.getCalibration().pixelHeight).isEqualTo(HostImages.SPACING_MM[1]);
    }

    @Test
    void theBatchLeavesATableBesideEachImageThatHasARegion() throws IOException {
        Path batch = given.resolve("batch");
        String table = Files.readString(batch.resolve("a-features.csv"));
        assertThat(table).isEqualTo(Files.readString(seen.resolve("host-measure.csv")));
        assertThat(Files.readString(batch.resolve("c-features.csv"))).isEqualTo(table);
        assertThat(batch.resolve("b-features.csv")).doesNotExist();
    }

    @Test
    void aStudyIsMeasuredIntoTheHostsTableAsByTheCommand() throws Exception {
        Path out = folder.resolve("usual");
        command(
                "MeasureStudy",
                Map.of(
                        "study", STUDY.toFile(),
                        "outline", OUTLINE.toFile(),
                        "region", "lesion",
                        "out", out.toFile()));
        assertThat(rows(STUDY_TABLE)).isEqualTo(rows(CsvTable.read(out.resolve("features.csv"))));
        assertThat(seen.resolve("measured/report.html")).hasSameTextualContentAs(out.resolve("report.html"));
    }

    @Test
    void whatIsMissingIsSaidInTheLogAndTheImageStaysAsItWas() throws IOException {
        assertThat(Files.readString(seen.resolve("log.txt")))
                .contains(
                        "Leiogauge: active image: found none, expected an image that is open",
                        "Leiogauge: no-region.tif: found no area drawn on it, expected a region: draw one",
                        "Leiogauge: no-unit.tif: unit of length: found pixel, expected mm: set unit",
                        "Leiogauge: colours.tif: found an image in colours, expected grey values",
                        "Leiogauge: diffusion.tif: b-values: found 2 given, expected one per image, 3");
        assertThat(Files.readString(seen.resolve("no-region.tif.txt"))).isEqualTo("true false false");
        assertThat(Files.readString(seen.resolve("no-unit.tif.txt"))).isEqualTo("true true false");
        assertThat(Files.readString(seen.resolve("colours.tif.txt"))).isEqualTo("true true false");
    }

    @Test
    void whatTheRecorderWroteDoesTheSameAgain() throws IOException {
        assertThat(Files.readString(seen.resolve("recorded.txt")))
                .isEqualTo(
                        "run(\"Measure Drawn Region...\", \"families=[shape and signal] bins=32 slices=[the one shown]\");");
        assertThat(rows("by-dialog.csv")).isEqualTo(rows("measure.csv"));
        assertThat(rows("recorded.csv")).isEqualTo(rows("measure.csv"));
    }

    // Oracle: the same commands on the usual class path, every file byte by byte.
    @Test
    void aBareContextDoesAllThatTheUsualClassPathDoes() throws Exception {
        assumePresent("gdcmconv");
        Path compressed = Files.createDirectory(folder.resolve("compressed"));
        try (Stream<Path> all = Files.list(STUDY)) {
            for (Path file : all.toList())
                OutsideTool.run(
                        "gdcmconv",
                        "--j2k",
                        file.toString(),
                        compressed.resolve(file.getFileName()).toString());
        }
        Path settings = Files.writeString(folder.resolve("settings.yaml"), "stability: {draws: 2}\n");
        Path bare = folder.resolve("bare");
        Path usual = folder.resolve("usual-context");
        List<Object> paths = List.of(STUDY, OUTLINE, compressed, settings);
        List<Object> arguments =
                new ArrayList<>(List.of("-Djava.awt.headless=true", "-Xmx2g", "org.leiogauge.plugin.host.BareContext"));
        arguments.addAll(paths);
        arguments.add(bare);
        ForeignJava foreign = new ForeignJava(folder);
        foreign.run(ForeignJava.java(
                List.of(
                        JAR.toAbsolutePath(),
                        ForeignJava.jarOf(Context.class),
                        ForeignJava.jarOf(Operator.class),
                        foreign.alone("BareContext")),
                arguments.toArray()));
        BareContext.main(Stream.concat(paths.stream(), Stream.of(usual))
                .map(Object::toString)
                .toArray(String[]::new));
        Map<String, byte[]> ours = BareContext.files(bare);
        Map<String, byte[]> theirs = BareContext.files(usual);
        assertThat(ours.keySet()).isEqualTo(theirs.keySet()).contains("measured/report.pdf", "region.nii.gz");
        assertThat(theirs.keySet().stream().filter(file -> !Arrays.equals(ours.get(file), theirs.get(file))))
                .isEmpty();
    }

    @Test
    void theJarHoldsNothingThatAHostMayHaveItself() throws IOException {
        Set<String> roots = new TreeSet<>();
        Set<String> names = new HashSet<>();
        try (JarFile jar = new JarFile(JAR.toFile())) {
            jar.stream().map(entry -> entry.getName()).forEach(name -> {
                names.add(name);
                if (name.endsWith(".class"))
                    roots.add(Arrays.stream(name.split("/")).limit(2).collect(Collectors.joining("/")));
            });
        }
        // SciJava lies in a folder into which no host looks
        assertThat(roots).containsExactly("org/leiogauge", "scijava/org");
        assertThat(names)
                .contains("META-INF/json/org.scijava.plugin.Plugin", "plugins.config")
                .noneMatch(name -> name.startsWith("META-INF/services/j") || name.startsWith("org/leiogauge/spark"));
    }

    private static List<Map<String, String>> headless(ImagePlus image, String families) throws Exception {
        boolean stack = image.getStackSize() > 1;
        Path[] files = {folder.resolve("image.nii"), folder.resolve("mask.nii"), folder.resolve("families.yaml")};
        Volume volume = volume(image, 1, image.getStackSize());
        NiftiWriter.write(files[0], volume);
        NiftiWriter.write(files[1], stack ? marked(image, volume.grid()) : drawn(image.getRoi(), volume.grid(), 0));
        Files.writeString(files[2], "features:\n  families: " + families + "\n");
        CommandModule module = command(
                "MeasureFeatures",
                Map.of("image", files[0].toFile(), "mask", files[1].toFile(), "settings", files[2].toFile()));
        return rows((CsvTable) module.getOutput("table"));
    }

    private static Volume volume(ImagePlus image, int first, int slices) {
        Calibration size = image.getCalibration();
        Grid grid = new Grid(
                new Size(image.getWidth(), image.getHeight(), slices),
                new Spacing(size.pixelWidth, size.pixelHeight, size.pixelDepth),
                DirectionCosines.AXIAL,
                new Point(0, 0, 0));
        float[] voxels = new float[grid.size().voxels()];
        int plane = image.getWidth() * image.getHeight();
        for (int z = 0; z < slices; z++)
            for (int i = 0; i < plane; i++)
                voxels[z * plane + i] = image.getStack().getProcessor(first + z).getf(i);
        return new Volume(grid, voxels);
    }

    private static Mask marked(ImagePlus image, Grid grid) {
        byte[] all = new byte[grid.size().voxels()];
        for (Roi roi : image.getOverlay()) {
            byte[] one = drawn(roi, grid, roi.getPosition() - 1).voxels();
            for (int i = 0; i < all.length; i++) all[i] |= one[i];
        }
        return new Mask(grid, all);
    }

    // By the host's own mask of what is drawn.
    private static Mask drawn(Roi roi, Grid grid, int z) {
        byte[] voxels = new byte[grid.size().voxels()];
        ImageProcessor mask = roi.getMask();
        for (int y = 0; y < mask.getHeight(); y++)
            for (int x = 0; x < mask.getWidth(); x++)
                if (mask.get(x, y) != 0) voxels[grid.offset(roi.getBounds().x + x, roi.getBounds().y + y, z)] = 1;
        return new Mask(grid, voxels);
    }

    private static CommandModule command(String name, Map<String, Object> inputs) throws Exception {
        try (Context context = new Context()) {
            CommandModule module = context.service(CommandService.class)
                    .run("org.leiogauge.plugin." + name, true, inputs)
                    .get();
            assertThat(module.getCancelReason()).isNull();
            return module;
        }
    }

    private static List<Map<String, String>> rows(String file) throws IOException {
        return rows(read(file));
    }

    // Cells by column; a number as Java writes it, an empty one as not a number, as the walk through the host does.
    private static List<Map<String, String>> rows(CsvTable table) {
        List<Map<String, String>> rows = new ArrayList<>();
        for (List<String> row : table.rows()) {
            Map<String, String> cells = new TreeMap<>();
            for (int i = 0; i < row.size(); i++) cells.put(table.columns().get(i), row.get(i));
            cells.replaceAll((column, cell) -> NUMBERS.contains(column)
                    ? Double.toString(cell.isEmpty() ? Double.NaN : Double.parseDouble(cell))
                    : cell);
            rows.add(cells);
        }
        return rows;
    }

    private static CsvTable read(String file) throws IOException {
        List<List<String>> lines = Files.readAllLines(seen.resolve(file)).stream()
                .map(line -> List.of(line.split("\t", -1)))
                .toList();
        return new CsvTable(lines.get(0), lines.subList(1, lines.size()));
    }

    private static double value(CsvTable table, String code) {
        return rows(table).stream()
                .filter(row -> row.get("code").equals(code))
                .mapToDouble(row -> Double.parseDouble(row.get("value")))
                .findFirst()
                .orElseThrow();
    }
}
