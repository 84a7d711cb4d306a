// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.nifti;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.InputException;

class NiftiTest {
    @TempDir
    Path folder;

    // Oracle: nibabel (Debian python3-nibabel), affine and voxels as it reads its own files.
    @Test
    void everyTypeOrderVersionAndOrientationReadsAsNibabelReadsIt() throws InputException {
        List<String> lines = DebianPython.run("nibabel, numpy", "nifti_variants.py", folder);
        assertThat(lines).hasSize(2 * (10 * 2 + 6));
        for (String line : lines) {
            String[] words = line.split(" ");
            double[] numbers = Arrays.stream(words)
                    .skip(1)
                    .mapToDouble(Double::parseDouble)
                    .toArray();
            Volume volume = NiftiReader.read(folder.resolve(words[0]));
            assertSameGeometry(words[0], volume.grid(), numbers, 0);
            for (int i = 0; i < volume.voxels().length; i++)
                assertThat(volume.voxels()[i]).as("%s voxel %d", words[0], i).isEqualTo((float) numbers[12 + i]);
        }
    }

    // Oracle: nibabel, by sform and by qform.
    @Test
    void whatIsWrittenNibabelReadsBackByBothForms() throws IOException {
        SplittableRandom random = new SplittableRandom(3);
        for (int trial = 0; trial < 8; trial++) {
            Volume volume = randomVolume(random, trial % 2 == 1);
            Path file = folder.resolve("written-" + trial + (trial < 4 ? ".nii" : ".nii.gz"));
            NiftiWriter.write(file, volume);
            double[] numbers = Arrays.stream(DebianPython.run("nibabel, numpy", "nifti_read.py", file)
                            .get(0)
                            .split(" "))
                    .mapToDouble(Double::parseDouble)
                    .toArray();
            assertSameGeometry(file + " sform", volume.grid(), numbers, 0);
            assertSameGeometry(file + " qform", volume.grid(), numbers, 12);
            for (int i = 0; i < volume.voxels().length; i++)
                assertThat((float) numbers[24 + i]).isEqualTo(volume.voxels()[i]);
        }
    }

    @Test
    void aMaskComesBackAsItWas() throws IOException, InputException {
        Grid grid = randomVolume(new SplittableRandom(5), false).grid();
        byte[] voxels = new byte[grid.size().voxels()];
        voxels[7] = 1;
        voxels[11] = 1;
        Path file = folder.resolve("mask.nii.gz");
        NiftiWriter.write(file, new Mask(grid, voxels));
        Mask back = NiftiReader.readMask(file);
        assertThat(back.voxels()).isEqualTo(voxels);
        assertThat(back.grid().coincides(grid, 1e-4)).isTrue();
    }

    @Test
    void aMaskWithThreeValuesIsRefused() throws IOException {
        Volume volume = randomVolume(new SplittableRandom(5), false);
        Path file = folder.resolve("grey.nii");
        NiftiWriter.write(file, volume);
        assertThatThrownBy(() -> NiftiReader.readMask(file))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("grey.nii")
                .hasMessageContaining("expected 0 and one other value");
    }

    @Test
    void aTruncatedFileIsRefusedWithItsName() throws IOException {
        Volume volume = randomVolume(new SplittableRandom(5), false);
        for (String name : List.of("short.nii", "short.nii.gz")) {
            Path file = folder.resolve(name);
            NiftiWriter.write(file, volume);
            byte[] whole = Files.readAllBytes(file);
            for (int length = 0; length < whole.length; length += 7) {
                Files.write(file, Arrays.copyOf(whole, length));
                assertThatThrownBy(() -> NiftiReader.read(file))
                        .isInstanceOf(InputException.class)
                        .hasMessageContaining(name);
            }
        }
    }

    @Test
    void aChangedByteGivesAnErrorOrAVolumeAndNothingElse() throws IOException {
        Path file = folder.resolve("changed.nii");
        NiftiWriter.write(file, randomVolume(new SplittableRandom(5), false));
        byte[] whole = Files.readAllBytes(file);
        for (int at = 0; at < 352; at++)
            for (int value : new int[] {0, 1, 0x7f, 0x80, 0xff}) {
                byte[] changed = whole.clone();
                changed[at] = (byte) value;
                Files.write(file, changed);
                try {
                    NiftiReader.readAll(file);
                } catch (InputException expected) {
                    assertThat(expected).hasMessageContaining("changed.nii");
                }
            }
    }

    @Test
    void aSmallPackedFileThatClaimsAHugeVolumeIsRefusedBeforeMemoryIsAskedFor() throws IOException {
        Path file = folder.resolve("bomb.nii.gz");
        NiftiWriter.write(folder.resolve("plain.nii"), randomVolume(new SplittableRandom(5), false));
        byte[] bytes = Files.readAllBytes(folder.resolve("plain.nii"));
        bytes[42] = bytes[44] = 0;
        bytes[43] = bytes[45] = 0x30;
        ByteArrayOutputStream packed = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new GZIPOutputStream(packed)) {
            gzip.write(bytes);
        }
        Files.write(file, packed.toByteArray());
        assertThatThrownBy(() -> NiftiReader.read(file))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("bytes of voxels");
    }

    @Test
    void aTextFileIsRefused() throws IOException {
        Path file = Files.writeString(folder.resolve("notes.nii"), "These are notes, not an image.");
        assertThatThrownBy(() -> NiftiReader.read(file))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("notes.nii: sizeof_hdr: found no NIfTI header");
    }

    private static void assertSameGeometry(String what, Grid grid, double[] ras, int from) {
        for (int c = 0; c < 4; c++) {
            Point at = c < 3 ? grid.point(c == 0 ? 1 : 0, c == 1 ? 1 : 0, c == 2 ? 1 : 0) : grid.origin();
            Vector step = c < 3 ? at.minus(grid.origin()) : at.minus(new Point(0, 0, 0));
            assertThat(-step.x()).as(what).isCloseTo(ras[from + c], within(1e-5));
            assertThat(-step.y()).as(what).isCloseTo(ras[from + 4 + c], within(1e-5));
            assertThat(step.z()).as(what).isCloseTo(ras[from + 8 + c], within(1e-5));
        }
    }

    private static Volume randomVolume(SplittableRandom random, boolean leftHanded) {
        Vector x = new Vector(random.nextDouble(-1, 1), random.nextDouble(-1, 1), random.nextDouble(-1, 1)).unit();
        Vector y = x.cross(new Vector(random.nextDouble(-1, 1), random.nextDouble(-1, 1), random.nextDouble(-1, 1)))
                .unit();
        Vector z = x.cross(y).times(leftHanded ? -1 : 1);
        Grid grid = new Grid(
                new Size(5, 4, 3),
                new Spacing(0.5 + random.nextDouble(), 0.5 + random.nextDouble(), 3 + random.nextDouble()),
                new DirectionCosines(x, y, z),
                new Point(random.nextDouble(-100, 100), random.nextDouble(-100, 100), random.nextDouble(-100, 100)));
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) random.nextDouble(-1000, 1000);
        return new Volume(grid, voxels);
    }
}
