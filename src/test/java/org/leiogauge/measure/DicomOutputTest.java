// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.LoopbackArchive;
import org.leiogauge.dicom.OutsideTool;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** What measure hands back to an archive, of the invented case with a name and a case id that mean harm. */
class DicomOutputTest {
    private static final Path DEMO = Path.of("test-images/ellipsoids");
    private static final String HOSTILE = "<script>^=\\u202E\\\\\\\\ läsion " + "x".repeat(80);

    @TempDir
    static Path folder;

    // what dcmtk says of every object in UTF-8: its checker of characters has no table for it
    private static final String NOT_OF_THE_TREE =
            "W: The VR checker does not support this Specific Character Set: ISO_IR 192";

    private static Path plain;
    private static Path named;

    @BeforeAll
    static void measure() throws Exception {
        Path caseFile = folder.resolve("case.yaml");
        Files.writeString(caseFile, "case: \"" + HOSTILE + "\"\nlesion: \"L1\\n=1+1\"\n", StandardCharsets.UTF_8);
        plain = folder.resolve("plain");
        named = folder.resolve("named");
        run(plain, caseFile, false);
        run(named, caseFile, true);
        // Oracle for the document: the smallest PDF that a reader opens, an empty page.
        Files.write(folder.resolve("page.pdf"), Pdf.EMPTY_PAGE);
    }

    private static void run(Path out, Path caseFile, boolean withIdentity) throws Exception {
        CaseRequest request = new CaseRequest(
                DEMO.resolve("study"),
                DEMO.resolve("outline.dcm"),
                Optional.of("lesion"),
                Optional.empty(),
                Optional.of(caseFile),
                SettingsFile.read(Optional.empty(), List.of("stability.draws=2")),
                Optional.empty(),
                Optional.empty(),
                "Leiogauge",
                List.of("<b>invented</b>"),
                withIdentity);
        CaseMeasurement.run(request, out, Workers.SINGLE, Progress.NONE);
    }

    private static List<Path> objects() {
        return List.of(
                plain.resolve("lesion.seg.dcm"),
                plain.resolve("report.sr.dcm"),
                named.resolve("lesion.seg.dcm"),
                named.resolve("report.sr.dcm"));
    }

    // Oracle: dciodvfy of Debian's dicom3tools.
    @Test
    void dciodvfyFindsNoError() throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        for (Path file : objects()) {
            List<String> lines = OutsideTool.run("sh", "-c", "dciodvfy \"$0\" 2>&1; true", file.toString());
            assertThat(lines).as(file.toString()).noneMatch(line -> line.startsWith("Error"));
        }
    }

    // Oracle: dsrdump of Debian's dcmtk, which checks each relation between nodes; the volume as in the table.
    @Test
    void dsrdumpPrintsTheTree() throws Exception {
        OutsideTool.assumePresent("dsrdump");
        List<String> lines = OutsideTool.run(
                "sh",
                "-c",
                "dsrdump +Pl +Pc \"$0\" 2>&1",
                plain.resolve("report.sr.dcm").toString());
        assertThat(lines)
                .filteredOn(line -> !line.equals(NOT_OF_THE_TREE))
                .noneMatch(line -> line.startsWith("E:") || line.startsWith("W:"));
        assertThat(lines)
                .anyMatch(line -> line.contains("(126000,DCM,\"Imaging Measurement Report\")"))
                .anyMatch(line -> line.contains("(111028,DCM,\"Image Library\")"))
                .anyMatch(line -> line.contains("Research measurement, not a diagnosis"))
                .anyMatch(line -> line.contains("(118565006,SCT,\"Volume\")"))
                .anyMatch(line -> line.contains("(QCFX,IBSI,\"sphericity\")"))
                .anyMatch(line -> line.contains("(stability-interval-low,99LEIOGAUGE,"))
                .anyMatch(line -> line.contains("Measurement Group"));
        assertThat(lines.stream().filter(line -> line.contains("(118565006,SCT,\"Volume\")")))
                .hasSize(1)
                .allMatch(line -> line.contains("(mm3,UCUM,"));
    }

    // Oracle: pydicom reads numbers, codes and references; what they must be stands in the CSV and in the images.
    @Test
    void pydicomReadsTheSameNumbersAsTheTable() throws Exception {
        OutsideTool.assumePydicom();
        List<String> lines = OutsideTool.python("""
                import sys, csv, glob, pydicom
                out, study = sys.argv[1:3]
                sr = pydicom.dcmread(out + '/report.sr.dcm')
                seg = pydicom.dcmread(out + '/lesion.seg.dcm')
                rows = [r for r in csv.DictReader(open(out + '/features.csv', encoding='utf-8'))
                        if r['value'] and r['group'] == 'lesion']
                images = {}
                for f in glob.glob(study + '/*.dcm'):
                    d = pydicom.dcmread(f, stop_before_pixels=True)
                    images[d.SOPInstanceUID] = d
                assert {d.StudyInstanceUID for d in images.values()} == {sr.StudyInstanceUID} == {seg.StudyInstanceUID}
                listed = {}
                for s in sr.CurrentRequestedProcedureEvidenceSequence[0].ReferencedSeriesSequence:
                    for i in s.ReferencedSOPSequence:
                        listed[i.ReferencedSOPInstanceUID] = s.SeriesInstanceUID
                assert listed.pop(seg.SOPInstanceUID) == seg.SeriesInstanceUID
                assert listed == {u: d.SeriesInstanceUID for u, d in images.items()}
                assert seg.SeriesInstanceUID not in listed.values() and sr.SeriesInstanceUID not in listed.values()
                numbers, named = [], set()
                def walk(item):
                    for child in getattr(item, 'ContentSequence', []):
                        if child.ValueType == 'NUM' and child.RelationshipType == 'CONTAINS':
                            numbers.append(child.MeasuredValueSequence[0].FloatingPointValue)
                        if child.ValueType == 'IMAGE':
                            named.add(child.ReferencedSOPSequence[0].ReferencedSOPInstanceUID)
                        walk(child)
                walk(sr)
                assert named == set(images) | {seg.SOPInstanceUID}
                for r in rows:
                    assert float(r['value']) in numbers, r
                print(len(rows), len(numbers), sr.SOPClassUID)
                """, plain, DEMO.resolve("study"));
        assertThat(lines.get(0)).endsWith("1.2.840.10008.5.1.4.1.1.88.33");
    }

    // Oracle: nibabel reads the mask of lesion.nii.gz, pydicom the frames and the images that they come from.
    @Test
    void theSegmentIsTheMask() throws Exception {
        OutsideTool.assumePydicom();
        List<String> lines = OutsideTool.python("""
                import sys, glob, numpy as np, nibabel, pydicom
                out, study = sys.argv[1:3]
                seg = pydicom.dcmread(out + '/lesion.seg.dcm')
                nifti = nibabel.load(out + '/lesion.nii.gz')
                mask = np.asarray(nifti.dataobj) > 0
                # NIfTI counts patient space to the right and back the other way round
                to_index = np.linalg.inv(np.diag([-1, -1, 1, 1]) @ nifti.affine)
                images = {d.SOPInstanceUID: d for d in map(pydicom.dcmread, glob.glob(study + '/*.dcm'))}
                found = np.zeros(mask.shape, bool)
                for frame, groups in zip(seg.pixel_array, seg.PerFrameFunctionalGroupsSequence):
                    if groups.SegmentIdentificationSequence[0].ReferencedSegmentNumber != 1: continue
                    place = groups.PlanePositionSequence[0].ImagePositionPatient
                    source = groups.DerivationImageSequence[0].SourceImageSequence[0].ReferencedSOPInstanceUID
                    assert np.allclose(images[source].ImagePositionPatient, place, atol=1e-4)
                    assert images[source].FrameOfReferenceUID == seg.FrameOfReferenceUID
                    z = int(round((to_index @ [*map(float, place), 1])[2]))
                    found[:, :, z] = frame.T > 0
                print(mask.sum(), (found != mask).sum(), seg.SegmentSequence[0].SegmentedPropertyTypeCodeSequence[0].CodeValue,
                      seg.SegmentSequence[0].AnatomicRegionSequence[0].CodeValue)
                """, plain, DEMO.resolve("study"));
        assertThat(lines.get(0)).endsWith(" 0 4147007 35039007");
    }

    // Oracle: what the images' headers hold, in DemoStudy.
    @Test
    void theNameIsThePseudonymUnlessAskedFor() throws Exception {
        OutsideTool.assumePydicom();
        String script = """
                import sys, pydicom
                for f in ('lesion.seg.dcm', 'report.sr.dcm'):
                    d = pydicom.dcmread(sys.argv[1] + '/' + f)
                    print(str(d.PatientName) == 'Invented^Pelvis', d.PatientID == 'INVENTED', d.PatientSex,
                          len(str(d.PatientName)) <= 64 and len(d.PatientID) <= 64, d.get('PatientIdentityRemoved', ''))
                """;
        assertThat(OutsideTool.python(script, plain)).containsOnly("False False  True YES");
        assertThat(OutsideTool.python(script, named)).containsOnly("True True F True ");
        assertThat(Files.readString(plain.resolve("log.txt"))).contains("decision: " + DicomOutput.PSEUDONYM);
        assertThat(Files.readString(named.resolve("log.txt"))).contains("decision: " + DicomOutput.IDENTITY);
    }

    // Oracle: Debian's orthanc and dcmtk over the network protocol; pydicom compares the data sets byte by byte.
    @Test
    void anArchiveTakesThemAndGivesThemBackAsTheyWere() throws Exception {
        OutsideTool.assumePresent("storescu");
        OutsideTool.assumePydicom();
        Path pdf = folder.resolve("document.dcm");
        Pdf.write(pdf, Pdf.EMPTY_PAGE);
        try (LoopbackArchive archive = LoopbackArchive.start(Files.createDirectory(folder.resolve("archive")))) {
            List<Path> sent = List.of(plain.resolve("lesion.seg.dcm"), plain.resolve("report.sr.dcm"), pdf);
            archive.store(sent);
            for (Path file : sent)
                assertThat(archive.differences(file)).as(file.toString()).isEmpty();
        }
    }
}
