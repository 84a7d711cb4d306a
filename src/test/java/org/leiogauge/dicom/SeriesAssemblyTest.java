// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Where no other oracle is named, it is the volume that was written. */
class SeriesAssemblyTest {
    @TempDir
    Path folder;

    private final Grid grid = TestImages.oblique(6, 5, 4);
    private final Volume volume = TestImages.noise(grid, -100, 900, 1);

    private List<DataSet> slices() {
        return new ArrayList<>(MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(volume))));
    }

    private void requireRefused(String... words) {
        assertThatThrownBy(() -> TestImages.read(folder))
                .isInstanceOf(InputException.class)
                .hasMessageContainingAll(words);
    }

    @Test
    void slicesAreSortedByWhereTheyLie() throws Exception {
        List<DataSet> slices = slices();
        Collections.shuffle(slices, new Random(1));
        for (int i = 0; i < slices.size(); i++) slices.get(i).put(Tag.INSTANCE_NUMBER, 7 - i);
        TestImages.write(folder, slices);
        Volume read = TestImages.volume(folder);
        TestImages.requireSame("shuffled", volume.voxels(), read.voxels());
        assertThat(read.grid().coincides(grid, 1e-6)).isTrue();
        assertThat(TestImages.scan(folder).get(0).echoTime()).hasValue(90);
    }

    @ParameterizedTest
    @CsvSource({"false, 1", "false, 3", "true, 1", "true, 3"})
    void diffusionSeriesArePartedByBValue(boolean enhanced, int threads) throws Exception {
        List<MrImages.Part> parts = new ArrayList<>();
        for (int b : new int[] {0, 500, 1000})
            parts.add(new MrImages.Part(
                    TestImages.noise(grid, 0, 1000 - b / 2, b),
                    OptionalDouble.of(b),
                    OptionalInt.empty(),
                    Optional.empty()));
        TestImages.write(
                folder,
                enhanced
                        ? List.of(MrImages.enhanced(TestImages.template("s"), parts))
                        : MrImages.classic(TestImages.template("s"), parts));
        DicomSeries series = TestImages.scan(folder).get(0);
        assertThat(series.bValues()).containsExactly(0.0, 500.0, 1000.0);
        assertThat(series.phases()).isOne();
        try (Workers workers = Workers.of(threads)) {
            List<DicomSeries.Stack> volumes =
                    series.read(workers, Progress.NONE).stacks();
            assertThat(volumes).hasSize(3);
            for (int i = 0; i < 3; i++) {
                assertThat(volumes.get(i).bValue()).hasValue(500.0 * i);
                TestImages.requireSame(
                        "b " + i,
                        parts.get(i).volume().voxels(),
                        volumes.get(i).volume().voxels());
                assertThat(volumes.get(i).volume().grid().coincides(grid, 1e-6)).isTrue();
            }
        }
    }

    @ParameterizedTest
    @CsvSource({"false, true", "false, false", "true, true"})
    void dynamicSeriesArePartedByTime(boolean enhanced, boolean numbered) throws Exception {
        List<MrImages.Part> parts = new ArrayList<>();
        for (int i = 0; i < 3; i++)
            parts.add(new MrImages.Part(
                    TestImages.noise(grid, 0, 500, i),
                    OptionalDouble.empty(),
                    numbered ? OptionalInt.of(i + 1) : OptionalInt.empty(),
                    Optional.of(String.format("20260302101%d30.500", i))));
        DataSet template = TestImages.template("s")
                .put(Tag.CONTRAST_BOLUS_AGENT, "agent")
                .put(Tag.CONTRAST_BOLUS_START_TIME, "101100");
        TestImages.write(
                folder, enhanced ? List.of(MrImages.enhanced(template, parts)) : MrImages.classic(template, parts));
        DicomSeries series = TestImages.scan(folder).get(0);
        assertThat(series.phases()).isEqualTo(3);
        List<DicomSeries.Stack> volumes = TestImages.read(folder).stacks();
        assertThat(volumes).hasSize(3);
        for (int i = 0; i < 3; i++) {
            TestImages.requireSame(
                    "phase " + i,
                    parts.get(i).volume().voxels(),
                    volumes.get(i).volume().voxels());
            // Oracle: by hand, injection at 10:11:00, phases at 10:10:30.5 and every minute after it
            assertThat(volumes.get(i).seconds().getAsDouble()).isCloseTo(-29.5 + 60 * i, within(1e-6));
        }
    }

    @Test
    void aMissingSliceIsNamed() throws Exception {
        List<DataSet> slices = slices();
        slices.remove(2);
        TestImages.write(folder, slices);
        requireRefused("made up", "1 missing after slice 2 of 3", "a gap of 6.600 mm", "slices every 3.300 mm");
    }

    @Test
    void unevenStepsAreRefused() throws Exception {
        List<DataSet> slices = slices();
        Point at = grid.point(0, 0, 2.1);
        slices.get(2).put(Tag.IMAGE_POSITION_PATIENT, at.x(), at.y(), at.z());
        TestImages.write(folder, slices);
        requireRefused("uneven distances from 2.970 mm to 3.630 mm");
    }

    @Test
    void stepsWithinOnePercentAreTakenAsEven() throws Exception {
        List<DataSet> slices = slices();
        Point at = grid.point(0, 0, 2.004);
        slices.get(2).put(Tag.IMAGE_POSITION_PATIENT, at.x(), at.y(), at.z());
        TestImages.write(folder, slices);
        assertThat(TestImages.volume(folder).grid().coincides(grid, 1e-6)).isTrue();
    }

    @Test
    void aTiltedStackIsRefused() throws Exception {
        List<DataSet> slices = slices();
        for (int z = 0; z < 4; z++) {
            Point at = grid.point(0, 0.4 * z, z);
            slices.get(z).put(Tag.IMAGE_POSITION_PATIENT, at.x(), at.y(), at.z());
        }
        TestImages.write(folder, slices);
        requireRefused("shifted sideways");
    }

    @Test
    void aCopiedFileCountsOnce() throws Exception {
        List<DataSet> slices = slices();
        slices.add(slices.get(1));
        TestImages.write(folder, slices);
        DicomSeries.Content read = TestImages.read(folder);
        TestImages.requireSame(
                "with a copy", volume.voxels(), read.stacks().get(0).volume().voxels());
        assertThat(read.decisions()).singleElement().asString().contains("1 copies of images were passed over");
    }

    @Test
    void anExtraImageAtOnePlaceIsRefused() throws Exception {
        List<DataSet> slices = slices();
        slices.add(slices.get(1).copy().put(Tag.SOP_INSTANCE_UID, "1.2.3"));
        TestImages.write(folder, slices);
        requireRefused("two different images at one place");
    }

    @Test
    void mixedSizesAndLocalisersAreRefused() throws Exception {
        List<DataSet> slices = slices();
        slices.addAll(MrImages.classic(
                        TestImages.template("s"),
                        List.of(MrImages.Part.of(TestImages.noise(TestImages.oblique(7, 5, 1), 0, 9, 1))))
                .stream()
                .map(s -> s.put(Tag.SOP_INSTANCE_UID, "1.2.3"))
                .toList());
        TestImages.write(folder, slices);
        requireRefused("images of several kinds: 6 × 5 pixels", "7 × 5 pixels");

        Path localiser = Files.createDirectory(folder.resolve("localiser"));
        List<DataSet> three = new ArrayList<>();
        DataSet template = TestImages.template("l").put(Tag.IMAGE_TYPE, "ORIGINAL", "PRIMARY", "LOCALIZER");
        for (int i = 0; i < 2; i++) {
            Grid one = i == 0
                    ? TestImages.oblique(6, 5, 1)
                    : new Grid(
                            TestImages.oblique(6, 5, 1).size(),
                            grid.spacing(),
                            org.leiogauge.image.DirectionCosines.AXIAL,
                            new Point(0, 0, 0));
            three.add(MrImages.classic(template, List.of(MrImages.Part.of(TestImages.noise(one, 0, 9, i))))
                    .get(0)
                    .put(Tag.SOP_INSTANCE_UID, "1.2.4." + i));
        }
        TestImages.write(localiser, three);
        assertThatThrownBy(() -> TestImages.read(localiser))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("one size and orientation");
    }

    @Test
    void repeatsWithATimeForEachSliceArePartedByTurns() throws Exception {
        List<DataSet> all = new ArrayList<>();
        List<Volume> phases = new ArrayList<>();
        for (int phase = 0; phase < 3; phase++) {
            phases.add(TestImages.noise(grid, 0, 500, phase));
            for (DataSet slice :
                    MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(phases.get(phase)))))
                all.add(slice.put(Tag.SOP_INSTANCE_UID, "1.2." + all.size())
                        .put(Tag.ACQUISITION_TIME, String.format("1010%02d", all.size())));
        }
        Collections.shuffle(all, new Random(2));
        TestImages.write(folder, all);
        DicomSeries.Content read = TestImages.read(folder);
        assertThat(read.stacks()).hasSize(3);
        for (int phase = 0; phase < 3; phase++) {
            TestImages.requireSame(
                    "phase " + phase,
                    phases.get(phase).voxels(),
                    read.stacks().get(phase).volume().voxels());
            assertThat(read.stacks().get(phase).seconds()).hasValue(4.0 * phase);
        }
        assertThat(TestImages.scan(folder).get(0).phases()).isEqualTo(3);
    }

    @Test
    void mosaicsAreRefused() throws Exception {
        List<DataSet> slices = slices();
        for (DataSet slice : slices) slice.put(Tag.IMAGE_TYPE, "ORIGINAL", "PRIMARY", "DIFFUSION", "MOSAIC");
        TestImages.write(folder, slices);
        requireRefused("mosaics of slices");
    }

    // Oracle: what the makers' documents say of these places; the numbers are put there by hand.
    @ParameterizedTest
    @CsvSource({
        "SIEMENS MR HEADER, 19, 0C, IS, 800, 800",
        "GEMS_PARM_01, 43, 39, IS, 1000000800, 800",
        "GEMS_PARM_01, 43, 39, IS, 800, 800",
        "Philips Imaging DD 001, 2001, 03, FL, 800, 800",
        "Image Private Header, 65, 09, FD, 800, 800",
        "MMCPrivate, 29, 30, FD, 800, 800"
    })
    void bValuesInPrivatePlacesAreFound(
            String creator, String group, String element, Vr vr, double stored, double bValue) throws Exception {
        int g = Integer.parseInt(group, 16) << 16;
        int tag = g | 0x1200 | Integer.parseInt(element, 16);
        List<DataSet> slices = slices();
        for (DataSet slice : slices)
            slice.put(Element.text(g | 0x12, Vr.LO, creator))
                    .put(vr == Vr.IS ? Element.whole(tag, vr, (long) stored, 8, 0, 0) : Element.real(tag, vr, stored));
        TestImages.write(folder, slices);
        DicomSeries.Content read = TestImages.read(folder);
        assertThat(read.stacks().get(0).bValue()).hasValue(bValue);
        assertThat(read.decisions()).anyMatch(d -> d.contains("b-values were read from private ("));
    }

    @Test
    void aRealWorldMapWithAUnitSaysWhatTheValuesAre() throws Exception {
        List<DataSet> slices = slices();
        DataSet unit = new Code("mm2/s", "UCUM", "mm2/s").item();
        for (DataSet slice : slices)
            slice.put(
                    Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE,
                    List.of(new DataSet()
                            .put(Tag.REAL_WORLD_VALUE_SLOPE, 1e-6)
                            .put(Tag.REAL_WORLD_VALUE_INTERCEPT, 0.0)
                            .put(Tag.MEASUREMENT_UNITS_CODE_SEQUENCE, List.of(unit))));
        TestImages.write(folder, slices);
        DicomSeries.Content read = TestImages.read(folder);
        assertThat(read.decisions()).anyMatch(d -> d.contains("values are in mm2/s by (0040,9096)"));
        float[] voxels = read.stacks().get(0).volume().voxels();
        for (int i = 0; i < volume.voxels().length; i++)
            assertThat(voxels[i]).isEqualTo((float) (volume.voxels()[i] * 1e-6));
    }

    @Test
    void fractionsAreKeptToHalfAStep() throws Exception {
        float[] values = new float[grid.size().voxels()];
        for (int i = 0; i < values.length; i++) values[i] = (float) Math.exp(i * 0.05);
        Volume fractions = new Volume(grid, values);
        TestImages.write(folder, MrImages.classic(TestImages.template("s"), List.of(MrImages.Part.of(fractions))));
        float[] read = TestImages.volume(folder).voxels();
        double step = (values[values.length - 1] - values[0]) / 65535;
        for (int i = 0; i < values.length; i++)
            assertThat((double) read[i]).isCloseTo(values[i], within(0.5 * step + 1e-4));
    }

    // Oracle: pydicom and numpy, from the standard's equation (PS3.3 C.7.6.2.1-1).
    @ParameterizedTest
    @CsvSource({"false", "true"})
    void geometryAndValuesEqualPydicom(boolean enhanced) throws Exception {
        OutsideTool.assumePydicom();
        List<MrImages.Part> parts = List.of(MrImages.Part.of(volume));
        DataSet template = TestImages.template("s");
        TestImages.write(
                folder, enhanced ? List.of(MrImages.enhanced(template, parts)) : MrImages.classic(template, parts));
        List<String> lines = OutsideTool.python("""
                import sys, os, pydicom, numpy as np
                a = []
                for f in os.listdir(sys.argv[1]):
                    s = pydicom.dcmread(os.path.join(sys.argv[1], f))
                    if 'NumberOfFrames' in s:
                        g = s.SharedFunctionalGroupsSequence[0]
                        for i, p in enumerate(s.PerFrameFunctionalGroupsSequence):
                            a.append((p.PlanePositionSequence[0].ImagePositionPatient,
                                      g.PlaneOrientationSequence[0].ImageOrientationPatient,
                                      g.PixelMeasuresSequence[0].PixelSpacing, s.pixel_array[i]))
                    else:
                        a.append((s.ImagePositionPatient, s.ImageOrientationPatient, s.PixelSpacing, s.pixel_array))
                n = np.cross(a[0][1][:3], a[0][1][3:])
                a.sort(key=lambda x: np.dot(n, x[0]))
                p0, p1 = (np.array(x[0], float) for x in (a[0], a[-1]))
                o, s = np.array(a[0][1], float), np.array(a[0][2], float)
                for v in (p0, o[:3] * s[1], o[3:] * s[0], (p1 - p0) / (len(a) - 1)):
                    print(*map(repr, map(float, v)))
                print(*[int(v) for x in a for v in x[3].ravel()])
                """, folder);
        Grid read = TestImages.volume(folder).grid();
        double[][] ours = {
            {read.origin().x(), read.origin().y(), read.origin().z()},
            {read.stepX().x(), read.stepX().y(), read.stepX().z()},
            {read.stepY().x(), read.stepY().y(), read.stepY().z()},
            {read.stepZ().x(), read.stepZ().y(), read.stepZ().z()}
        };
        for (int i = 0; i < 4; i++) assertThat(ours[i]).containsExactly(numbers(lines.get(i)), within(1e-6));
        double[] voxels = numbers(lines.get(4));
        for (int i = 0; i < voxels.length; i++)
            assertThat((double) volume.voxels()[i]).isEqualTo(voxels[i]);
    }

    private static double[] numbers(String line) {
        return java.util.Arrays.stream(line.split(" "))
                .mapToDouble(Double::parseDouble)
                .toArray();
    }

    @Test
    void maskedBitsOutsideBitsStoredDoNotCount() throws Exception {
        // Oracle: by hand; 12 bits stored under an overlay bit, and bits 2 to 13 of 16.
        DataSet set = slices().get(0).put(Tag.ROWS, 1).put(Tag.COLUMNS, 3).put(Tag.BITS_STORED, 12);
        short[] raw = {(short) 0x8FFF, 0x7001, 0x0800};
        ByteBuffer bytes = ByteBuffer.allocate(6).order(ByteOrder.LITTLE_ENDIAN);
        for (short value : raw) bytes.putShort(value);
        set.put(Element.bytes(Tag.PIXEL_DATA, Vr.OW, bytes.array())).put(Tag.HIGH_BIT, 11);
        requireValues("unsigned", set.copy().put(Tag.PIXEL_REPRESENTATION, 0), 4095, 1, 2048);
        requireValues("signed", set.copy().put(Tag.PIXEL_REPRESENTATION, 1), -1, 1, -2048);
        requireValues("shifted", set.copy().put(Tag.PIXEL_REPRESENTATION, 0).put(Tag.HIGH_BIT, 13), 1023, 3072, 512);
    }

    private void requireValues(String name, DataSet set, float... expected) throws Exception {
        Path sub = Files.createDirectory(folder.resolve(name));
        TestImages.write(sub, List.of(set));
        TestImages.requireSame(name, expected, TestImages.volume(sub).voxels());
    }

    @Test
    void anEmptyFolderIsRefused() throws Exception {
        assertThatThrownBy(() -> TestImages.scan(folder))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("no files");
        assertThatThrownBy(() -> TestImages.scan(folder.resolve("none")))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("none");
    }
}
