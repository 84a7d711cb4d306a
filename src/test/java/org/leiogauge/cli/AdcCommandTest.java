// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.MrImages;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.dicom.Uid;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.InputException;
import picocli.CommandLine;

class AdcCommandTest {
    private static final Grid GRID =
            new Grid(new Size(5, 4, 3), new Spacing(2, 2, 5), DirectionCosines.AXIAL, new Point(10, 20, 30));

    @TempDir
    Path folder;

    private record Run(int exit, String out, String err) {}

    @Test
    void realSeriesAgreeWithNumPyVoxelByVoxel() {
        // Oracle: NumPy, numpy.polyfit of ln S over b, on the diffusion series that come with Debian's python3-dipy.
        for (String name : DebianPython.run("nibabel, numpy, dipy", "adc_series.py", folder)) {
            Path series = folder.resolve(name);
            Run run = run("adc", series.toString(), "--method", "log-linear", "--out", out());
            assertThat(run.exit()).as(run.err()).isZero();
            String bValues = name.substring(0, name.indexOf('.')) + ".bval";
            List<String> found =
                    DebianPython.run("nibabel, numpy", "adc_compare.py", series, folder.resolve(bValues), out());
            assertThat(Integer.parseInt(found.get(0)))
                    .as(name + ": voxels compared")
                    .isGreaterThan(100);
            assertThat(Double.parseDouble(found.get(1))).as(name).isLessThan(1e-6);
        }
    }

    @Test
    void volumesInSeparateFilesTakeTheirBValuesFromTheOption() throws IOException, InputException {
        Run run = run("adc", image("low", 50), image("high", 1000), "--b-values", "50,1000", "--out", out());
        assertThat(run.err()).isEmpty();
        assertThat(run.out())
                .contains("b-values: 50, 1000 s/mm2", "method: weighted-log-linear", "voxels: 60, not fitted: 1");
        assertMap();
    }

    @Test
    void aDicomFolderAndItsFilesGiveTheSameMap() throws IOException, InputException {
        Path dwi = dicom("dwi", "frame", GRID, 0, 400, 1000);
        assertThat(run("adc", dwi.toString(), "--out", out()).err()).isEmpty();
        assertMap();
        try (Stream<Path> files = Files.list(dwi)) {
            List<String> arguments = new ArrayList<>(List.of("adc"));
            files.forEach(file -> arguments.add(file.toString()));
            arguments.addAll(List.of("--out", folder.resolve("again.nii").toString()));
            assertThat(run(arguments.toArray(String[]::new)).exit()).isZero();
        }
        assertThat(NiftiReader.read(folder.resolve("again.nii")).voxels())
                .isEqualTo(NiftiReader.read(Path.of(out())).voxels());
    }

    @Test
    void theRangeOfBValuesIsKept() throws IOException {
        Path dwi = dicom("dwi", "frame", GRID, 0, 400, 1000);
        assertThat(run("adc", dwi.toString(), "--lowest-b", "200", "--out", out())
                        .out())
                .contains("b-values: 400, 1000 s/mm2");
        assertRefused("b-values: found only 1000.0 s/mm2", dwi.toString(), "--lowest-b", "500");
        assertRefused("none in the range", dwi.toString(), "--lowest-b", "1500");
        assertRefused("--noise: found -1.0, expected 0 or more", dwi.toString(), "--noise", "-1");
        assertRefused(
                "--lowest-b, --highest-b: b-values must be 0 or more and ascend",
                dwi.toString(),
                "--lowest-b",
                "5",
                "--highest-b",
                "2");
    }

    @Test
    void unusableBValuesAreNamed() throws IOException {
        String one = image("one", 1000);
        assertRefused("no one.bval beside it", one);
        assertRefused("found only 1000.0 s/mm2, expected two", one, one, "--b-values", "1000,1000");
        assertRefused("found 3 given, expected one per volume, 2", one, one, "--b-values", "0,500,1000");
        assertRefused("found -5.0, expected b-values of 0 or more", one, "--b-values", "-5");
        Files.writeString(folder.resolve("one.bval"), "b");
        assertRefused("one.bval: b-value: found b", one);
        Files.writeString(folder.resolve("one.bval"), "0 1000");
        assertRefused("found 2 values, expected one per volume, 1", one);
        assertRefused(
                "b-values: found only 800.0", dicom("same", "frame", GRID, 800).toString());
    }

    @Test
    void imagesThatDoNotBelongTogetherAreNamed() throws IOException {
        Grid moved = new Grid(GRID.size(), GRID.spacing(), GRID.direction(), new Point(11, 20, 30));
        String low = image("low", 0);
        NiftiWriter.write(folder.resolve("moved.nii"), signal(moved, 1000));
        assertRefused(
                "grid: found 5 × 4 × 3 voxels", low, folder.resolve("moved.nii").toString(), "--b-values", "0,1");
        Path here = dicom("here", "frame", GRID, 0);
        assertRefused(
                "(0020,0052)",
                here.toString(),
                dicom("there", "other frame", GRID, 1000).toString());
        assertRefused(
                "grid", here.toString(), dicom("aside", "frame", moved, 1000).toString());
        assertRefused("NIfTI and other files together", low, here.toString());
        assertRefused("b-values: found given for DICOM images", here.toString(), "--b-values", "0");
        assertRefused("no such file or folder", folder.resolve("nowhere").toString());
        assertRefused(
                "no image that states one",
                Path.of("test-images/ellipsoids/study").toString());
    }

    @Test
    void unusableOptionsAreNamed() throws IOException {
        String one = image("one", 1000);
        assertRefused("--method: found median, expected log-linear", one, "--method", "median");
        assertRefused("noise", one, "--noise", "-1");
        Run run = run("adc", one, "--out", folder.resolve("map.png").toString());
        assertThat(run.err()).contains("expected a name in .nii or .nii.gz");
        assertThat(run.exit()).isEqualTo(2);
    }

    // Oracle: S = S0 exp(-b D) with D = 0.5 + 0.05 i, and a voxel without signal.
    private void assertMap() throws InputException {
        Volume map = NiftiReader.read(Path.of(out()));
        assertThat(map.grid().coincides(GRID, 1e-4)).isTrue();
        assertThat(map.voxels()[0]).isNaN();
        // Signals are stored in whole steps.
        for (int i = 1; i < map.voxels().length; i++)
            assertThat((double) map.voxels()[i]).isCloseTo(trueAdc(i), within(2e-3));
    }

    private void assertRefused(String message, String... arguments) {
        List<String> all = new ArrayList<>(List.of("adc"));
        all.addAll(Arrays.asList(arguments));
        all.addAll(List.of("--out", out()));
        Run run = run(all.toArray(String[]::new));
        assertThat(run.err()).contains(message);
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.out()).isEmpty();
    }

    private String out() {
        return folder.resolve("adc.nii.gz").toString();
    }

    private String image(String name, double b) throws IOException {
        Path file = folder.resolve(name + ".nii.gz");
        NiftiWriter.write(file, signal(GRID, b));
        return file.toString();
    }

    private Path dicom(String name, String frame, Grid grid, double... bValues) throws IOException {
        Path series = Files.createDirectory(folder.resolve(name));
        DataSet template = new DataSet()
                .put(Tag.STUDY_INSTANCE_UID, Uid.of("study"))
                .put(Tag.SERIES_INSTANCE_UID, Uid.of(name))
                .put(Tag.FRAME_OF_REFERENCE_UID, Uid.of(frame))
                .put(Tag.SERIES_NUMBER, 3)
                .put(Tag.IMAGE_TYPE, "ORIGINAL", "PRIMARY", "DIFFUSION")
                .put(Tag.ECHO_TIME, 70.0)
                .put(Tag.REPETITION_TIME, 4000.0);
        List<MrImages.Part> parts = Arrays.stream(bValues)
                .mapToObj(b ->
                        new MrImages.Part(signal(grid, b), OptionalDouble.of(b), OptionalInt.empty(), Optional.empty()))
                .toList();
        int i = 0;
        for (DataSet object : MrImages.classic(template, parts))
            DicomWriter.write(series.resolve(i++ + ".dcm"), object, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        return series;
    }

    private static Volume signal(Grid grid, double b) {
        float[] v = new float[grid.size().voxels()];
        for (int i = 1; i < v.length; i++) v[i] = (float) (9000 * Math.exp(-b / 1000 * trueAdc(i)));
        return new Volume(grid, v);
    }

    private static double trueAdc(int i) {
        return 0.5 + 0.05 * i;
    }

    private static Run run(String... arguments) {
        StringWriter err = new StringWriter();
        PrintStream before = System.out;
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        try {
            CommandLine commandLine = Main.commandLine().setErr(new PrintWriter(err));
            int exit = commandLine.execute(arguments);
            return new Run(exit, out.toString(StandardCharsets.UTF_8), err.toString());
        } finally {
            System.setOut(before);
        }
    }
}
