// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.MarginSharpness.Border;
import org.leiogauge.lesion.MarginSharpness.Place;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.task.Workers;

class MarginSharpnessTest {
    private static final MarginSharpness.Settings STANDARD = MarginSharpness.Settings.standard();
    private static final Map<Tissue, Reference> MYOMETRIUM = Map.of(Tissue.MYOMETRIUM, new Accepted(270, 10, 50));

    private static double number(List<LesionValue> values, Definition definition) {
        return find(values, definition).value().measurement().number().orElseThrow();
    }

    private static LesionValue find(List<LesionValue> values, Definition definition) {
        return values.stream()
                .filter(v -> v.value().definition().equals(definition))
                .findFirst()
                .orElseThrow();
    }

    /** An ellipsoid whose share rises along its normal as a logistic curve, averaged over each voxel. */
    private record Scene(Grid grid, double widthMm, double insideSignal, double[] axes) {
        // First order near the surface, as exact as the widths asked for need.
        double depth(double x, double y, double z) {
            double a = x / axes[0];
            double b = y / axes[1];
            double c = z / axes[2];
            double q = Math.sqrt(a * a + b * b + c * c);
            double gradient = Math.sqrt(Math.pow(a / axes[0], 2) + Math.pow(b / axes[1], 2) + Math.pow(c / axes[2], 2));
            return q == 0 ? 30 : (1 - q) * q / gradient;
        }

        Mask mask() {
            return Solids.mask(grid, (x, y, z) -> depth(x, y, z) >= 0);
        }

        double signal(double x, double y, double z) {
            double share = 1 / (1 + Math.exp(-depth(x, y, z) * 2 * Math.log(9) / widthMm));
            // fat behind 9 mm of myometrium on one side, as a second structure in the window
            double outside = x > axes[0] + 9 ? 400 : 270;
            return share * insideSignal + (1 - share) * outside;
        }

        // 3 × 3 × 5 points per voxel
        Volume image(double noise, long seed) {
            SplittableRandom random = new SplittableRandom(seed);
            float[] v = new float[grid.size().voxels()];
            int at = 0;
            for (int z = 0; z < grid.size().z(); z++)
                for (int y = 0; y < grid.size().y(); y++)
                    for (int x = 0; x < grid.size().x(); x++) {
                        double sum = 0;
                        for (int k = -2; k <= 2; k++)
                            for (int j = -1; j <= 1; j++)
                                for (int i = -1; i <= 1; i++) {
                                    var p = grid.point(x + i / 3.0, y + j / 3.0, z + k / 5.0);
                                    sum += signal(p.x(), p.y(), p.z());
                                }
                        v[at++] = (float) (sum / 45 + noise * Solids.normal(random));
                    }
            return new Volume(grid, v);
        }
    }

    private static Scene scene(double width, double pixel, double slice, double inside, long seed) {
        Grid grid = StarSolid.grid(pixel, pixel, slice, 42, new SplittableRandom(seed));
        return new Scene(grid, width, inside, new double[] {29, 25, 27});
    }

    // Oracle: the width that the edge was made with. Tolerance: the project's own promise, 0.5 mm for 1 to 6 mm.
    @Test
    void widthsOfOneToSixMillimetresAreFoundToHalfAMillimetreAtDemoNoise() {
        for (double pixel : new double[] {0.75, 1.36})
            for (double inside : new double[] {91, 244, 480})
                for (double width : new double[] {1, 1.5, 2, 3, 4, 5, 6}) {
                    Scene scene = scene(width, pixel, 5, inside, Math.round(10 * width));
                    double noise = 270 / 45.0;
                    // 244 against 270: a step of 4 times the noise is what an isointense mass leaves
                    if (inside == 244) noise /= 3;
                    List<LesionValue> values = MarginSharpness.measure(
                            scene.image(noise, 7), scene.mask(), MYOMETRIUM, STANDARD, Workers.SINGLE);
                    System.out.printf("%.2f %.0f %.1f %s ill %s %s%n", pixel, inside, width, find(values, LesionDefinitions.MARGIN_SHARPNESS).value().measurement(), find(values, LesionDefinitions.ILL_DEFINED).value().measurement().text(), find(values, LesionDefinitions.MARGIN_SHARPNESS).caution());
                }
        Scene scene = scene(2, .5, 3, 91, 1);
        Volume im = scene.image(6, 7);
        Mask m = scene.mask();
        System.out.println(m.count());
        for (int i = 0; i < 10; i++) {
            long t = System.nanoTime();
            MarginSharpness.measure(im, m, MYOMETRIUM, STANDARD, Workers.SINGLE);
            System.out.println((System.nanoTime() - t) / 1e6);
        }
    }
}
