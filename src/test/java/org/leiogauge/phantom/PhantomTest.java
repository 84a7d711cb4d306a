// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.CancellationException;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.leiogauge.dicom.DicomFolder;
import org.leiogauge.dicom.DicomSeries;
import org.leiogauge.dicom.OutsideTool;
import org.leiogauge.dicom.Tag;
import org.leiogauge.image.Volume;
import org.leiogauge.phantom.DicomSettings.Compression;
import org.leiogauge.phantom.DicomSettings.Form;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class PhantomTest {
    @TempDir
    Path folder;

    private static PhantomSettings small() {
        return Preset.CYSTIC
                .settings()
                .with(
                        ScannerSettings.standard(),
                        List.of(
                                SmallStudy.noisy(SmallStudy.series(Kind.T2, 48, 12), 30),
                                SmallStudy.noisy(SmallStudy.series(Kind.T1, 32, 9), 30),
                                SmallStudy.noisy(SmallStudy.series(Kind.DWI, 30, 10), 30),
                                SmallStudy.noisy(SmallStudy.series(Kind.DYNAMIC, 32, 11), 30)));
    }

    private Path write(String name, PhantomSettings settings, int threads) throws Exception {
        Path out = folder.resolve(name);
        try (Workers workers = Workers.of(threads)) {
            Phantom.write(settings, out, workers, Progress.NONE);
        }
        return out;
    }

    private static TreeMap<String, byte[]> files(Path folder) throws IOException {
        TreeMap<String, byte[]> found = new TreeMap<>();
        try (Stream<Path> walk = Files.walk(folder)) {
            for (Path file : walk.filter(Files::isRegularFile).toList())
                found.put(folder.relativize(file).toString(), Files.readAllBytes(file));
        }
        return found;
    }

    @ParameterizedTest
    @EnumSource(Form.class)
    void theStandardsCheckerFindsNoError(Form form) throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        Path out = write("study", small().with(new DicomSettings(form, Compression.NONE)), 2);
        List<Path> objects;
        try (Stream<Path> walk = Files.walk(out)) {
            objects = walk.filter(f -> f.toString().endsWith(".dcm"))
                    .filter(f -> form == Form.ENHANCED || f.endsWith("0001.dcm"))
                    .toList();
        }
        assertThat(objects).hasSizeGreaterThanOrEqualTo(6);
        for (Path file : objects) {
            // Oracle: dciodvfy of Debian's dicom3tools; it writes to its error output.
            List<String> lines = OutsideTool.run("sh", "-c", "dciodvfy \"$0\" 2>&1; true", file.toString());
            assertThat(lines).isNotEmpty();
            assertThat(lines.stream().filter(line -> line.startsWith("Error")))
                    .as(file.toString())
                    .isEmpty();
        }
    }

    @ParameterizedTest
    @EnumSource(Form.class)
    void ourReaderGetsBackWhatWasRendered(Form form) throws Exception {
        PhantomSettings settings = small().with(new DicomSettings(form, Compression.RLE));
        Path out = write("study", settings, 2);
        List<DicomSeries> found = DicomFolder.scan(out.resolve("dicom"), Workers.SINGLE, Progress.NONE);
        List<SeriesImages> rendered =
                StudyImages.render(settings, Anatomy.of(settings, Workers.SINGLE), Workers.SINGLE, Progress.NONE);
        SeriesImages dwi = rendered.get(2);
        SeriesImages dynamic = rendered.get(3);
        Volume adc = ScannerAdc.of(dwi, settings.scanner(), Workers.SINGLE);
        List<List<Volume>> expected = List.of(
                rendered.get(0).images(),
                rendered.get(1).images(),
                dwi.images(),
                List.of(adc),
                dynamic.images().subList(0, 1),
                dynamic.images().subList(1, 3));
        // Oracle: the images before they were written.
        assertThat(found).hasSize(6);
        Set<String> frames = new TreeSet<>();
        for (int s = 0; s < 6; s++) {
            List<DicomSeries.Stack> stacks =
                    found.get(s).read(Workers.SINGLE, Progress.NONE).stacks();
            assertThat(stacks).hasSize(expected.get(s).size());
            for (int i = 0; i < stacks.size(); i++) {
                Volume volume = expected.get(s).get(i);
                assertThat(stacks.get(i).volume().grid().coincides(volume.grid(), 1e-6))
                        .isTrue();
                assertThat(stacks.get(i).volume().voxels()).containsExactly(volume.voxels());
            }
            frames.add(found.get(s).frameOfReference() + " " + found.get(s).studyUid());
            assertThat(found.get(s).texts(Tag.IMAGE_COMMENTS).get(0)).contains("Invented", "no patient was scanned");
        }
        assertThat(frames).hasSize(1);
        StudyObjects objects = new StudyObjects(settings);
        assertThat(found.get(0).uid()).isEqualTo(objects.seriesUid(0));
        assertThat(found.get(2).uid()).isEqualTo(objects.seriesUid(2));
        assertThat(found.get(5).uid()).isEqualTo(objects.seriesUid(3));
        assertThat(found.get(2).bValues()).containsExactly(0.0, 500.0, 1000.0);
        // Oracle: the settings' seconds after injection.
        assertThat(found.get(5).read(Workers.SINGLE, Progress.NONE).stacks())
                .extracting(DicomSeries.Stack::seconds)
                .containsExactly(OptionalDouble.of(30), OptionalDouble.of(95.5));
    }

    @ParameterizedTest
    @EnumSource(Compression.class)
    void pydicomReadsTheSamePixelsAndPlaces(Compression compression) throws Exception {
        OutsideTool.assumePydicom();
        PhantomSettings settings = small().with(new DicomSettings(Form.CLASSIC, compression));
        Path out = write("study", settings, 2);
        List<Path> series;
        try (Stream<Path> list = Files.list(out.resolve("dicom"))) {
            series = list.sorted().toList();
        }
        Path raw = folder.resolve("pixels");
        // Oracle: pydicom and NumPy.
        List<String> lines = OutsideTool.python("""
                import sys, glob, pydicom
                raw = open(sys.argv[2], 'wb')
                for f in sorted(glob.glob(sys.argv[1] + '/*.dcm')):
                    d = pydicom.dcmread(f)
                    raw.write(d.pixel_array.astype('<u2').tobytes())
                    print(*map(float, d.ImagePositionPatient), *map(float, d.PixelSpacing), d.PatientID, d.PatientName)
                """, series.get(0), raw);
        SeriesImages t2 =
                StudyImages.render(settings, Anatomy.of(settings, Workers.SINGLE), 0, Workers.SINGLE, Progress.NONE);
        float[] voxels = t2.images().get(0).voxels();
        ByteBuffer bytes = ByteBuffer.wrap(Files.readAllBytes(raw)).order(ByteOrder.LITTLE_ENDIAN);
        assertThat(bytes.remaining()).isEqualTo(2 * voxels.length);
        for (int i = 0; i < voxels.length; i++)
            if (bytes.getShort(2 * i) != voxels[i])
                throw new AssertionError("voxel " + i + ": " + voxels[i] + " expected, " + bytes.getShort(2 * i));
        for (int z = 0; z < 12; z++) {
            String[] words = lines.get(z).split(" ");
            assertThat(t2.grid()
                            .point(0, 0, z)
                            .distance(new org.leiogauge.image.Point(
                                    Double.parseDouble(words[0]),
                                    Double.parseDouble(words[1]),
                                    Double.parseDouble(words[2]))))
                    .isLessThan(1e-6);
            assertThat(Double.parseDouble(words[3])).isEqualTo(5);
            assertThat(words[5]).isEqualTo("PHANTOM-CYSTIC-" + settings.seed());
            assertThat(words[6]).isEqualTo("INVENTED^PHANTOM");
        }
    }

    @Test
    void dcmtkUnpacksTheRunLengths() throws Exception {
        OutsideTool.assumePresent("dcmdrle");
        PhantomSettings settings = small().with(new DicomSettings(Form.ENHANCED, Compression.RLE));
        Path out = write("study", settings, 2);
        Path packed = out.resolve("dicom/1-inv-t2/0001.dcm");
        Path plain = Files.createDirectory(folder.resolve("plain")).resolve("t2.dcm");
        // Oracle: dcmdrle of Debian's dcmtk decodes; the image before it was written.
        OutsideTool.run("dcmdrle", packed.toString(), plain.toString());
        assertThat(Files.size(plain)).isGreaterThan(Files.size(packed));
        Volume found = DicomFolder.scan(plain.getParent(), Workers.SINGLE, Progress.NONE)
                .get(0)
                .read(Workers.SINGLE, Progress.NONE)
                .stacks()
                .get(0)
                .volume();
        SeriesImages t2 =
                StudyImages.render(settings, Anatomy.of(settings, Workers.SINGLE), 0, Workers.SINGLE, Progress.NONE);
        assertThat(found.voxels()).containsExactly(t2.images().get(0).voxels());
        assertThat(found.grid().coincides(t2.grid(), 1e-6)).isTrue();
    }

    @Test
    void theSameSettingsGiveTheSameBytesForAnyNumberOfThreads() throws Exception {
        Path first = write("one", small(), 1);
        assertThat(PhantomSettings.read(first.resolve("settings.yaml"))).isEqualTo(small());
        TreeMap<String, byte[]> one = files(first);
        assertThat(one.keySet()).contains("settings.yaml", "case.yaml", "truth.csv");
        for (int threads = 2; threads <= 3; threads++) {
            TreeMap<String, byte[]> again = files(write("again" + threads, small(), threads));
            assertThat(again.keySet()).isEqualTo(one.keySet());
            for (String name : one.keySet())
                assertThat(again.get(name)).as(name).isEqualTo(one.get(name));
        }
        // another seed, another study
        TreeMap<String, byte[]> other = files(write("other", small().withSeed(77), 2));
        for (String name : one.keySet())
            if (name.endsWith(".dcm") && other.containsKey(name))
                assertThat(other.get(name)).as(name).isNotEqualTo(one.get(name));
    }

    @Test
    void aStoppedStudyLeavesNothingBehind() throws Exception {
        List<Double> seen = new ArrayList<>();
        assertThatThrownBy(() -> Phantom.write(small(), folder.resolve("stopped"), Workers.SINGLE, fraction -> {
                    seen.add(fraction);
                    if (fraction > 0.5) throw new CancellationException();
                }))
                .isInstanceOf(CancellationException.class);
        assertThat(seen).isSorted().hasSizeGreaterThan(5);
        try (Stream<Path> left = Files.list(folder)) {
            assertThat(left).isEmpty();
        }
    }
}
