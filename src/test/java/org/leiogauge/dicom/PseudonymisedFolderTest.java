// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.lang.reflect.Field;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.Mask;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Copies without identity, of the demonstration study and of files whose every attribute names the patient. */
class PseudonymisedFolderTest {
    private static final Path DEMO = Path.of("test-images/demo");
    private static final Path OUTLINE = DEMO.resolve("outline-true.dcm");
    private static final String PLANT = "PLANTED";
    private static final Pseudonyms KEYED = Pseudonyms.of("sixteen bytes ok".getBytes(StandardCharsets.UTF_8));

    // without these a file could not be read at all
    private static final Set<Integer> NEEDED = Set.of(
            Tag.SOP_CLASS_UID,
            Tag.ROWS,
            Tag.COLUMNS,
            Tag.BITS_ALLOCATED,
            Tag.BITS_STORED,
            Tag.HIGH_BIT,
            Tag.PIXEL_REPRESENTATION,
            Tag.SAMPLES_PER_PIXEL,
            Tag.PHOTOMETRIC_INTERPRETATION,
            Tag.NUMBER_OF_FRAMES,
            Tag.PIXEL_DATA,
            Tag.FLOAT_PIXEL_DATA,
            Tag.DOUBLE_FLOAT_PIXEL_DATA,
            // a file with it is left out, and that would show nothing here
            Tag.CONVERSION_TYPE);

    @TempDir
    Path folder;

    @Test
    void noAttributeCarriesAPlantedName() throws Exception {
        Path study = folder.resolve(PLANT + "^NAME");
        int count = 0;
        for (Path file : List.of(OUTLINE, image(), segmentation(), enhanced())) {
            DataSet set = DicomReader.read(file).copy();
            plant(set, 2);
            assertThat(DicomWriter.bytes(set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN))
                    .asString(StandardCharsets.ISO_8859_1)
                    .contains(PLANT);
            DicomWriter.write(study.resolve(PLANT + count++ + ".dcm"), set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        }
        PseudonymisedFolder.Result result = write(List.of(study), "copy");
        assertThat(result.leftOut()).isEmpty();
        assertThat(result.series().stream()
                        .mapToInt(PseudonymisedFolder.CopiedSeries::files)
                        .sum())
                .isEqualTo(count);
        for (Path file : files(folder.resolve("copy"))) {
            assertThat(folder.relativize(file).toString()).doesNotContainIgnoringCase(PLANT);
            String bytes = new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1);
            assertThat(bytes.toUpperCase(Locale.ROOT).contains(PLANT))
                    .as(file.toString())
                    .isFalse();
            // Oracle: UTF-16 and reversed bytes would be other ways to carry it; none is written at all.
            assertThat(bytes).doesNotContain("P\0L\0A\0N").doesNotContain("DETNALP");
        }
    }

    /** Names the patient in each attribute that this package knows, in some that it does not, and in sequences of them. */
    private static void plant(DataSet set, int depth) throws IllegalAccessException {
        for (Field field : Tag.class.getFields()) {
            if (field.getType() != int.class) continue;
            int tag = field.getInt(null);
            Vr vr = Dictionary.vr(tag);
            if (NEEDED.contains(tag) || Tag.group(tag) <= 2 || vr == Vr.UN) continue;
            if (vr == Vr.SQ) {
                boolean isGroups = tag == Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE;
                if (depth == 0 || isGroups && !set.has(tag)) continue;
                List<DataSet> items = new ArrayList<>(set.items(tag));
                if (items.isEmpty()) items.add(new DataSet());
                items.replaceAll(DataSet::copy);
                for (DataSet item : items) plant(item, depth - 1);
                set.put(tag, items);
            } else if (vr.kind() == Vr.Kind.TEXT) set.put(Element.text(tag, vr, PLANT + "^NAME", PLANT));
            else if (vr.kind() == Vr.Kind.BYTES) set.put(bytes(tag, vr));
        }
        // private, unknown here, retired, and a VR that the tag does not have
        set.put(Element.text(0x00290010, Vr.LO, PLANT + " CREATOR"));
        set.put(bytes(0x00291001, Vr.UN)).put(Element.text(0x00104000, Vr.LT, PLANT));
        set.put(Element.text(0x00321032, Vr.PN, PLANT)).put(Element.text(0x00400275, Vr.LO, PLANT));
        set.put(bytes(0x60003000, Vr.OB)).put(bytes(Tag.SMALLEST_IMAGE_PIXEL_VALUE, Vr.OB));
        set.put(Element.text(0x00091001, Vr.LO, PLANT)).put(bytes(Tag.DIMENSION_INDEX_VALUES, Vr.UN));
    }

    private static Element bytes(int tag, Vr vr) {
        return Element.bytes(tag, vr, (PLANT + "^").getBytes(StandardCharsets.US_ASCII));
    }

    @Test
    void imagesKeepPixelsAndPlacesAndOutlinesTheirImages() throws Exception {
        write(List.of(DEMO.resolve("dicom"), OUTLINE), "copy");
        Path copy = folder.resolve("copy");
        List<DicomSeries> before = TestImages.scan(DEMO.resolve("dicom"));
        List<DicomSeries> after = TestImages.scan(copy);
        assertThat(after).hasSameSizeAs(before);
        for (int i = 0; i < before.size(); i++) {
            DicomSeries.Content old = before.get(i).read(Workers.SINGLE, Progress.NONE);
            DicomSeries.Content now = after.get(i).read(Workers.SINGLE, Progress.NONE);
            assertThat(now.stacks()).hasSameSizeAs(old.stacks());
            for (int k = 0; k < old.stacks().size(); k++) {
                assertThat(now.stacks().get(k).volume().voxels())
                        .isEqualTo(old.stacks().get(k).volume().voxels());
                assertThat(now.stacks().get(k).volume().grid())
                        .isEqualTo(old.stacks().get(k).volume().grid());
                assertThat(now.stacks().get(k).bValue())
                        .isEqualTo(old.stacks().get(k).bValue());
                assertThat(now.stacks().get(k).seconds())
                        .isEqualTo(old.stacks().get(k).seconds());
            }
        }
        StructureSet.Roi oldRoi = StructureSet.read(OUTLINE).rois().get(0);
        StructureSet.Roi newRoi =
                StructureSet.read(first(copy, Uid.RT_STRUCTURE_SET)).rois().get(0);
        assertThat(newRoi.name()).isEqualTo(oldRoi.name());
        assertThat(newRoi.contours()).isEqualTo(oldRoi.contours());
        // Oracle: the outline was drawn on the first series; its references must be that series' images, in the copy
        // too.
        assertThat(newRoi.images()).isNotEmpty().isSubsetOf(after.get(0).sopInstances());
        assertThat(newRoi.frameOfReference()).isEqualTo(after.get(0).frameOfReference());
        assertThat(newRoi.images()).doesNotContainAnyElementsOf(before.get(0).sopInstances());
    }

    @Test
    void theSameKeyGivesTheSameBytesOnAnyThreads() throws Exception {
        Path dwi = DEMO.resolve("dicom/4-inv-epi-dwi-tra");
        Map<String, String> one = contents(write(List.of(dwi), KEYED, 1, "one"), "one");
        assertThat(contents(write(List.of(dwi), KEYED, 3, "three"), "three")).isEqualTo(one);
        Map<String, String> other = contents(write(List.of(dwi), Pseudonyms.drawn(), 1, "other"), "other");
        assertThat(other.keySet()).doesNotContainAnyElementsOf(one.keySet());
        // Oracle: two drawn keys of 256 bits that agree are not to be met with.
        assertThat(contents(write(List.of(dwi), Pseudonyms.drawn(), 1, "again"), "again")
                        .keySet())
                .doesNotContainAnyElementsOf(other.keySet());
    }

    @Test
    void objectsThatMayShowOrTellANameAreLeftOutAndListed() throws Exception {
        Path study = folder.resolve("study");
        Path image = image();
        Map<String, DataSet> sets = new TreeMap<>();
        sets.put("a-report", new DataSet().put(Tag.SOP_CLASS_UID, Uid.COMPREHENSIVE_SR));
        sets.put("b-document", new DataSet().put(Tag.SOP_CLASS_UID, Uid.ENCAPSULATED_PDF));
        sets.put("c-capture", new DataSet().put(Tag.SOP_CLASS_UID, "1.2.840.10008.5.1.4.1.1.7"));
        sets.put("d-text", new DataSet().put(Tag.BURNED_IN_ANNOTATION, "YES"));
        sets.put("e-screen", new DataSet().put(Tag.CONVERSION_TYPE, "WSD"));
        sets.put("f-overlay", new DataSet().put(Element.whole(0x60000102, Vr.US, 12)));
        sets.put("g-colour", new DataSet().put(Tag.SAMPLES_PER_PIXEL, 3));
        for (Map.Entry<String, DataSet> set : sets.entrySet())
            DicomWriter.write(
                    study.resolve(set.getKey() + ".dcm"),
                    DicomReader.read(image).copy().putAll(set.getValue()),
                    TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        Files.writeString(study.resolve("h-notes.txt"), "Jane Doe");
        Files.copy(image, study.resolve("image.dcm"));
        PseudonymisedFolder.Result result = write(List.of(study), "copy");
        assertThat(result.leftOut().stream().map(one -> one.file().getFileName() + ": " + one.reason()))
                .containsExactly(
                        "a-report.dcm: neither an MR or CT image, nor a structure set or segmentation",
                        "b-document.dcm: neither an MR or CT image, nor a structure set or segmentation",
                        "c-capture.dcm: neither an MR or CT image, nor a structure set or segmentation",
                        "d-text.dcm: text in its pixels",
                        "e-screen.dcm: a picture of a screen or a film",
                        "f-overlay.dcm: an overlay in its pixels: it may show text",
                        "g-colour.dcm: a colour image: it may show text",
                        "h-notes.txt: no DICOM file");
        assertThat(files(folder.resolve("copy"))).hasSize(1);
    }

    // Oracle: the calendar. 29 February 2024 is a day; the second visit is 366 days after the first.
    @Test
    void daysAndTimesKeepTheirDistances() {
        Timeline timeline = new Timeline(OptionalInt.empty());
        timeline.look(new DataSet()
                .put(Tag.STUDY_DATE, "20240229")
                .put(Tag.STUDY_TIME, "101500.25")
                .put(Tag.PATIENT_BIRTH_DATE, "19610704"));
        timeline.look(new DataSet().put(Tag.FRAME_ACQUISITION_DATE_TIME, "20240229101203.5+0100"));
        assertThat(timeline.date("20240229")).isEqualTo("19700101");
        assertThat(timeline.date("2025.03.01")).isEqualTo("19710102");
        assertThat(timeline.time("101500.25")).isEqualTo("000257.25");
        assertThat(timeline.time("1013")).isEqualTo("000057");
        assertThat(timeline.dateTime("20240301101204.125000-0500")).isEqualTo("19700102000001.125000");
        for (String wrong : List.of("", "20240230", "yesterday", "20241", "20240229x"))
            assertThat(timeline.date(wrong)).isEmpty();
        for (String wrong : List.of("", "996060", "noon", "10150"))
            assertThat(timeline.time(wrong)).isEmpty();
        Timeline shifted = new Timeline(OptionalInt.of(-100));
        assertThat(shifted.date("20240229")).isEqualTo("20231121");
    }

    @Test
    void aPrivateBValueMovesToTheStandardsPlace() throws Exception {
        DataSet set =
                DicomReader.read(first(DEMO.resolve("dicom"), Uid.MR_IMAGE)).copy();
        set.put(Element.text(0x00190010, Vr.LO, "SIEMENS MR HEADER")).put(Element.text(0x0019100C, Vr.IS, "800"));
        DataSet copy = Pseudonymiser.of(set, KEYED, new Timeline(OptionalInt.empty()), "case-1");
        assertThat(copy.number(Tag.DIFFUSION_B_VALUE)).hasValue(800);
        assertThat(copy.elements()).noneMatch(element -> Tag.isPrivate(element.tag()));
        set.remove(0x00190010).remove(0x0019100C).put(Tag.IMAGE_COMMENTS, "Jane Doe, b = 50");
        copy = Pseudonymiser.of(set, KEYED, new Timeline(OptionalInt.empty()), "case-1");
        assertThat(copy.number(Tag.DIFFUSION_B_VALUE)).hasValue(50);
        assertThat(copy.has(Tag.IMAGE_COMMENTS)).isFalse();
    }

    @Test
    void wordsOfTheTradeStayAndAllOthersGo() {
        assertThat(SafeWords.of("T2 TSE sag Dr. SMITH fat-sat b800 19610704 Mary-T2 uterus"))
                .isEqualTo("T2 TSE sag fat-sat b800 uterus");
        assertThat(SafeWords.of("Smith, Jane")).isEmpty();
        // Oracle: the words by which a series gets its role, written out: a copy must get the same one.
        String roles =
                "t1 t1w t2 t2w adc dwi diff diffusion fs fatsat fat-sat fsat fatsuppressed spir spair sat chess water pre"
                        + " native nativ plain unenhanced precontrast post gd gado km contrast enhanced postcontrast dynamic dyn dce";
        for (String word : roles.split(" ")) assertThat(SafeWords.of(word)).isEqualTo(word);
        for (String code : List.of("LOCALIZER", "ADC", "DIFFUSION", "MOSAIC", "EP", "FS", "NONE", "FRACTIONAL"))
            assertThat(SafeWords.isCode(code)).as(code).isTrue();
        assertThat(SafeWords.isCode("DIFFUSION")).isTrue();
        assertThat(SafeWords.isCode("SMITH")).isFalse();
        assertThat(SafeWords.isConcept("UCUM", "10-6.mm2/s")).isTrue();
        assertThat(SafeWords.isConcept("UCUM", "{SMITH}")).isFalse();
        assertThat(SafeWords.isConcept("99SMITH", "1")).isFalse();
    }

    @Test
    void commentsLeaveJpegAndThePictureStays() throws Exception {
        var picture = new java.awt.image.BufferedImage(32, 24, java.awt.image.BufferedImage.TYPE_BYTE_GRAY);
        for (int i = 0; i < 32 * 24; i++) picture.getRaster().setSample(i % 32, i / 32, 0, i * 7 % 256);
        ByteArrayOutputStream plain = new ByteArrayOutputStream();
        assertThat(ImageIO.write(picture, "jpeg", plain)).isTrue();
        byte[] code = plain.toByteArray();
        byte[] comment = ("\0\u0009" + PLANT).getBytes(StandardCharsets.ISO_8859_1);
        ByteArrayOutputStream with = new ByteArrayOutputStream();
        with.write(code, 0, 2);
        with.write(new byte[] {(byte) 0xFF, (byte) 0xFE});
        with.write(comment);
        with.write(code, 2, code.length - 2);
        with.write(PLANT.getBytes(StandardCharsets.US_ASCII));
        byte[] clean = CleanPixels.jpeg(with.toByteArray()).orElseThrow();
        assertThat(new String(clean, StandardCharsets.ISO_8859_1)).doesNotContain(PLANT, "JFIF");
        var decoded = ImageIO.read(new ByteArrayInputStream(clean));
        var expected = ImageIO.read(new ByteArrayInputStream(code));
        for (int y = 0; y < 24; y++)
            for (int x = 0; x < 32; x++)
                assertThat(decoded.getRaster().getSample(x, y, 0))
                        .isEqualTo(expected.getRaster().getSample(x, y, 0));
        assertThat(CleanPixels.jpeg(Arrays.copyOf(code, 40))).isEmpty();
    }

    // Oracle: the code stream's syntax, ITU-T T.800 annex A, put together by hand: SOC, SIZ, COM, SOT, SOD, data, EOC.
    @Test
    void commentsLeaveJpeg2000() {
        byte[] code = bytes(0xFF4F, 0xFF51, 4, 0, 0xFF64, 4, 0x4A44, 0xFF90, 10, 0, 0, 16, 1, 0xFF93, 0x1234, 0xFFD9);
        byte[] clean = bytes(0xFF4F, 0xFF51, 4, 0, 0xFF90, 10, 0, 0, 16, 1, 0xFF93, 0x1234, 0xFFD9);
        assertThat(CleanPixels.jpeg2000(code)).contains(clean);
        byte[] inTile = bytes(0xFF4F, 0xFF51, 4, 0, 0xFF90, 10, 0, 0, 20, 1, 0xFF64, 2, 0xFF93, 0x1234, 0xFFD9);
        assertThat(CleanPixels.jpeg2000(inTile)).isEmpty();
        assertThat(CleanPixels.jpeg2000(new byte[] {1, 2, 3})).isEmpty();
    }

    private static byte[] bytes(int... words) {
        byte[] bytes = new byte[2 * words.length];
        for (int i = 0; i < words.length; i++) {
            bytes[2 * i] = (byte) (words[i] >> 8);
            bytes[2 * i + 1] = (byte) words[i];
        }
        return bytes;
    }

    // Oracle: dcmtk's compressor and decompressor.
    @Test
    void compressedImagesAreCopiedInTheirCode() throws Exception {
        OutsideTool.assumePresent("dcmcjpeg", "dcmdjpeg");
        Path image = image();
        Path study = Files.createDirectory(folder.resolve("study"));
        OutsideTool.run(
                "dcmcjpeg", "+e1", image.toString(), study.resolve("a.dcm").toString());
        write(List.of(study), "copy");
        Path copied = files(folder.resolve("copy")).get(0);
        assertThat(DicomReader.readHeader(copied).syntax()).isEqualTo(TransferSyntax.JPEG_LOSSLESS_FIRST_ORDER);
        Path plain = folder.resolve("plain.dcm");
        OutsideTool.run("dcmdjpeg", copied.toString(), plain.toString());
        assertThat(DicomReader.read(plain).get(Tag.PIXEL_DATA).orElseThrow().littleEndian())
                .isEqualTo(DicomReader.read(image)
                        .get(Tag.PIXEL_DATA)
                        .orElseThrow()
                        .littleEndian());
    }

    // Oracle: dicom3tools' validator of the standard's object definitions.
    @Test
    void copiesAreValidObjects() throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        write(List.of(first(DEMO.resolve("dicom"), Uid.MR_IMAGE), OUTLINE, segmentation()), "copy");
        for (Path file : files(folder.resolve("copy"))) {
            Process process = new ProcessBuilder("dciodvfy", file.toString())
                    .redirectErrorStream(true)
                    .start();
            List<String> lines = new String(process.getInputStream().readAllBytes(), StandardCharsets.ISO_8859_1)
                    .lines()
                    .toList();
            assertThat(lines).isNotEmpty().noneMatch(line -> line.startsWith("Error"));
        }
    }

    @Test
    void brokenFilesAndEmptyStudiesAreRefusedAndNothingIsWritten() throws Exception {
        Path study = Files.createDirectory(folder.resolve("study"));
        byte[] whole = Files.readAllBytes(first(DEMO.resolve("dicom"), Uid.MR_IMAGE));
        Files.write(study.resolve("short.dcm"), Arrays.copyOf(whole, whole.length - 5000));
        assertThatThrownBy(() -> write(List.of(study), "copy"))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("short.dcm");
        Files.delete(study.resolve("short.dcm"));
        Files.writeString(study.resolve("notes.txt"), "nothing");
        assertThatThrownBy(() -> write(List.of(study), "copy"))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("no file to copy among 1");
        assertThat(folder.resolve("copy")).doesNotExist();
        assertThatThrownBy(() -> Pseudonyms.of(new byte[15])).hasMessageContaining("16 bytes or more, got 15");
    }

    private PseudonymisedFolder.Result write(List<Path> sources, String name) throws InputException, IOException {
        return write(sources, KEYED, 2, name);
    }

    private PseudonymisedFolder.Result write(List<Path> sources, Pseudonyms pseudonyms, int threads, String name)
            throws InputException, IOException {
        try (Workers workers = Workers.of(threads)) {
            return PseudonymisedFolder.write(
                    sources, pseudonyms, OptionalInt.empty(), folder.resolve(name), workers, Progress.NONE);
        }
    }

    private Map<String, String> contents(PseudonymisedFolder.Result result, String name) throws IOException {
        Map<String, String> contents = new TreeMap<>();
        for (Path file : files(folder.resolve(name)))
            contents.put(
                    folder.resolve(name).relativize(file).toString(),
                    new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1));
        assertThat(contents).hasSize(result.series().get(0).files());
        return contents;
    }

    private Path segmentation() throws Exception {
        DicomSeries series = TestImages.scan(DEMO.resolve("dicom")).get(0);
        DicomSeries.Stack stack =
                series.read(Workers.SINGLE, Progress.NONE).stacks().get(0);
        byte[] voxels = new byte[stack.volume().voxels().length];
        Arrays.fill(voxels, voxels.length / 2, voxels.length / 2 + 50, (byte) 1);
        Path file = folder.resolve("segmentation.dcm");
        var mask = new Mask(stack.volume().grid(), voxels);
        var segment = new SegmentationObject.Segment("lesion", Code.ABNORMAL_STRUCTURE, Code.MASS, mask);
        DicomWriter.write(
                file,
                SegmentationObject.of(series.drawnOn(stack), List.of(segment), "l", "n"),
                TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        return file;
    }

    private Path image() throws Exception {
        Path file = folder.resolve("image.dcm");
        var part = MrImages.Part.of(TestImages.noise(TestImages.axial(24, 20, 4), 0, 500, 3));
        DicomWriter.write(
                file,
                MrImages.classic(TestImages.template("s"), List.of(part)).get(0),
                TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        return file;
    }

    private Path enhanced() throws Exception {
        Path file = folder.resolve("enhanced.dcm");
        var part = MrImages.Part.of(TestImages.noise(TestImages.axial(9, 8, 4), 0, 500, 3));
        DicomWriter.write(
                file,
                MrImages.enhanced(TestImages.template("s"), List.of(part)),
                TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        return file;
    }

    private static Path first(Path root, String sopClass) throws Exception {
        for (Path file : files(root))
            if (DicomReader.read(file).text(Tag.SOP_CLASS_UID).orElse("").equals(sopClass)) return file;
        throw new IllegalStateException("no object of " + sopClass + " in " + root);
    }

    private static List<Path> files(Path root) throws IOException {
        try (Stream<Path> files = Files.walk(root)) {
            return files.filter(Files::isRegularFile).sorted().toList();
        }
    }
}
