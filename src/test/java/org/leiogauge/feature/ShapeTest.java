// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import java.util.function.IntPredicate;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.apache.commons.math3.analysis.polynomials.PolynomialsUtils;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Mesh;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class ShapeTest {
    private static final Grid BLOCK = Regions.grid(new Size(7, 6, 5), new Spacing(1, 1.5, 3));

    // Oracle: brute force: no vertex lies outside a face, each face's corners are vertices, and a point just inside is.
    @Property(tries = 30)
    void hullHoldsEveryVertexOfTheMesh(@ForAll long seed) {
        Mesh mesh = Mesh.of(Regions.scattered(BLOCK, seed));
        ConvexHull hull = ConvexHull.of(mesh);
        for (double[][] face : hull.facesMm())
            for (int v = 0; v < mesh.vertexCount(); v++) {
                Point p = mesh.vertex(v);
                assertThat(height(face, p)).isLessThanOrEqualTo(1e-9);
            }
        // Euler: a closed surface of triangles without holes has 2 corners − 4 faces.
        assertThat(hull.facesMm()).hasSize(2 * hull.cornersMm().length - 4);
        assertThat(hull.volume()).isGreaterThanOrEqualTo(mesh.volume() - 1e-9);
    }

    private static double height(double[][] face, Point p) {
        double[] u = minus(face[1], face[0]);
        double[] v = minus(face[2], face[0]);
        double[] w = minus(new double[] {p.x(), p.y(), p.z()}, face[0]);
        return w[0] * (u[1] * v[2] - u[2] * v[1])
                + w[1] * (u[2] * v[0] - u[0] * v[2])
                + w[2] * (u[0] * v[1] - u[1] * v[0]);
    }

    private static double[] minus(double[] a, double[] b) {
        return new double[] {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
    }

    // Oracle: brute force over all pairs of vertices.
    @Property(tries = 20)
    void diameterIsTheLargestDistanceOfAllPairs(@ForAll long seed) {
        Mask mask = Regions.scattered(BLOCK, seed);
        Mesh mesh = Mesh.of(mask);
        double most = 0;
        for (int i = 0; i < mesh.vertexCount(); i++)
            for (int j = 0; j < i; j++) most = Math.max(most, mesh.vertex(i).distance(mesh.vertex(j)));
        List<FeatureValue> values = Regions.measure(Regions.noise(BLOCK, seed), mask, Settings.standard());
        assertThat(Regions.value(values, "L0JK")).isCloseTo(most, within(1e-9));
    }

    // Oracle: brute force over all pairs of voxels, below.
    @Property(tries = 20)
    void moranAndGearyMatchTheSumsOverAllPairs(@ForAll long seed) {
        Volume image = Regions.noise(BLOCK, seed);
        Mask mask = Regions.scattered(BLOCK, seed);
        List<FeatureValue> values = Regions.measure(image, mask, Settings.standard());
        double[] expected = moranAndGeary(image, mask);
        assertThat(Regions.value(values, "N365")).isCloseTo(expected[0], within(1e-10));
        assertThat(Regions.value(values, "NPT7")).isCloseTo(expected[1], within(1e-10));
    }

    private static double[] moranAndGeary(Volume image, Mask mask) {
        int[] voxels = java.util.stream.IntStream.range(0, mask.voxels().length)
                .filter(i -> mask.voxels()[i] != 0)
                .toArray();
        float[] x = image.voxels();
        double mean =
                java.util.Arrays.stream(voxels).mapToDouble(i -> x[i]).average().orElseThrow();
        double weights = 0;
        double products = 0;
        double differences = 0;
        double squares = 0;
        for (int i : voxels) {
            squares += (x[i] - mean) * (x[i] - mean);
            for (int j : voxels) {
                if (i == j) continue;
                double w = 1 / point(mask.grid(), i).distance(point(mask.grid(), j));
                weights += w;
                products += w * (x[i] - mean) * (x[j] - mean);
                differences += w * (x[i] - x[j]) * (x[i] - x[j]);
            }
        }
        int n = voxels.length;
        return new double[] {n / weights * products / squares, (n - 1) / (2 * weights) * differences / squares};
    }

    private static Point point(Grid grid, int offset) {
        int nx = grid.size().x();
        int ny = grid.size().y();
        return grid.point(offset % nx, offset / nx % ny, offset / nx / ny);
    }

    // Oracle: brute force over all voxels of the image.
    @Property(tries = 10)
    void localPeaksMatchTheSearchOverAllVoxels(@ForAll long seed) {
        Grid grid = Regions.grid(new Size(15, 14, 6), new Spacing(1, 1.3, 2.9));
        Volume image = Regions.noise(grid, seed);
        Mask mask = Regions.scattered(grid, seed);
        double local = Double.NEGATIVE_INFINITY;
        double global = Double.NEGATIVE_INFINITY;
        float brightest = 0;
        for (int i = 0; i < mask.voxels().length; i++)
            if (mask.voxels()[i] != 0) brightest = Math.max(brightest, image.voxels()[i]);
        for (int i = 0; i < mask.voxels().length; i++) {
            if (mask.voxels()[i] == 0) continue;
            double sum = 0;
            int count = 0;
            for (int j = 0; j < mask.voxels().length; j++) {
                if (point(grid, i).distance(point(grid, j)) > 6.2035049) continue;
                sum += image.voxels()[j];
                count++;
            }
            global = Math.max(global, sum / count);
            if (image.voxels()[i] == brightest) local = Math.max(local, sum / count);
        }
        List<FeatureValue> values = Regions.measure(image, mask, Settings.standard());
        assertThat(Regions.value(values, "0F91")).isCloseTo(global, within(1e-9));
        assertThat(Regions.value(values, "VJGA")).isCloseTo(local, within(1e-9));
    }

    private static List<FeatureValue> solid(Size size, Spacing spacing, IntPredicate isIn) {
        Grid grid = Regions.grid(size, spacing);
        byte[] voxels = new byte[size.voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (isIn.test(i) ? 1 : 0);
        return Regions.measure(Regions.noise(grid, 1), new Mask(grid, voxels), Settings.standard());
    }

    @Test
    void anEllipsoidHasItsAxesAndFillsItsOwnEllipsoid() {
        Size size = new Size(90, 70, 50);
        Grid grid = Regions.grid(size, new Spacing(1, 1, 1));
        List<FeatureValue> values = solid(size, grid.spacing(), i -> {
            Point p = point(grid, i);
            double x = (p.x() - 44.5) / 40;
            double y = (p.y() - 34.5) / 30;
            double z = (p.z() - 24.5) / 20;
            return x * x + y * y + z * z <= 1;
        });
        // Oracle: closed forms; a solid ellipsoid's variance along an axis is a²/5, so that 4 √λ = 4 a / √5. Voxelised
        // to 1 %.
        assertThat(Regions.value(values, "TDIC")).isCloseTo(160 / Math.sqrt(5), within(0.7));
        assertThat(Regions.value(values, "P9VJ")).isCloseTo(120 / Math.sqrt(5), within(0.6));
        assertThat(Regions.value(values, "7J51")).isCloseTo(80 / Math.sqrt(5), within(0.5));
        assertThat(Regions.value(values, "L0JK")).isCloseTo(80, within(1.0));
        assertThat(Regions.value(values, "SWZ1")).isBetween(0.93, 1.0);
        assertThat(Regions.value(values, "R3ER")).isBetween(0.96, 1.0);
    }

    @Test
    void aCuboidFillsItsBoxes() {
        List<FeatureValue> values = solid(new Size(20, 30, 40), new Spacing(1, 1, 1), i -> true);
        // Oracle: the mesh reaches half a voxel beyond the outer centres and only its edges are bevelled: over 99 %
        // full.
        assertThat(Regions.value(values, "PBX1")).isBetween(0.99, 1.0);
        assertThat(Regions.value(values, "ZH1A")).isBetween(0.99, 1.0);
        assertThat(Regions.value(values, "R3ER")).isCloseTo(1, within(1e-12));
        assertThat(Regions.value(values, "7T7F")).isCloseTo(1, within(1e-12));
    }

    @Test
    void leastBoxOfATurnedCuboidIsTheCuboidsOwn() {
        Size size = new Size(70, 70, 24);
        Grid grid = Regions.grid(size, new Spacing(1, 1, 1));
        double c = Math.cos(0.5);
        double s = Math.sin(0.5);
        List<FeatureValue> values = solid(size, grid.spacing(), i -> {
            Point p = point(grid, i);
            double x = p.x() - 34.5;
            double y = p.y() - 34.5;
            return Math.abs(c * x + s * y) <= 25 && Math.abs(c * y - s * x) <= 12;
        });
        // Oracle: a cuboid fills its least box, but for the steps of the voxels, 8 %; the box along the grid is far
        // larger.
        assertThat(Regions.value(values, "ZH1A")).isBetween(0.92, 1.0);
        assertThat(Regions.value(values, "PBX1")).isLessThan(0.6);
    }

    @Test
    void areaOfAnEllipsoidIsTheStandardsSeries() {
        // Oracle: closed form of a ball, 4 π r².
        assertThat(new Ellipsoid(3, 3, 3).area()).isCloseTo(36 * Math.PI, within(1e-12));
        // Oracle: the series term by term, with the Legendre polynomials of Commons Math.
        double alpha = Math.sqrt(1 - 4.0 / 9);
        double beta = Math.sqrt(1 - 1.0 / 9);
        double sum = 0;
        for (int v = 0; v <= 20; v++)
            sum += Math.pow(alpha * beta, v)
                    / (1 - 4.0 * v * v)
                    * PolynomialsUtils.createLegendrePolynomial(v)
                            .value((alpha * alpha + beta * beta) / (2 * alpha * beta));
        assertThat(new Ellipsoid(3, 2, 1).area()).isCloseTo(4 * Math.PI * 6 * sum, within(1e-9));
    }

    @Test
    void enclosingEllipsoidOfPointsOnAnEllipsoidIsThatEllipsoid() {
        SplittableRandom random = new SplittableRandom(9);
        double[][] points = new double[800][];
        for (int i = 0; i < points.length; i++) {
            double z = 2 * random.nextDouble() - 1;
            double t = 2 * Math.PI * random.nextDouble();
            double r = Math.sqrt(1 - z * z);
            points[i] = new double[] {5 + 7 * r * Math.cos(t), -3 + 4 * r * Math.sin(t), 2 * z};
        }
        Ellipsoid found = EnclosingEllipsoid.of(points);
        // Oracle: the points lie on it, and 800 of them leave no room for a smaller one.
        assertThat(found.a()).isCloseTo(7, within(1e-3));
        assertThat(found.b()).isCloseTo(4, within(1e-3));
        assertThat(found.c()).isCloseTo(2, within(1e-3));
    }

    @Test
    void scalingTheSpacingScalesLengths() {
        Volume image = Regions.noise(BLOCK, 6);
        Mask mask = Regions.scattered(BLOCK, 6);
        Grid twice = Regions.grid(BLOCK.size(), new Spacing(2, 3, 6));
        List<FeatureValue> one = Regions.measure(image, mask, Settings.standard());
        List<FeatureValue> two =
                Regions.measure(new Volume(twice, image.voxels()), new Mask(twice, mask.voxels()), Settings.standard());
        // Oracle: dimension of each quantity.
        assertThat(Regions.value(two, "RNU0")).isCloseTo(8 * Regions.value(one, "RNU0"), within(1e-9));
        assertThat(Regions.value(two, "C0JK")).isCloseTo(4 * Regions.value(one, "C0JK"), within(1e-9));
        assertThat(Regions.value(two, "L0JK")).isCloseTo(2 * Regions.value(one, "L0JK"), within(1e-9));
        assertThat(Regions.value(two, "N365")).isCloseTo(Regions.value(one, "N365"), within(1e-12));
    }

    @Test
    void theRegionCanBePreparedOnceAndMeasuredLater() {
        Volume image = Regions.noise(BLOCK, 6);
        Mask mask = Regions.scattered(BLOCK, 6);
        PreparedRegion region = PreparedRegion.of(image, mask, Settings.standard(), Workers.SINGLE, Progress.NONE)
                .orElseThrow();
        assertThat(StandardFeatures.measure(region, Settings.standard(), Workers.SINGLE, Progress.NONE))
                .isEqualTo(Regions.measure(image, mask, Settings.standard()));
    }
}
