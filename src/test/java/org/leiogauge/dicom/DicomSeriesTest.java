// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class DicomSeriesTest {
    private static final Path STANDARDS = Path.of("../shared/standards/ibsi");

    @TempDir
    Path folder;

    // Oracle: pydicom, dcmtk and GDCM (Debian) made the variants; lossless ones decode to the original's pixels.
    // Rescaled
    // by hand: slope 2, intercept −10. Position and direction as put into the file.
    @Test
    void everyTransferSyntaxDecodesToTheSamePixels() throws InputException {
        List<String> names = DebianPython.run("pydicom, numpy", "dicom_variants.py", folder);
        for (String kind : List.of("unsigned", "signed")) {
            Volume original = volume(folder.resolve(kind + "-native"));
            assertThat(original.grid().point(0, 0, 0)).isEqualTo(new Point(-31.25, 12.5, 7.75));
            assertThat(original.grid().point(1, 0, 0).distance(new Point(-31.25 + 0.3, 12.5 + 0.4, 7.75)))
                    .isLessThan(1e-6);
            assertThat(original.grid().point(0, 1, 0).distance(new Point(-31.25, 12.5, 7.75 - 0.75)))
                    .isLessThan(1e-6);
            for (String name :
                    names.stream().filter(n -> n.startsWith(kind + "-")).toList())
                assertThat(volume(folder.resolve(name)).voxels()).as(name).isEqualTo(original.voxels());
        }
        assertThat(names).hasSizeGreaterThanOrEqualTo(8);
    }

    // Oracle: pydicom's own reading of the native file, through the voxel sums that numpy gives in the script's
    // comment:
    // here by reading the file's little-endian words directly.
    @Test
    void storedValuesAreScaledBySlopeAndIntercept() throws IOException, InputException {
        DebianPython.run("pydicom, numpy", "dicom_variants.py", folder);
        byte[] bytes = Files.readAllBytes(folder.resolve("signed-native/image.dcm"));
        float[] voxels = volume(folder.resolve("signed-native")).voxels();
        int at = bytes.length - 2 * 37 * 50;
        for (int i = 0; i < voxels.length; i++) {
            int stored = (short) ((bytes[at + 2 * i] & 0xff) | bytes[at + 2 * i + 1] << 8);
            assertThat(voxels[i]).isEqualTo(2f * stored - 10);
        }
    }

    // Oracle: the NIfTI twins of the published data; images differ nowhere, masks nowhere.
    @Test
    void realSeriesAndContoursAgreeWithTheirNiftiTwins() throws IOException, InputException {
        assumeTrue(Files.isDirectory(STANDARDS), "skipped: no ../shared/standards");
        for (String name : List.of("STS_008", "STS_025")) {
            Path one = STANDARDS.resolve("sts-mr").resolve(name);
            assertTwins(one.resolve("image"), one.resolve("rtstruct/RS.dcm"), one.resolve("nifti"));
        }
        Path ct = STANDARDS.resolve("ct-phantom");
        assertTwins(ct.resolve("dicom/image"), ct.resolve("dicom/mask/DCM_RS_00060.dcm"), ct);
    }

    private static void assertTwins(Path images, Path structure, Path nifti) throws IOException, InputException {
        Volume ours = volume(images);
        Volume twin = NiftiReader.read(nifti.resolve("image.nii.gz"));
        assertThat(ours.voxels()).as(images.toString()).isEqualTo(twin.voxels());
        assertThat(ours.grid().coincides(twin.grid(), 0.01)).isTrue();
        StructureSet.Roi roi = StructureSet.read(structure).rois().get(0);
        Mask mask = ContourFill.fill(structure, roi.contours(), ours.grid()).mask();
        Mask expected = NiftiReader.readMask(nifti.resolve("mask.nii.gz"));
        int different = 0;
        for (int i = 0; i < mask.voxels().length; i++) if (mask.voxels()[i] != expected.voxels()[i]) different++;
        assertThat(different).as(structure.toString()).isZero();
    }

    // Oracle: pydicom and numpy made the objects and print what they hold.
    @Test
    void enhancedObjectsAndSegmentationsHoldWhatWasPutIn() throws IOException, InputException {
        List<String> lines = DebianPython.run("pydicom, numpy", "dicom_enhanced.py", folder);
        DicomSeries series = series(folder.resolve("study")).get(0);
        assertThat(series.bValues()).containsExactly(0.0, 800.0);
        List<DicomSeries.Stack> stacks =
                series.read(Workers.SINGLE, Progress.NONE).stacks();
        assertThat(stacks).hasSize(2);
        for (int b = 0; b < 2; b++) {
            assertThat(stacks.get(b).bValue()).hasValue(800.0 * b);
            String[] expected = lines.get(b).split(" ");
            float[] voxels = stacks.get(b).volume().voxels();
            assertThat(voxels).hasSize(expected.length);
            for (int i = 0; i < voxels.length; i++) assertThat(voxels[i]).isEqualTo(Float.parseFloat(expected[i]));
        }
        Grid grid = stacks.get(0).volume().grid();
        assertThat(grid.spacing().z()).isCloseTo(4.5, org.assertj.core.api.Assertions.within(1e-5));
        assertThat(grid.spacing().x()).isEqualTo(1.25);
        for (String kind : List.of("binary", "fractional")) {
            Segmentation segmentation = Segmentation.read(folder.resolve(kind + ".dcm"));
            Mask mask = segmentation.mask("lesion", grid).orElseThrow();
            String[] expected = lines.get(2).split(" ");
            for (int i = 0; i < expected.length; i++)
                assertThat(mask.voxels()[i]).as(kind + " voxel " + i).isEqualTo(Byte.parseByte(expected[i]));
        }
    }

    // Oracle: the oddities that Debian's python3-pydicom ships as its own test files: read, or refused with a message.
    @Test
    void realWorldOdditiesAreReadOrRefused() throws IOException {
        Path oddities = Path.of("/usr/lib/python3/dist-packages/pydicom/data/test_files");
        assumeTrue(Files.isDirectory(oddities), "skipped: python3-pydicom has no test files here");
        int seen = 0;
        try (var files = Files.walk(oddities)) {
            for (Path file : files.filter(Files::isRegularFile).sorted().toList()) {
                Path alone =
                        Files.createDirectory(folder.resolve("odd" + seen++)).resolve("image");
                Files.copy(file, alone);
                assertReadsOrRefuses(alone);
            }
        }
        assertThat(seen).isGreaterThan(20);
    }

    @Test
    void slicesAreSortedByPositionWhateverTheirNames() throws IOException, InputException {
        Volume plain = volume(Path.of("test-images/ellipsoids/study"), 0);
        Path turned = Files.createDirectories(folder.resolve("turned/deep/er"));
        for (int z = 1; z <= 20; z++)
            Files.copy(
                    Path.of(String.format("test-images/ellipsoids/study/s1-%02d.dcm", z)),
                    turned.resolve(String.format("%02d", 97 - 7 * z % 89)));
        assertThat(volume(folder.resolve("turned")).voxels()).isEqualTo(plain.voxels());
    }

    @Test
    void aMissingSliceIsNamedWithItsSeries() throws IOException {
        Path gap = Files.createDirectories(folder.resolve("gap"));
        for (int z = 1; z <= 20; z++)
            if (z != 8)
                Files.copy(
                        Path.of(String.format("test-images/ellipsoids/study/s1-%02d.dcm", z)), gap.resolve(z + ".dcm"));
        assertThatThrownBy(() -> volume(gap))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("T2 sagittal")
                .hasMessageContaining("1 missing after slice 7 of 19")
                .hasMessageContaining("every 4.000 mm");
    }

    @Test
    void copiesArePassedOverAndSaidSo() throws IOException, InputException {
        Path twice = Files.createDirectories(folder.resolve("twice"));
        for (int z = 1; z <= 20; z++)
            for (String name : List.of("a", "b"))
                Files.copy(
                        Path.of(String.format("test-images/ellipsoids/study/s1-%02d.dcm", z)), twice.resolve(name + z));
        DicomSeries.Content content = series(twice).get(0).read(Workers.SINGLE, Progress.NONE);
        assertThat(content.stacks().get(0).volume().grid().size().z()).isEqualTo(20);
        assertThat(content.decisions()).singleElement().asString().contains("20 copies");
    }

    @Test
    void brokenFilesGiveAnErrorOrAResultAndNothingElse() throws IOException {
        byte[] image = Files.readAllBytes(Path.of("test-images/ellipsoids/study/s1-10.dcm"));
        Path file = Files.createDirectories(folder.resolve("broken")).resolve("image.dcm");
        for (int length = 0; length < image.length; length += 1 + length / 40) {
            Files.write(file, Arrays.copyOf(image, length));
            assertReadsOrRefuses(file);
        }
        for (int at = 128; at < Math.min(1400, image.length); at++)
            for (int value : new int[] {0, 0x7f, 0xff}) {
                byte[] changed = image.clone();
                changed[at] = (byte) value;
                Files.write(file, changed);
                assertReadsOrRefuses(file);
            }
    }

    private static void assertReadsOrRefuses(Path file) {
        try {
            for (DicomSeries one : series(file.getParent())) one.read(Workers.SINGLE, Progress.NONE);
        } catch (InputException expected) {
            assertThat(expected.getMessage()).isNotBlank();
        }
    }

    // Oracle: closed forms, V = 4/3 π a b c, within 1 %: a ball of contours of 180 points on an oblique grid; with a
    // ball
    // cut out by contours inside, the difference of both.
    @Test
    void contoursOfBallsHaveTheirVolume() throws InputException {
        Grid grid = Solids.oblique(0.5, 1.0);
        Mask ball = ContourFill.fill("ball", Solids.sections(grid, 20), grid).mask();
        double volume = 4.0 / 3 * Math.PI * 8000;
        assertThat(ball.volume()).isBetween(0.99 * volume, 1.01 * volume);
        List<org.leiogauge.image.Contour> both = new java.util.ArrayList<>(Solids.sections(grid, 20));
        both.addAll(Solids.sections(grid, 10));
        double shell = volume * (1 - 0.125);
        assertThat(ContourFill.fill("shell", both, grid).mask().volume()).isBetween(0.99 * shell, 1.01 * shell);
    }

    private static List<DicomSeries> series(Path from) throws InputException {
        return DicomFolder.scan(from, Workers.SINGLE, Progress.NONE);
    }

    private static Volume volume(Path from) throws InputException {
        return volume(from, 0);
    }

    private static Volume volume(Path from, int number) throws InputException {
        return series(from)
                .get(number)
                .read(Workers.SINGLE, Progress.NONE)
                .stacks()
                .get(0)
                .volume();
    }
}
