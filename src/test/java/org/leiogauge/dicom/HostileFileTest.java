// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.tuple;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Broken files give a result or an {@link InputException}, nothing else. */
class HostileFileTest {
    @TempDir
    Path folder;

    private enum Kind {
        NATIVE,
        RLE,
        ENHANCED,
        STRUCTURES,
        SEGMENTS
    }

    private static final Volume VOLUME = TestImages.noise(TestImages.axial(9, 7, 2), 0, 700, 1);

    private DrawnOn series() throws IOException, InputException {
        Path sub = Files.createDirectories(folder.resolve("series"));
        TestImages.write(sub, MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(VOLUME))));
        DicomSeries series = TestImages.scan(sub).get(0);
        return series.drawnOn(TestImages.read(sub).stacks().get(0));
    }

    private byte[] file(Kind kind, DrawnOn series) {
        DataSet template = TestImages.template("s");
        List<MrImages.Part> parts = List.of(MrImages.Part.of(VOLUME));
        DataSet set =
                switch (kind) {
                    case NATIVE, RLE -> MrImages.classic(template, parts).get(0);
                    case ENHANCED -> MrImages.enhanced(template, parts);
                    case STRUCTURES ->
                        StructureSetObject.of(
                                series, "l", List.of(new StructureSetObject.Region("r", List.of(square()))), "n");
                    case SEGMENTS -> SegmentationObject.of(series, List.of(segment()), "l", "n");
                };
        return DicomWriter.bytes(set, kind == Kind.RLE ? TransferSyntax.RLE : TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    private static Contour square() {
        return new Contour(List.of(
                new Point(-18, -28, 40), new Point(-15, -28, 40), new Point(-15, -26, 40), new Point(-18, -26, 40)));
    }

    private static SegmentationObject.Segment segment() {
        byte[] voxels = new byte[VOLUME.voxels().length];
        Arrays.fill(voxels, 5, 20, (byte) 1);
        return new SegmentationObject.Segment("s", Code.ABNORMAL_STRUCTURE, Code.MASS, new Mask(VOLUME.grid(), voxels));
    }

    private void readAsWhatItIs(Kind kind, byte[] bytes, DrawnOn series) throws IOException {
        Path one = Files.createDirectories(folder.resolve("broken")).resolve("one.dcm");
        Files.write(one, bytes);
        try {
            if (kind == Kind.STRUCTURES) {
                for (StructureSet.Roi roi : StructureSet.read(one).rois())
                    ContourFill.fill(one, roi.contours(), series.grid());
            } else if (kind == Kind.SEGMENTS) {
                Segmentation segmentation = Segmentation.read(one);
                for (String label : segmentation.labels()) segmentation.mask(label, series.grid());
            } else {
                for (DicomSeries found : TestImages.scan(one.getParent())) found.read(Workers.SINGLE, Progress.NONE);
            }
        } catch (InputException e) {
            assertThat(e.getMessage()).contains("one.dcm");
        }
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void truncationsAtEveryByte(Kind kind) throws Exception {
        DrawnOn series = series();
        byte[] whole = file(kind, series);
        for (int length = 0; length < whole.length; length++)
            readAsWhatItIs(kind, Arrays.copyOf(whole, length), series);
    }

    @ParameterizedTest
    @EnumSource(Kind.class)
    void flippedBytesAtEveryPlace(Kind kind) throws Exception {
        DrawnOn series = series();
        byte[] whole = file(kind, series);
        Random random = new Random(3);
        for (int at = 128; at < whole.length; at++) {
            byte[] broken = whole.clone();
            broken[at] ^= (byte) (at % 3 == 0 ? 0xFF : 1 + random.nextInt(255));
            readAsWhatItIs(kind, broken, series);
        }
    }

    // Oracle: the same folder without them.
    @Test
    void foreignFilesAmongImagesArePassedOverAndSaid() throws Exception {
        try (Stream<Path> images = Files.list(Path.of("test-images/ellipsoids/study"))) {
            for (Path image : images.toList()) Files.copy(image, folder.resolve(image.getFileName()));
        }
        List<DicomSeries> alone = TestImages.scan(folder);
        assertThat(DicomFolder.content(folder, Workers.SINGLE, Progress.NONE).decisions())
                .isEmpty();
        Files.write(folder.resolve("._s1-01.dcm"), new byte[] {0, 5, 22, 7, 0, 2, 0, 0});
        assertThat(DicomFolder.content(folder, Workers.SINGLE, Progress.NONE).decisions())
                .isEmpty();
        Files.createFile(folder.resolve("empty.dcm"));
        DicomFolder.Content among = DicomFolder.content(folder, Workers.SINGLE, Progress.NONE);
        assertThat(among.decisions()).containsExactly("1 file passed over: named as DICOM files, but none");
        assertThat(among.series())
                .extracting(DicomSeries::uid, DicomSeries::images)
                .isEqualTo(alone.stream()
                        .map(one -> tuple(one.uid(), one.images()))
                        .toList());
    }

    @Test
    void aFolderThatIsNotThereIsNotCalledUnreadable() {
        assertThatThrownBy(() -> TestImages.scan(folder.resolve("nope")))
                .hasMessage(folder.resolve("nope") + ": found no such file or folder, expected DICOM files");
    }

    @Test
    void aTextFileIsNoDicomFile() throws Exception {
        Path file = folder.resolve("notes.dcm");
        Files.writeString(file, "These are notes, not an image. ".repeat(30));
        assertThatThrownBy(() -> DicomReader.read(file))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("notes.dcm")
                .hasMessageContaining("no DICOM file");
        assertThatThrownBy(() -> TestImages.scan(folder))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("notes.dcm");
    }

    @Test
    void aLengthBeyondTheFileIsNamed() throws Exception {
        Path file = folder.resolve("a.dcm");
        Files.write(file, explicit(0x00080008, "CS", 60000, new byte[10]));
        assertThatThrownBy(() -> DicomReader.read(file))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("(0008,0008) ImageType")
                .hasMessageContaining("60000 bytes")
                .hasMessageContaining("10 left");
    }

    @Test
    void deepNestingIsRefused() {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.writeBytes(explicit(0x00080005, "CS", 0, new byte[0]));
        for (int i = 0; i < 100_000; i++) {
            out.writeBytes(new byte[] {8, 0, 0x40, 0x11, 'S', 'Q', 0, 0, -1, -1, -1, -1});
            out.writeBytes(new byte[] {-2, -1, 0, -32, -1, -1, -1, -1});
        }
        assertThatThrownBy(() -> DicomReader.read(Path.of("deep"), out.toByteArray()))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("nested deeper");
    }

    @Test
    void claimedSizesAreCheckedAgainstTheFile() throws Exception {
        for (TransferSyntax syntax : List.of(TransferSyntax.EXPLICIT_LITTLE_ENDIAN, TransferSyntax.RLE)) {
            DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(VOLUME)))
                    .get(0);
            byte[] bytes = DicomWriter.bytes(set, syntax);
            // (0028,0010) and (0028,0011), each US of 2 bytes: 40000 × 40000
            for (int at = 0; at < bytes.length - 10; at++)
                if (bytes[at] == 0x28
                        && bytes[at + 1] == 0
                        && (bytes[at + 2] == 0x10 || bytes[at + 2] == 0x11)
                        && bytes[at + 3] == 0
                        && bytes[at + 4] == 'U') {
                    bytes[at + 8] = 0x40;
                    bytes[at + 9] = (byte) 0x9C;
                }
            Path sub = Files.createDirectories(folder.resolve(syntax.name()));
            Files.write(sub.resolve("a.dcm"), bytes);
            assertThatThrownBy(() -> TestImages.read(sub))
                    .isInstanceOf(InputException.class)
                    .hasMessageContaining("PixelData")
                    .hasMessageContaining("40000 × 40000");
        }
    }

    @Test
    void brokenLosslessJpegIsRefusedOrRead() throws Exception {
        OutsideTool.assumePresent("dcmcjpeg");
        DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(VOLUME)))
                .get(0);
        DicomWriter.write(folder.resolve("plain"), set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        OutsideTool.run(
                "dcmcjpeg",
                "+el",
                folder.resolve("plain").toString(),
                folder.resolve("jpeg").toString());
        byte[] whole = Files.readAllBytes(folder.resolve("jpeg"));
        DrawnOn series = series();
        for (int at = 128; at < whole.length; at++) {
            byte[] broken = whole.clone();
            broken[at] ^= (byte) (0x11 * (1 + at % 15));
            readAsWhatItIs(Kind.NATIVE, broken, series);
            readAsWhatItIs(Kind.NATIVE, Arrays.copyOf(whole, at), series);
        }
    }

    private static byte[] explicit(int tag, String vr, int length, byte[] value) {
        ByteBuffer out = ByteBuffer.allocate(8 + value.length).order(ByteOrder.LITTLE_ENDIAN);
        out.putShort((short) (tag >>> 16)).putShort((short) tag);
        out.put((byte) vr.charAt(0)).put((byte) vr.charAt(1)).putShort((short) length);
        return out.put(value).array();
    }
}
