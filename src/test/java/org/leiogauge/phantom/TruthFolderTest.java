// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.OutsideTool;
import org.leiogauge.dicom.StructureSet;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.Uid;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Mask;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.study.CaseFile;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class TruthFolderTest {
    @TempDir
    static Path folder;

    private static final PhantomSettings SETTINGS = Preset.DEMO.settings();

    @BeforeAll
    static void writeTheDemo() throws Exception {
        Files.createDirectories(folder.resolve("one"));
        write(folder.resolve("one"), Workers.SINGLE);
    }

    private static void write(Path out, Workers workers) throws IOException {
        Files.createDirectories(out);
        TruthFolder.write(out, SETTINGS, Anatomy.of(SETTINGS, workers), t2(), workers, Progress.NONE);
    }

    private static DrawnOn t2() {
        DataSet header = new DataSet()
                .put(Tag.PATIENT_NAME, "INVENTED^DEMO")
                .put(Tag.PATIENT_ID, "INVENTED")
                .put(Tag.STUDY_INSTANCE_UID, Uid.of("study"))
                .put(Tag.STUDY_DATE, "20260302")
                .put(Tag.STUDY_TIME, "081500")
                .put(Tag.SERIES_INSTANCE_UID, Uid.of("series"))
                .put(Tag.FRAME_OF_REFERENCE_UID, Uid.of("frame"));
        List<String> instances = new ArrayList<>();
        for (int i = 0; i < SETTINGS.t2().slices(); i++) instances.add(Uid.of("slice " + i));
        return new DrawnOn(header, SETTINGS.t2().grid(), instances);
    }

    private static Path file(String name) {
        return folder.resolve("one").resolve(name);
    }

    private static Mask mask(String name) throws Exception {
        return NiftiReader.readMask(file("masks/" + name + ".nii.gz"));
    }

    @Test
    void theFolderHoldsTheKnownAnswer() throws IOException {
        try (Stream<Path> files = Files.walk(file(""))) {
            assertThat(files.filter(Files::isRegularFile)
                            .map(f -> file("").relativize(f).toString()))
                    .containsExactlyInAnyOrder(
                            "case.yaml",
                            "truth.csv",
                            "truth-L2.csv",
                            "outline-true.dcm",
                            "outline-sloppy.dcm",
                            "masks/lesion.nii.gz",
                            "masks/lesion-L2.nii.gz",
                            "masks/cellular.nii.gz",
                            "masks/necrotic.nii.gz",
                            "masks/haemorrhage.nii.gz");
        }
        // Oracle: the contract's columns; each feature and aggregation once.
        List<String> lines = Files.readAllLines(file("truth.csv"));
        assertThat(lines.get(0)).isEqualTo("feature,aggregation,value,unit,note");
        assertThat(lines.stream().map(l -> l.split(",")[0] + l.split(",")[1])).doesNotHaveDuplicates();
        assertThat(lines)
                .anyMatch(l -> l.startsWith("relative enhancement,30 s,"))
                .anyMatch(l -> l.startsWith("adc minimum region,,"))
                .anyMatch(l -> l.startsWith("fraction of necrotic,,0.18"));
    }

    @Test
    void theCaseFileIsRead() throws Exception {
        CaseFile read = CaseFile.read(file("case.yaml"));
        assertThat(read.lesion()).isEqualTo("L1");
        assertThat(read.caseName()).isEqualTo("invented-demo-20260");
        Anatomy anatomy = Anatomy.of(SETTINGS, Workers.SINGLE);
        assertThat(read.references()).hasSize(4);
        read.references().forEach((tissue, reference) -> reference.points().forEach(ball -> {
            // Oracle: the anatomy at the balls' centres and, along the axes, at their borders; T2 is the unmoved
            // series.
            for (int axis = 0; axis < 7; axis++) {
                double step = axis == 6 ? 0 : axis % 2 == 0 ? ball.radius() : -ball.radius();
                double x = ball.centre().x() + (axis / 2 == 0 ? step : 0);
                double y = ball.centre().y() + (axis / 2 == 1 ? step : 0);
                double z = ball.centre().z() + (axis / 2 == 2 ? step : 0);
                assertThat(Tissue.of(anatomy.tissueAt(x, y, z)).name()).isEqualTo(tissue.name());
            }
        }));
    }

    @Test
    void outlinesAreReadByName() throws Exception {
        List<StructureSet.Roi> exact =
                StructureSet.read(file("outline-true.dcm")).rois();
        List<StructureSet.Roi> sloppy =
                StructureSet.read(file("outline-sloppy.dcm")).rois();
        assertThat(exact).extracting(StructureSet.Roi::name).containsExactly("L1", "L2");
        assertThat(sloppy).extracting(StructureSet.Roi::name).containsExactly("L1", "L2");
        assertThat(exact.get(0).images()).hasSizeBetween(12, 14);
        assertThat(sloppy.get(0).images()).hasSizeBetween(3, 4);
        // Oracle: the mask by voxel centres, made without any contour; the line's own error moves few voxels.
        Mask filled = ContourFill.fill(
                        "file", exact.get(0).contours(), SETTINGS.t2().grid())
                .mask();
        Mask mask = mask("lesion");
        int differ = 0;
        for (int i = 0; i < mask.voxels().length; i++) if (mask.voxels()[i] != filled.voxels()[i]) differ++;
        assertThat(differ).isLessThan(mask.count() / 200);
    }

    @Test
    void masksMakeUpTheLesion() throws Exception {
        Mask lesion = mask("lesion");
        // Oracle: the settings' fractions; a voxel counts by its centre.
        assertThat(mask("necrotic").count() / (double) lesion.count()).isCloseTo(0.18, within(0.02));
        assertThat(mask("haemorrhage").count() / (double) lesion.count()).isCloseTo(0.06, within(0.01));
        assertThat(mask("cellular").count()
                        + mask("necrotic").count()
                        + mask("haemorrhage").count())
                .isEqualTo(lesion.count());
        // Oracle: closed form, 4/3 π abc of the second lesion.
        assertThat(mask("lesion-L2").volume() / (4 / 3.0 * Math.PI * 11 * 10 * 11))
                .isCloseTo(1, within(0.03));
    }

    @Test
    void dciodvfyFindsNoErrorInTheOutlines() throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        for (String name : List.of("outline-true.dcm", "outline-sloppy.dcm")) {
            List<String> lines = OutsideTool.run(
                    "sh", "-c", "dciodvfy \"$0\" 2>&1; true", file(name).toString());
            assertThat(lines).contains("RTStructureSet").noneMatch(line -> line.startsWith("Error"));
        }
    }

    @Test
    void pydicomReadsTheOutlines() throws Exception {
        OutsideTool.assumePydicom();
        List<String> lines = OutsideTool.python("""
                import sys, pydicom
                for f in sys.argv[1:]:
                    s = pydicom.dcmread(f)
                    names = [r.ROIName for r in s.StructureSetROISequence]
                    points = [int(c.NumberOfContourPoints) for r in s.ROIContourSequence for c in r.ContourSequence]
                    same = all(len(c.ContourData) == 3 * c.NumberOfContourPoints
                               for r in s.ROIContourSequence for c in r.ContourSequence)
                    print(*names, min(points) >= 90, 16 <= min(points) <= max(points) <= 24, same)
                """, file("outline-true.dcm"), file("outline-sloppy.dcm"));
        assertThat(lines).containsExactly("L1 L2 True False True", "L1 L2 False True True");
    }

    @Test
    void bytesAreTheSameForAnyNumberOfThreads() throws Exception {
        try (Workers workers = Workers.of(3)) {
            write(folder.resolve("three"), workers);
        }
        Map<String, byte[]> three = bytes(folder.resolve("three"));
        Map<String, byte[]> one = bytes(folder.resolve("one"));
        assertThat(three.keySet()).isEqualTo(one.keySet());
        one.forEach((name, content) -> assertThat(three.get(name)).as(name).isEqualTo(content));
    }

    private static Map<String, byte[]> bytes(Path from) throws IOException {
        Map<String, byte[]> map = new TreeMap<>();
        try (Stream<Path> files = Files.walk(from)) {
            for (Path file : files.filter(Files::isRegularFile).toList())
                map.put(from.relativize(file).toString(), Files.readAllBytes(file));
        }
        return map;
    }
}
