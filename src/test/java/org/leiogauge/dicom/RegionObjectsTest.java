// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Structure sets and segmentations, written and read back. */
class RegionObjectsTest {
    @TempDir
    Path folder;

    private final Grid grid = TestImages.oblique(21, 17, 5);
    private DrawnOn series;

    @BeforeEach
    void writeSeries() throws Exception {
        Path sub = Files.createDirectory(folder.resolve("series"));
        TestImages.write(
                sub,
                MrImages.classic(
                        TestImages.template("s"), List.of(MrImages.Part.of(TestImages.noise(grid, 0, 500, 1)))));
        DicomSeries found = TestImages.scan(sub).get(0);
        series =
                found.drawnOn(found.read(Workers.SINGLE, Progress.NONE).stacks().get(0));
    }

    private Contour square(double z, double from, double to) {
        return new Contour(List.of(
                grid.point(from, from, z), grid.point(to, from, z), grid.point(to, to, z), grid.point(from, to, z)));
    }

    private Path write(String name, DataSet set) throws Exception {
        Path file = folder.resolve(name);
        DicomWriter.write(file, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        return file;
    }

    private DataSet structures(List<Contour> contours) {
        return StructureSetObject.of(
                series, "label", List.of(new StructureSetObject.Region("Läsion", contours)), "test");
    }

    // Oracle: the contours that were written; text of 16 characters keeps them to a millionth of a millimetre.
    @Test
    void contoursComeBackAsTheyWere() throws Exception {
        List<Contour> contours = List.of(square(1, 2.5, 12.5), square(1, 5.5, 8.5), square(2.3, 3.5, 9.5));
        StructureSet.Roi roi =
                StructureSet.read(write("rt.dcm", structures(contours))).rois().get(0);
        assertThat(roi.name()).isEqualTo("Läsion");
        assertThat(roi.frameOfReference()).isEqualTo(Uid.of("frame"));
        assertThat(roi.images()).containsExactly(series.sopInstances().get(1));
        assertThat(roi.contours()).hasSize(3);
        for (int c = 0; c < 3; c++)
            for (int i = 0; i < 4; i++)
                assertThat(roi.contours()
                                .get(c)
                                .points()
                                .get(i)
                                .distance(contours.get(c).points().get(i)))
                        .isLessThan(1e-6);
        assertThat(ContourFill.fill("file", roi.contours(), grid).mask().count())
                .isEqualTo(100 - 9 + 36);
    }

    @Test
    void openLinesArePassedOverAndSaid() throws Exception {
        DataSet set = structures(List.of(square(1, 2.5, 12.5), square(2, 2.5, 12.5)));
        set.item(Tag.ROI_CONTOUR_SEQUENCE)
                .orElseThrow()
                .items(Tag.CONTOUR_SEQUENCE)
                .get(1)
                .put(Tag.CONTOUR_GEOMETRIC_TYPE, "OPEN_PLANAR");
        StructureSet.Roi roi = StructureSet.read(write("rt.dcm", set)).rois().get(0);
        assertThat(roi.contours()).hasSize(1);
        assertThat(roi.decisions()).containsExactly("1 contours of Läsion that are not closed were passed over");
    }

    // Oracle: pydicom reads names, points and references.
    @Test
    void pydicomReadsTheStructureSet() throws Exception {
        OutsideTool.assumePydicom();
        Path file = write("rt.dcm", structures(List.of(square(1, 2.5, 12.5))));
        List<String> lines = OutsideTool.python("""
                import sys, pydicom
                s = pydicom.dcmread(sys.argv[1])
                print(s.Modality, s.StructureSetROISequence[0].ROIName.encode('utf-8'))
                c = s.ROIContourSequence[0].ContourSequence[0]
                print(c.NumberOfContourPoints, c.ContourImageSequence[0].ReferencedSOPInstanceUID)
                print(*map(float, c.ContourData))
                """, file);
        assertThat(lines.get(0)).isEqualTo("RTSTRUCT b'L\\xc3\\xa4sion'");
        assertThat(lines.get(1)).isEqualTo("4 " + series.sopInstances().get(1));
        double[] data = Arrays.stream(lines.get(2).split(" "))
                .mapToDouble(Double::parseDouble)
                .toArray();
        assertThat(new Point(data[0], data[1], data[2]).distance(grid.point(2.5, 2.5, 1)))
                .isLessThan(1e-9);
    }

    private Mask mask(int seed) {
        byte[] voxels = new byte[grid.size().voxels()];
        java.util.Random random = new java.util.Random(seed);
        int slice = 21 * 17;
        for (int i = seed * slice; i < 4 * slice; i++) voxels[i] = (byte) (random.nextInt(3) == 0 ? 1 : 0);
        return new Mask(grid, voxels);
    }

    private DataSet segments() {
        return SegmentationObject.of(series, List.of(segment("one", 1), segment("two", 2)), "label", "test");
    }

    private SegmentationObject.Segment segment(String label, int seed) {
        return new SegmentationObject.Segment(label, Code.ABNORMAL_STRUCTURE, Code.MASS, mask(seed));
    }

    // Oracle: the masks that were written.
    @Test
    void segmentsComeBackAsTheyWere() throws Exception {
        Segmentation read = Segmentation.read(write("seg.dcm", segments()));
        assertThat(read.labels()).containsExactly("one", "two");
        assertThat(read.frameOfReference()).isEqualTo(Uid.of("frame"));
        assertThat(read.mask("one", grid).orElseThrow().voxels()).isEqualTo(mask(1).voxels());
        assertThat(read.mask("two", grid).orElseThrow().voxels()).isEqualTo(mask(2).voxels());
    }

    // Oracle: pydicom unpacks the bits.
    @Test
    void pydicomReadsTheSegmentation() throws Exception {
        OutsideTool.assumePydicom();
        List<String> lines = OutsideTool.python("""
                import sys, pydicom
                s = pydicom.dcmread(sys.argv[1])
                a = s.pixel_array
                print(a.shape, a[0].sum(), a[-1].sum(), s.SegmentSequence[1].SegmentLabel)
                """, write("seg.dcm", segments()));
        int slice = 21 * 17;
        int first = 0;
        int last = 0;
        for (int i = 0; i < slice; i++) {
            first += mask(1).voxels()[slice + i];
            last += mask(2).voxels()[3 * slice + i];
        }
        assertThat(lines).containsExactly("(5, 17, 21) " + first + " " + last + " two");
    }

    // Oracle: by hand, half of the maximum 200 is 100.
    @Test
    void fractionsCountFromHalfOfTheMaximum() throws Exception {
        DataSet set = segments();
        int frames = 5;
        byte[] values = new byte[frames * 21 * 17];
        values[0] = 99;
        values[1] = 100;
        values[2] = (byte) 200;
        set.put(Tag.SEGMENTATION_TYPE, "FRACTIONAL")
                .put(Tag.MAXIMUM_FRACTIONAL_VALUE, 200)
                .put(Tag.BITS_ALLOCATED, 8)
                .put(Tag.BITS_STORED, 8)
                .put(Tag.HIGH_BIT, 7)
                .put(Element.bytes(Tag.PIXEL_DATA, Vr.OB, values));
        Mask read = Segmentation.read(write("seg.dcm", set)).mask("one", grid).orElseThrow();
        assertThat(read.has(0, 0, 1)).isFalse();
        assertThat(read.has(1, 0, 1)).isTrue();
        assertThat(read.has(2, 0, 1)).isTrue();
        assertThat(read.count()).isEqualTo(2);
    }

    @Test
    void aSegmentationOfAnotherGridHasNoMask() throws Exception {
        DataSet set = segments();
        set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE)
                .flatMap(s -> s.item(Tag.PIXEL_MEASURES_SEQUENCE))
                .orElseThrow()
                .put(Tag.PIXEL_SPACING, 0.9, 0.75);
        assertThat(Segmentation.read(write("seg.dcm", set)).mask("one", grid)).isEmpty();
    }

    // Oracle: dcmtk parses what we write, without a complaint.
    @Test
    void dcmtkReadsWhatWeWrite() throws Exception {
        OutsideTool.assumePresent("dcmdump");
        for (DataSet set : List.of(
                segments(),
                structures(List.of(square(1, 2, 5))),
                series.header().copy().remove(Tag.PIXEL_DATA)))
            assertThat(OutsideTool.run("dcmdump", write("x.dcm", set).toString()))
                    .noneMatch(line -> line.startsWith("E:") || line.startsWith("W:"))
                    .anyMatch(line -> line.contains("SOPInstanceUID"));
    }
}
