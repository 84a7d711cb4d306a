// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.leiogauge.dicom.OutsideTool.assumePresent;
import static org.leiogauge.dicom.OutsideTool.run;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;

class TransferSyntaxTest {
    @TempDir
    Path folder;

    // Oracle: the pixels that were written; the form is made by dcmtk and GDCM.
    @ParameterizedTest
    @CsvSource({
        "dcmconv +ti, IMPLICIT_LITTLE_ENDIAN",
        "dcmconv +te, EXPLICIT_LITTLE_ENDIAN",
        "dcmconv +tb, EXPLICIT_BIG_ENDIAN",
        "dcmconv +td, DEFLATED",
        "dcmconv -F, EXPLICIT_LITTLE_ENDIAN",
        "dcmconv +e -g +ti -F, IMPLICIT_LITTLE_ENDIAN",
        "dcmcrle, RLE",
        "dcmcjpeg +e1, JPEG_LOSSLESS_FIRST_ORDER",
        "dcmcjpeg +el +sv 1, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 2, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 3, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 4, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 5, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 6, JPEG_LOSSLESS",
        "dcmcjpeg +el +sv 7, JPEG_LOSSLESS",
        "gdcmconv --jpeg, JPEG_LOSSLESS_FIRST_ORDER",
        "gdcmconv --j2k, JPEG_2000_LOSSLESS",
        "gdcmconv --rle, RLE"
    })
    void losslessFormsDecodeToTheSamePixels(String command, TransferSyntax syntax) throws Exception {
        String[] words = command.split(" ");
        assumePresent(words[0]);
        for (int[] range : new int[][] {{0, 4095}, {0, 65535}, {-2000, 3000}, {-32768, 32767}, {7, 7}}) {
            Path sub = Files.createDirectory(folder.resolve(range[0] + "_" + range[1]));
            Volume volume = TestImages.noise(TestImages.oblique(37, 29, 1), range[0], range[1], 5);
            Path plain = sub.resolve("plain");
            DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(volume)))
                    .get(0);
            DicomWriter.write(plain, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
            Path made = Files.createDirectory(sub.resolve("made")).resolve("one.dcm");
            String[] all = Stream.concat(Stream.of(words), Stream.of(plain.toString(), made.toString()))
                    .toArray(String[]::new);
            run(all);
            assertThat(DicomReader.readHeader(made).syntax()).isEqualTo(syntax);
            Volume read = TestImages.volume(made.getParent());
            TestImages.requireSame(command + " from " + range[0], volume.voxels(), read.voxels());
            assertThat(read.grid().coincides(volume.grid(), 1e-6)).isTrue();
        }
    }

    // Oracle: dcmtk's own decoder; two decoders of one lossy picture may differ by rounding, 1 level.
    @Test
    void lossyJpegDecodesAsDcmtkDoes() throws Exception {
        assumePresent("dcmcjpeg", "dcmdjpeg");
        Volume volume = TestImages.noise(TestImages.axial(40, 24, 1), 0, 255, 5);
        DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(volume)))
                .get(0);
        byte[] bytes = new byte[40 * 24];
        for (int i = 0; i < bytes.length; i++) bytes[i] = (byte) volume.voxels()[i];
        set.put(Tag.BITS_ALLOCATED, 8).put(Tag.BITS_STORED, 8).put(Tag.HIGH_BIT, 7);
        DicomWriter.write(
                folder.resolve("plain"),
                set.put(Element.bytes(Tag.PIXEL_DATA, Vr.OB, bytes)),
                TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        Path ours = Files.createDirectory(folder.resolve("a")).resolve("a.dcm");
        Path theirs = Files.createDirectory(folder.resolve("b")).resolve("b.dcm");
        run("dcmcjpeg", "+eb", "+un", folder.resolve("plain").toString(), ours.toString());
        run("dcmdjpeg", ours.toString(), theirs.toString());
        float[] a = TestImages.volume(ours.getParent()).voxels();
        float[] b = TestImages.volume(theirs.getParent()).voxels();
        for (int i = 0; i < a.length; i++) assertThat(a[i]).isBetween(b[i] - 1, b[i] + 1);
    }

    @Test
    void jpegLsIsRefusedByName() throws Exception {
        assumePresent("dcmcjpls");
        Volume volume = TestImages.noise(TestImages.axial(40, 24, 1), 0, 255, 5);
        DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(volume)))
                .get(0);
        Path plain = folder.resolve("plain");
        DicomWriter.write(plain, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        Path made = Files.createDirectory(folder.resolve("made")).resolve("one.dcm");
        run("dcmcjpls", plain.toString(), made.toString());
        assertThatThrownBy(() -> TestImages.read(made.getParent()))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("JPEG-LS (1.2.840.10008.1.2.4.80)");
    }

    // Oracle: dcmtk decodes what our run-length encoder wrote.
    @Test
    void runLengthsThatWeWriteDecodeInDcmtk() throws Exception {
        assumePresent("dcmdrle");
        Volume volume = TestImages.noise(TestImages.oblique(37, 29, 1), -500, 3000, 5);
        DataSet set = MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(volume)))
                .get(0);
        Path made = folder.resolve("rle");
        DicomWriter.write(made, set, TransferSyntax.RLE);
        Path plain = Files.createDirectory(folder.resolve("plain")).resolve("one.dcm");
        run("dcmdrle", made.toString(), plain.toString());
        TestImages.requireSame(
                "decoded by dcmtk",
                volume.voxels(),
                TestImages.volume(plain.getParent()).voxels());
    }
}
