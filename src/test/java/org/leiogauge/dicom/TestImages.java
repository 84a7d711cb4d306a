// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Small made-up images and the way through files and back. */
final class TestImages {
    private TestImages() {}

    /** A sagittal stack, turned a little. */
    static Grid oblique(int x, int y, int z) {
        Vector row = new Vector(0, Math.cos(0.2), -Math.sin(0.2));
        Vector column = new Vector(Math.sin(0.1), -Math.sin(0.2) * Math.cos(0.1), -Math.cos(0.2) * Math.cos(0.1));
        return new Grid(
                new Size(x, y, z),
                new Spacing(0.7, 0.9, 3.3),
                DirectionCosines.of(row, column),
                new Point(-31.5, 12, 7));
    }

    static Grid axial(int x, int y, int z) {
        return new Grid(new Size(x, y, z), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(-20, -30, 40));
    }

    /** Whole numbers, smooth with noise, from {@code min} to {@code max}. */
    static Volume noise(Grid grid, int min, int max, long seed) {
        Random random = new Random(seed);
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            double wave = 0.5 + 0.4 * Math.sin(i * 0.05) + 0.1 * random.nextDouble();
            voxels[i] = (float) Math.rint(min + wave * (max - min));
        }
        voxels[0] = min;
        voxels[1] = max;
        return new Volume(grid, voxels);
    }

    static DataSet template(String series) {
        return new DataSet()
                .put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192")
                .put(Tag.PATIENT_NAME, "Nobody^Made up")
                .put(Tag.PATIENT_ID, "0")
                .put(Tag.STUDY_INSTANCE_UID, Uid.of("study"))
                .put(Tag.SERIES_INSTANCE_UID, Uid.of(series))
                .put(Tag.FRAME_OF_REFERENCE_UID, Uid.of("frame"))
                .put(Tag.SERIES_NUMBER, 3)
                .put(Tag.SERIES_DESCRIPTION, "made up")
                .put(Tag.IMAGE_TYPE, "ORIGINAL", "PRIMARY", "M")
                .put(Tag.ECHO_TIME, 90.0)
                .put(Tag.REPETITION_TIME, 4000.0);
    }

    static void write(Path folder, List<DataSet> objects) throws IOException {
        for (int i = 0; i < objects.size(); i++)
            DicomWriter.write(folder.resolve(i + ".dcm"), objects.get(i), TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    /** Fails with the place and both values. */
    static void requireSame(String what, float[] expected, float[] found) {
        if (expected.length != found.length)
            throw new AssertionError(what + ": " + expected.length + " voxels expected, " + found.length + " found");
        for (int i = 0; i < expected.length; i++)
            if (expected[i] != found[i])
                throw new AssertionError(
                        what + ": voxel " + i + ": " + expected[i] + " expected, " + found[i] + " found");
    }

    static List<DicomSeries> scan(Path folder) throws InputException {
        return DicomFolder.scan(folder, Workers.SINGLE, Progress.NONE);
    }

    static DicomSeries.Content read(Path folder) throws InputException {
        return scan(folder).get(0).read(Workers.SINGLE, Progress.NONE);
    }

    static Volume volume(Path folder) throws InputException {
        return read(folder).stacks().get(0).volume();
    }
}
