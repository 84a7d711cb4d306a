// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;

/** Structure sets and segmentations, written and read back. */
class RegionObjectsTest {
    @TempDir
    Path folder;

    private final Grid grid = TestImages.oblique(21, 17, 5);
    private SeriesVolume series;
    private DataSet header;

    @BeforeEach
    void writeSeries() throws Exception {
        Path sub = Files.createDirectory(folder.resolve("series"));
        TestImages.write(
                sub,
                MrImages.classic(
                        TestImages.template("s"), List.of(MrImages.Part.of(TestImages.volume(grid, 0, 500, 1)))));
        ImageSeries found = TestImages.scan(sub).series().get(0);
        header = found.header();
        series = TestImages.read(found).get(0);
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
                header, series, "label", List.of(new StructureSetObject.Region("Läsion", contours)), "test");
    }

    private StructureSet.Region read(DataSet set) throws Exception {
        StructureSet read = StructureSet.read(write("rt.dcm", set));
        return read.on(read.region(Optional.empty()), series);
    }

    // Oracle: the mask of the contours that were written.
    @Test
    void contoursComeBackAsTheyWere() throws Exception {
        List<Contour> contours = List.of(square(1, 2.5, 12.5), square(1, 5.5, 8.5), square(2, 3.5, 9.5));
        StructureSet.Region region = read(structures(contours));
        assertThat(region.name()).isEqualTo("Läsion");
        assertThat(region.mask().voxels())
                .isEqualTo(ContourFill.fill(grid, contours).mask().voxels());
        assertThat(region.mask().count()).isEqualTo(100 - 9 + 36);
        assertThat(region.decisions()).containsExactly("contours placed on the images that they name");
    }

    @Test
    void contoursOnUnknownImagesArePlacedByPosition() throws Exception {
        StructureSet.Region region = read(structures(List.of(square(2.3, 2.5, 12.5))));
        assertThat(region.mask().has(5, 5, 2)).isTrue();
        assertThat(region.decisions())
                .containsExactly(
                        "contours name no image of the series: placed by position",
                        "contours of Läsion up to 0.99 mm off their slice's plane: filled on the nearest slice");
    }

    @Test
    void contoursElsewhereAreRefused() {
        assertThatThrownBy(() -> read(structures(List.of(square(9, 2.5, 12.5)))))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("1 of 1 contours outside the volume");
        assertThatThrownBy(() -> read(structures(List.of(square(2, 50, 60)))))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("outside the volume");
        Contour across = new Contour(List.of(grid.point(1, 1, 0), grid.point(5, 1, 2), grid.point(5, 1, 4)));
        assertThatThrownBy(() -> read(structures(List.of(across))))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("contours across the slices");
    }

    @Test
    void anotherFrameOfReferenceIsRefused() {
        header = header.copy().put(Tag.FRAME_OF_REFERENCE_UID, "1.2.3");
        assertThatThrownBy(() -> read(structures(List.of(square(1, 2.5, 12.5)))))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("found 1.2.3, expected that of the series, " + Uid.of("frame"));
    }

    @Test
    void openLinesAndPointsArePassedOverAndSaid() throws Exception {
        DataSet set = structures(List.of(square(1, 2.5, 12.5), square(2, 2.5, 12.5)));
        set.item(Tag.ROI_CONTOUR_SEQUENCE)
                .orElseThrow()
                .items(Tag.CONTOUR_SEQUENCE)
                .get(1)
                .put(Tag.CONTOUR_GEOMETRIC_TYPE, "OPEN_PLANAR");
        StructureSet.Region region = read(set);
        assertThat(region.mask().count()).isEqualTo(100);
        assertThat(region.decisions())
                .contains("a contour of Läsion passed over: OPEN_PLANAR of 4 points is no closed line");
    }

    @Test
    void aRegionThatIsNotThereIsNamed() throws Exception {
        StructureSet set = StructureSet.read(write("rt.dcm", structures(List.of(square(1, 2.5, 12.5)))));
        assertThatThrownBy(() -> set.region(Optional.of("muscle")))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("found Läsion, expected one region named muscle");
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
        assertThat(lines.get(1)).isEqualTo("4 " + series.sopInstanceUids().get(1));
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
        return SegmentationObject.of(header, series, List.of(segment("one", 1), segment("two", 2)), "label", "test");
    }

    private SegmentationObject.Segment segment(String label, int seed) {
        return new SegmentationObject.Segment(
                label, SegmentationObject.Code.ABNORMAL_STRUCTURE, SegmentationObject.Code.MASS, mask(seed));
    }

    // Oracle: the masks that were written.
    @Test
    void segmentsComeBackAsTheyWere() throws Exception {
        List<Segmentation.Segment> read = Segmentation.read(write("seg.dcm", segments()), series);
        assertThat(read).extracting(Segmentation.Segment::label).containsExactly("one", "two");
        assertThat(read.get(0).mask().voxels()).isEqualTo(mask(1).voxels());
        assertThat(read.get(1).mask().voxels()).isEqualTo(mask(2).voxels());
        assertThat(TestImages.scan(folder).others()).anyMatch(DicomObject::isSegmentation);
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
        Segmentation.Segment read =
                Segmentation.read(write("seg.dcm", set), series).get(0);
        assertThat(read.mask().has(0, 0, 1)).isFalse();
        assertThat(read.mask().has(1, 0, 1)).isTrue();
        assertThat(read.mask().has(2, 0, 1)).isTrue();
        assertThat(read.mask().count()).isEqualTo(2);
        assertThat(read.decisions())
                .containsExactly("fractional segmentation: voxels of at least half of the maximum 200.0");
    }

    @Test
    void aSegmentationOfAnotherGridIsRefused() {
        DataSet set = segments();
        set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE)
                .flatMap(s -> s.item(Tag.PIXEL_MEASURES_SEQUENCE))
                .orElseThrow()
                .put(Tag.PIXEL_SPACING, 0.9, 0.75);
        assertThatThrownBy(() -> Segmentation.read(write("seg.dcm", set), series))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("frame 1")
                .hasMessageContaining("the pixels of a slice of the series");
    }

    // Oracle: dcmtk parses what we write, without a complaint.
    @Test
    void dcmtkReadsWhatWeWrite() throws Exception {
        OutsideTool.assumePresent("dcmdump");
        for (DataSet set : List.of(
                segments(), structures(List.of(square(1, 2, 5))), header.copy().remove(Tag.PIXEL_DATA)))
            assertThat(OutsideTool.run("dcmdump", write("x.dcm", set).toString()))
                    .noneMatch(line -> line.startsWith("E:") || line.startsWith("W:"))
                    .anyMatch(line -> line.contains("SOPInstanceUID"));
    }
}
