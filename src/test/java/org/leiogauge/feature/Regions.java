// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Small images and regions for tests. */
final class Regions {
    private Regions() {}

    static Grid grid(Size size, Spacing spacing) {
        return new Grid(size, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0));
    }

    /** Whole numbers from 0 to 9. */
    static Volume noise(Grid grid, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = random.nextInt(10);
        return new Volume(grid, voxels);
    }

    /** About three quarters of the voxels. */
    static Mask scattered(Grid grid, long seed) {
        SplittableRandom random = new SplittableRandom(seed ^ 0x5555);
        byte[] voxels = new byte[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (random.nextInt(4) > 0 ? 1 : 0);
        voxels[0] = 1;
        return new Mask(grid, voxels);
    }

    static Settings settings(int dimensions, Settings.Discretise discretise) {
        Settings s = Settings.standard();
        return new Settings(
                dimensions, s.resegment(), s.resample(), discretise, s.intensityVolume(), s.texture(), s.families());
    }

    static Settings settings(Settings.Resegment resegment) {
        Settings s = Settings.standard();
        return new Settings(
                3, resegment, Optional.empty(), s.discretise(), s.intensityVolume(), s.texture(), s.families());
    }

    static List<FeatureValue> measure(Volume image, Mask mask, Settings settings) {
        return StandardFeatures.measure(image, mask, settings, Workers.SINGLE, Progress.NONE);
    }

    /** Not a number where nothing was measured. */
    static double value(List<FeatureValue> values, String code) {
        Measurement measurement = values.stream()
                .filter(v -> v.definition().code().equals(code))
                .findFirst()
                .orElseThrow()
                .measurement();
        return measurement instanceof Measurement.Measured measured ? measured.value() : Double.NaN;
    }
}
