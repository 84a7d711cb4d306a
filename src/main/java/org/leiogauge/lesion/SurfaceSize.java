// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import java.util.stream.IntStream;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings;
import org.leiogauge.feature.StandardFeatures;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Longest diameter, sphericity and solidity of the smooth surface of a lesion ({@link RadialShape}), without the steps of its
 * voxels.
 *
 * <p>The surface: triangles between its places in the directions of {@link DirectionMesh}. Diameter: the largest distance
 * between two of them, in mm. Sphericity: (36 π V²)^⅓ / A. Solidity: V / V_h, the hull's radius in direction u the least
 * h(v) / (u·v) over the directions v, h(v) the largest place · v. Cost: three passes over pairs of directions.
 *
 * <p>Source: formulas as in the IBSI reference manual (QCFX, R3ER, L0JK), there of the voxels' own mesh; support function:
 * common practice.
 */
final class SurfaceSize {
    /** What is measured, in this order. */
    static final List<Definition> DEFINITIONS =
            List.of(LesionDefinitions.LONGEST_DIAMETER, LesionDefinitions.SPHERICITY, LesionDefinitions.SOLIDITY);

    private static final DirectionMesh MESH = DirectionMesh.STANDARD;

    private final int count = MESH.count();
    private final double[] radius = new double[count];
    // places in mm, and directions
    private final double[][] at = new double[3][count];
    private final double[][] u = new double[3][count];

    private SurfaceSize(RadialShape shape) {
        SphericalHarmonics harmonics = new SphericalHarmonics(shape.degree());
        for (int i = 0; i < count; i++) {
            double[] d = MESH.direction(i);
            double[] row = harmonics.at(d[0], d[1], d[2]);
            double r = shape.ellipsoid(d[0], d[1], d[2]);
            for (int k = 0; k < row.length; k++) r += shape.term(k) * row[k];
            radius[i] = Math.max(0, r);
            for (int axis = 0; axis < 3; axis++) {
                u[axis][i] = d[axis];
                at[axis][i] = radius[i] * d[axis];
            }
        }
    }

    static SurfaceSize of(RadialShape shape) {
        return new SurfaceSize(shape);
    }

    List<LesionValue> values(String caution) {
        return List.of(
                LesionValue.of(DEFINITIONS.get(0), new Measured(diameter())).with(caution),
                LesionValue.of(DEFINITIONS.get(1), new Measured(sphericity())).with(caution),
                LesionValue.of(DEFINITIONS.get(2), new Measured(Math.min(1, volume(radius) / volume(hull()))))
                        .with(caution));
    }

    /** Of the voxels' own mesh, where there is no smooth surface: the steps of thick slices are in it. */
    static List<LesionValue> ofVoxels(Mask lesion, String reason) {
        Volume none = new Volume(lesion.grid(), new float[lesion.grid().size().voxels()]);
        List<FeatureValue> standard = StandardFeatures.measure(
                none, lesion, Settings.standard().only(List.of(Family.SHAPE)), Workers.SINGLE, Progress.NONE);
        List<String> codes = List.of("L0JK", "QCFX", "R3ER");
        return IntStream.range(0, codes.size())
                .mapToObj(i -> ofVoxels(DEFINITIONS.get(i), coded(standard, codes.get(i)), reason))
                .toList();
    }

    private static LesionValue ofVoxels(Definition definition, Measurement found, String reason) {
        return LesionValue.of(definition, found)
                .with(found.number().isPresent() ? reason + ": of the voxels' surface, with its steps" : "");
    }

    private static Measurement coded(List<FeatureValue> standard, String code) {
        return standard.stream()
                .filter(value -> value.definition().code().equals(code))
                .findFirst()
                .map(FeatureValue::measurement)
                .orElse(new NotMeasured("the standard's shape features lack " + code));
    }

    private double diameter() {
        double[] px = at[0];
        double[] py = at[1];
        double[] pz = at[2];
        double most = 0;
        for (int i = 0; i < count; i++)
            for (int j = 0; j < i; j++) {
                double x = px[i] - px[j];
                double y = py[i] - py[j];
                double z = pz[i] - pz[j];
                double square = x * x + y * y + z * z;
                if (square > most) most = square;
            }
        return Math.sqrt(most);
    }

    private double sphericity() {
        double area = 0;
        for (int[] t : MESH.triangles()) {
            double[] n = normal(t);
            area += Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]) / 2;
        }
        double volume = volume(radius);
        return Math.cbrt(36 * Math.PI * volume * volume) / area;
    }

    private double[] normal(int[] t) {
        double[] n = new double[3];
        for (int k = 0; k < 3; k++) {
            int a = (k + 1) % 3;
            int b = (k + 2) % 3;
            n[k] = (at[a][t[1]] - at[a][t[0]]) * (at[b][t[2]] - at[b][t[0]])
                    - (at[b][t[1]] - at[b][t[0]]) * (at[a][t[2]] - at[a][t[0]]);
        }
        return n;
    }

    private double volume(double[] r) {
        double sum = 0;
        for (int[] t : MESH.triangles()) sum += determinant(t) * r[t[0]] * r[t[1]] * r[t[2]];
        return sum / 6;
    }

    private double determinant(int[] t) {
        double sum = 0;
        for (int k = 0; k < 3; k++)
            sum += u[k][t[0]]
                    * (u[(k + 1) % 3][t[1]] * u[(k + 2) % 3][t[2]] - u[(k + 2) % 3][t[1]] * u[(k + 1) % 3][t[2]]);
        return sum;
    }

    private double[] hull() {
        double[] support = most(at);
        // in 1 / mm: the largest of (u·v) / h(v), so that directions away from u need no test
        double[][] over = new double[3][count];
        for (int axis = 0; axis < 3; axis++) for (int j = 0; j < count; j++) over[axis][j] = u[axis][j] / support[j];
        double[] hull = most(over);
        for (int i = 0; i < count; i++) hull[i] = 1 / hull[i];
        return hull;
    }

    // For each direction the largest of its products with some places, 0 or more.
    private double[] most(double[][] places) {
        double[] px = places[0];
        double[] py = places[1];
        double[] pz = places[2];
        double[] all = new double[count];
        for (int i = 0; i < count; i++) {
            double x = u[0][i];
            double y = u[1][i];
            double z = u[2][i];
            double most = 0;
            for (int j = 0; j < count; j++) {
                double along = x * px[j] + y * py[j] + z * pz[j];
                if (along > most) most = along;
            }
            all[i] = most;
        }
        return all;
    }
}
