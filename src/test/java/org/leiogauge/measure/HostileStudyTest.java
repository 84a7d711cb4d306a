// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomReader;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.Element;
import org.leiogauge.dicom.OutsideTool;
import org.leiogauge.dicom.Segmentation;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.dicom.Vr;
import org.leiogauge.image.Mask;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.report.PageCheck;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * All that measure writes of the demonstration case, with contrast and diffusion, whose patient's name, series descriptions
 * and case id mean harm: markup, formulas, right-to-left text and overrides, far too long.
 */
class HostileStudyTest {
    private static final Path DEMO = Path.of("test-images/demo");
    private static final String MARKUP = "</title><script>alert(1)</script><img src=x onerror=alert(2)>\"'&<!--";
    private static final String FORMULA = "=HYPERLINK(\"http://example.org\")";
    private static final String HEBREW = "\u05E9\u05DC\u05D5\u05DD";
    private static final String OVERRIDE = "\u202Efdp.exe\u0007\u001b[31m";
    private static final String PATIENT = "Secret^Name";
    private static final List<String> DESCRIPTIONS =
            List.of(MARKUP, FORMULA, HEBREW + OVERRIDE, "long " + "x".repeat(60_000), "../../../etc/passwd\u0000");
    private static final String CASE = FORMULA + MARKUP + HEBREW + OVERRIDE + "y".repeat(2_000);
    private static final int SIX_MEGABYTES = 6_000_000;

    @TempDir
    static Path folder;

    private static Path out;

    @BeforeAll
    static void measure() throws Exception {
        Path study = folder.resolve("study");
        try (Stream<Path> files = Files.walk(DEMO.resolve("dicom"))) {
            for (Path file : files.filter(Files::isRegularFile).sorted().toList()) hostile(file, study);
        }
        String lines = Files.readString(DEMO.resolve("case.yaml"));
        assertThat(lines).contains("case: invented-demo-20260\n");
        Path caseFile = folder.resolve("case.yaml");
        Files.writeString(
                caseFile,
                lines.replace(
                                "case: invented-demo-20260\n",
                                "case: " + new ObjectMapper().writeValueAsString(CASE) + "\n")
                        + "outline: {reader: " + new ObjectMapper().writeValueAsString(CASE) + "}\n");
        out = folder.resolve("out");
        try (Workers workers = Workers.of(2)) {
            CaseMeasurement.run(
                    new CaseRequest(
                            study,
                            DEMO.resolve("outline-true.dcm"),
                            Optional.of("L1"),
                            Optional.empty(),
                            Optional.of(caseFile),
                            SettingsFile.read(Optional.empty(), List.of("stability.draws=2")),
                            "Leiogauge",
                            List.of()),
                    out,
                    workers,
                    Progress.NONE);
        }
    }

    // The words that tell the series' role stay in front; what follows is not what the standard allows.
    private static void hostile(Path file, Path study) throws Exception {
        DataSet set = DicomReader.read(file);
        int series = set.needWhole(Tag.SERIES_NUMBER, 1, 100);
        String description =
                set.needText(Tag.SERIES_DESCRIPTION) + " " + DESCRIPTIONS.get(series % DESCRIPTIONS.size());
        set.put(Element.text(Tag.SPECIFIC_CHARACTER_SET, Vr.CS, "ISO_IR 192"))
                .put(Element.text(Tag.SERIES_DESCRIPTION, Vr.LO, description))
                .put(Element.text(Tag.PATIENT_NAME, Vr.PN, PATIENT + MARKUP + FORMULA));
        Path target = study.resolve(DEMO.relativize(file).toString());
        Files.createDirectories(target.getParent());
        DicomWriter.write(target, set, TransferSyntax.RLE);
    }

    private static List<Path> files() throws IOException {
        try (Stream<Path> files = Files.walk(folder)) {
            return files.filter(Files::isRegularFile)
                    .filter(file -> !file.startsWith(folder.resolve("study")))
                    .sorted()
                    .toList();
        }
    }

    @Test
    void noFileIsWrittenUnderANameFromTheStudy() throws IOException {
        List<String> names = files().stream()
                .map(file -> folder.relativize(file).toString())
                .filter(name -> !name.startsWith("out/figures/"))
                .toList();
        assertThat(names)
                .containsExactlyInAnyOrder(
                        "case.yaml",
                        "out/dictionary.csv",
                        "out/features-wide.csv",
                        "out/features.csv",
                        "out/lesion.nii.gz",
                        "out/lesion.seg.dcm",
                        "out/log.txt",
                        "out/report.html",
                        "out/report.pdf",
                        "out/report.pdf.dcm",
                        "out/report.sr.dcm",
                        "out/settings.yaml");
        assertThat(files())
                .filteredOn(file -> file.startsWith(out.resolve("figures")))
                .hasSizeGreaterThan(15)
                .allMatch(file -> file.getFileName().toString().matches("[a-z0-9-]+\\.png"));
    }

    @Test
    void thePatientIsNamedNowhere() throws IOException {
        for (Path file : files())
            assertThat(new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1))
                    .as(file.toString())
                    .doesNotContain("Secret");
    }

    @Test
    void theReportShowsTextAsText() throws IOException {
        String page = Files.readString(out.resolve("report.html"));
        // Oracle: HTML, a tag begins with a bare "<"; the report has none of these of its own.
        assertThat(page)
                .contains("&lt;script&gt;", HEBREW, "(cut; the tables hold all of it)")
                .doesNotContain("<script", "<img src=x", "\u202E", "\u0000", "\u0007", "\u001b", "x".repeat(2000))
                .doesNotContain("y".repeat(500));
    }

    @Test
    void theDocumentShowsTextAsTextAndDoesNothing() throws IOException {
        try (PDDocument document = Loader.loadPDF(out.resolve("report.pdf").toFile())) {
            assertThat(document.getDocumentCatalog().getOpenAction()).isNull();
            assertThat(document.getDocumentCatalog().getNames()).isNull();
            assertThat(document.getDocumentCatalog().getAcroForm()).isNull();
            assertThat(new PDFTextStripper().getText(document))
                    .contains("Not a diagnosis", "<script>")
                    .doesNotContain("\u202E");
        }
    }

    // Oracle: what makes a spreadsheet calculate is a cell that begins with one of = + - @ and is no number.
    @Test
    void noCellIsAFormula() throws Exception {
        for (String name : List.of("features.csv", "features-wide.csv", "dictionary.csv")) {
            String text = Files.readString(out.resolve(name));
            assertThat(text.lines()).as(name).noneMatch(line -> line.matches("(^|.*,)\"?[=@].*"));
        }
        assertThat(CsvTable.read(out.resolve("features.csv")).rows().get(0).get(0))
                .startsWith("=HYPERLINK");
    }

    @Test
    void theLogHasOneLinePerEntry() throws IOException {
        assertThat(Files.readAllLines(out.resolve("log.txt")).subList(2, 12))
                .allMatch(line -> line.matches("(notice|series|decision|measured): .*"))
                .noneMatch(line -> line.contains("\u001b") || line.contains("\u202E"));
    }

    @Test
    void reportsAreSmall() throws IOException {
        assertThat(Files.size(out.resolve("report.html"))).isLessThan(SIX_MEGABYTES);
        assertThat(Files.size(out.resolve("report.pdf"))).isLessThan(SIX_MEGABYTES);
    }

    // Oracles: the Nu HTML checker; axe-core's rules in a browser on light and dark screens and on paper, which also
    // tells whether a dialog opened or the page asked for something.
    @Test
    void outsideEyesFindNothingOnThePage() throws Exception {
        PageCheck.assumePresent();
        assertThat(PageCheck.htmlMessages(out.resolve("report.html"))).isEmpty();
        assertThat(PageCheck.findings(out.resolve("report.html"))).isEmpty();
    }

    // Oracle: dciodvfy of Debian's dicom3tools.
    @Test
    void dciodvfyFindsNoError() throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        for (String name : List.of("lesion.seg.dcm", "report.sr.dcm", "report.pdf.dcm"))
            assertThat(OutsideTool.run(
                            "sh",
                            "-c",
                            "dciodvfy \"$0\" 2>&1; true",
                            out.resolve(name).toString()))
                    .as(name)
                    .noneMatch(line -> line.startsWith("Error"));
    }

    // Oracle: dsrdump of Debian's dcmtk, which checks each relation between nodes.
    @Test
    void dsrdumpPrintsTheTree() throws Exception {
        OutsideTool.assumePresent("dsrdump");
        assertThat(OutsideTool.run(
                        "sh",
                        "-c",
                        "dsrdump +Pl +Pc \"$0\" 2>&1",
                        out.resolve("report.sr.dcm").toString()))
                .noneMatch(line -> line.startsWith("E:"))
                .anyMatch(line -> line.contains("(126000,DCM,\"Imaging Measurement Report\")"))
                .anyMatch(line -> line.contains("(118565006,SCT,\"Volume\")"))
                .anyMatch(line -> line.contains("(113041,DCM,"));
    }

    // Oracle: pydicom unpacks the frames and says where each lies; the digest is over voxels, x fastest. What it must
    // be is
    // the mask that is written as NIfTI, for the lesion, and for all segments what our own reader makes of the file.
    @Test
    void pydicomReadsTheSamePartsOfTheLesion() throws Exception {
        OutsideTool.assumePydicom();
        Segmentation own = Segmentation.read(out.resolve("lesion.seg.dcm"));
        assertThat(own.labels()).startsWith("lesion").hasSizeGreaterThan(2);
        Mask lesion = NiftiReader.readMask(out.resolve("lesion.nii.gz"));
        List<String> wanted = new ArrayList<>();
        for (String label : own.labels()) {
            byte[] voxels = own.mask(label, lesion.grid()).orElseThrow().voxels();
            wanted.add(label + " "
                    + HexFormat.of()
                            .formatHex(MessageDigest.getInstance("SHA-256").digest(voxels)));
            // a part of the lesion lies inside it
            for (int i = 0; i < voxels.length; i++)
                assertThat(voxels[i] <= lesion.voxels()[i]).isTrue();
        }
        assertThat(own.mask("lesion", lesion.grid()).orElseThrow().voxels()).isEqualTo(lesion.voxels());
        assertThat(OutsideTool.python(PARTS, out, DEMO.resolve("dicom"))).containsExactlyElementsOf(wanted);
    }

    private static final String PARTS = """
            import sys, glob, hashlib, numpy as np, nibabel, pydicom
            out, study = sys.argv[1:3]
            seg = pydicom.dcmread(out + '/lesion.seg.dcm')
            nifti = nibabel.load(out + '/lesion.nii.gz')
            # NIfTI counts patient space to the right and back the other way round
            to_index = np.linalg.inv(np.diag([-1, -1, 1, 1]) @ nifti.affine)
            headers = (pydicom.dcmread(f, stop_before_pixels=True) for f in glob.glob(study + '/**/*.dcm', recursive=True))
            images = {d.SOPInstanceUID: d for d in headers}
            masks = {s.SegmentNumber: np.zeros(nifti.shape, np.uint8) for s in seg.SegmentSequence}
            for frame, groups in zip(seg.pixel_array, seg.PerFrameFunctionalGroupsSequence):
                place = groups.PlanePositionSequence[0].ImagePositionPatient
                source = groups.DerivationImageSequence[0].SourceImageSequence[0].ReferencedSOPInstanceUID
                assert np.allclose(images[source].ImagePositionPatient, place, atol=1e-4)
                z = int(round((to_index @ [*map(float, place), 1])[2]))
                masks[groups.SegmentIdentificationSequence[0].ReferencedSegmentNumber][:, :, z] = frame.T > 0
            for s in seg.SegmentSequence:
                print(s.SegmentLabel, hashlib.sha256(masks[s.SegmentNumber].tobytes(order='F')).hexdigest())
            """;
}
