// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;
import java.util.function.ToDoubleFunction;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Mesh;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.table.FeatureValue;

/**
 * The morphology family: the region's size and shape, in three dimensions whatever the texture's dimensions are.
 *
 * <p>Letters: V volume and A area of the surface mesh of the region before re-segmentation; λ₁ ≥ λ₂ ≥ λ₃ the sample
 * variances (over n − 1) of its voxel centres along their principal axes. The centre of mass of intensities, the integrated intensity and the two
 * spatial correlations use the region after re-segmentation. Cost: linear in the voxels of the bounding box but for the
 * hull (see {@link ConvexHull}, {@link MinimumBox}, {@link EnclosingEllipsoid}), the diameter, which goes over pairs of
 * the hull's corners. The family's last two features are in {@link SpatialCorrelation}.
 *
 * <p>Source: IBSI reference manual, morphological features (HCUG).
 */
final class Shape {
    private static final String NO_INTENSITY = "no voxel is left after re-segmentation";
    private static final String FLAT_SHAPE = "all voxel centres lie in one plane";

    static final List<Feature<Shape>> FEATURES = List.of(
            of("volume (mesh)", "RNU0", "mm3", "V: volume inside the surface mesh", s -> s.volume),
            of("volume (voxel counting)", "YEKZ", "mm3", "Number of voxels times their volume", s -> s.region.volume()),
            of("surface area (mesh)", "C0JK", "mm2", "A: area of the surface mesh", s -> s.area),
            of("surface to volume ratio", "2PR5", "mm-1", "A / V", s -> s.area / s.volume),
            of(
                    "compactness 1",
                    "SKGS",
                    "1",
                    "V / (sqrt(pi) A^(3/2))",
                    s -> s.volume / (Math.sqrt(Math.PI) * Math.pow(s.area, 1.5))),
            of(
                    "compactness 2",
                    "BQWJ",
                    "1",
                    "36 pi V^2 / A^3",
                    s -> 36 * Math.PI * s.volume * s.volume / Math.pow(s.area, 3)),
            of("spherical disproportion", "KRCK", "1", "A / (36 pi V^2)^(1/3)", Shape::sphericalDisproportion),
            of("sphericity", "QCFX", "1", "(36 pi V^2)^(1/3) / A", s -> 1 / s.sphericalDisproportion()),
            of("asphericity", "25C7", "1", "(A^3 / (36 pi V^2))^(1/3) - 1", s -> s.sphericalDisproportion() - 1),
            of(
                    "centre of mass shift",
                    "KLMA",
                    "mm",
                    "Distance from the mean voxel centre to the mean weighted by intensity",
                    "the intensities add up to 0 or no voxel is left after re-segmentation",
                    Shape::centreOfMassShift),
            of(
                    "maximum 3d diameter",
                    "L0JK",
                    "mm",
                    "Largest distance between two vertices of the mesh",
                    Shape::diameter),
            of("major axis length", "TDIC", "mm", "4 sqrt(lambda1)", s -> 4 * Math.sqrt(s.variances[0])),
            of("minor axis length", "P9VJ", "mm", "4 sqrt(lambda2)", s -> 4 * Math.sqrt(s.variances[1])),
            of("least axis length", "7J51", "mm", "4 sqrt(lambda3)", s -> 4 * Math.sqrt(s.variances[2])),
            of(
                    "elongation",
                    "Q3CK",
                    "1",
                    "sqrt(lambda2 / lambda1)",
                    "the region is one voxel",
                    s -> Math.sqrt(s.variances[1] / s.variances[0])),
            of(
                    "flatness",
                    "N17B",
                    "1",
                    "sqrt(lambda3 / lambda1)",
                    "the region is one voxel",
                    s -> Math.sqrt(s.variances[2] / s.variances[0])),
            of(
                    "volume density (axis-aligned bounding box)",
                    "PBX1",
                    "1",
                    "V / volume of the mesh's bounding box along the grid's axes",
                    s -> s.volume / (s.extent[0] * s.extent[1] * s.extent[2])),
            of(
                    "area density (axis-aligned bounding box)",
                    "R59B",
                    "1",
                    "A / area of the mesh's bounding box along the grid's axes",
                    s -> s.area / boxArea(s.extent)),
            of(
                    "volume density (oriented minimum bounding box)",
                    "ZH1A",
                    "1",
                    "V / volume of the least box about the mesh in any orientation",
                    s -> s.volume / s.minimumBox.volume()),
            of(
                    "area density (oriented minimum bounding box)",
                    "IQYR",
                    "1",
                    "A / area of the box of least volume about the mesh in any orientation",
                    s -> s.area / s.minimumBox.area()),
            of(
                    "volume density (approximate enclosing ellipsoid)",
                    "6BDE",
                    "1",
                    "V / volume of the ellipsoid with semi-axes 2 sqrt(lambda)",
                    FLAT_SHAPE,
                    s -> s.volume / s.principal().volume()),
            of(
                    "area density (approximate enclosing ellipsoid)",
                    "RDD2",
                    "1",
                    "A / area of the ellipsoid with semi-axes 2 sqrt(lambda)",
                    FLAT_SHAPE,
                    s -> s.variances[2] == 0
                            ? Double.NaN
                            : s.area / s.principal().area()),
            of(
                    "volume density (minimum volume enclosing ellipsoid)",
                    "SWZ1",
                    "1",
                    "V / volume of the least ellipsoid about the mesh",
                    s -> s.volume / s.enclosing.volume()),
            of(
                    "area density (minimum volume enclosing ellipsoid)",
                    "BRI8",
                    "1",
                    "A / area of the ellipsoid of least volume about the mesh",
                    s -> s.area / s.enclosing.area()),
            of(
                    "volume density (convex hull)",
                    "R3ER",
                    "1",
                    "V / volume of the mesh's convex hull",
                    s -> s.volume / s.hull.volume()),
            of(
                    "area density (convex hull)",
                    "7T7F",
                    "1",
                    "A / area of the mesh's convex hull",
                    s -> s.area / s.hull.area()),
            of(
                    "integrated intensity",
                    "99N0",
                    "mm3",
                    "V times the mean intensity, in mm3 times the image's unit",
                    NO_INTENSITY,
                    s -> s.volume * s.meanIntensity));

    private final Mask region;
    private final double volume;
    private final double area;
    private final double[] extent;
    private final ConvexHull hull;
    private final MinimumBox minimumBox;
    private final Ellipsoid enclosing;
    private final double[] centre;
    private final double[] variances;
    private final double meanIntensity;
    private final double[] weightedCentre;

    Shape(PreparedRegion prepared) {
        region = prepared.morphological();
        Mesh mesh = Mesh.of(region);
        volume = mesh.volume();
        area = mesh.area();
        extent = extent(mesh);
        hull = ConvexHull.of(mesh);
        minimumBox = MinimumBox.of(hull);
        enclosing = EnclosingEllipsoid.of(hull.cornersMm());
        long[] sums = new long[9];
        sumIndices(region, sums);
        centre = centre(sums);
        variances = variances(sums);
        double[] weighted = weigh(prepared);
        meanIntensity = weighted[0] / prepared.intensity().count();
        weightedCentre = new double[] {weighted[1] / weighted[0], weighted[2] / weighted[0], weighted[3] / weighted[0]};
    }

    static List<FeatureValue> measure(PreparedRegion region) {
        return Feature.of(FEATURES, new Shape(region), Aggregations.VOLUME);
    }

    private double sphericalDisproportion() {
        return area / Math.cbrt(36 * Math.PI * volume * volume);
    }

    private double centreOfMassShift() {
        return Math.sqrt(square(weightedCentre[0] - centre[0])
                + square(weightedCentre[1] - centre[1])
                + square(weightedCentre[2] - centre[2]));
    }

    private double diameter() {
        double[][] corners = hull.cornersMm();
        double most = 0;
        for (int i = 0; i < corners.length; i++)
            for (int j = 0; j < i; j++)
                most = Math.max(
                        most,
                        square(corners[i][0] - corners[j][0])
                                + square(corners[i][1] - corners[j][1])
                                + square(corners[i][2] - corners[j][2]));
        return Math.sqrt(most);
    }

    private Ellipsoid principal() {
        return new Ellipsoid(2 * Math.sqrt(variances[0]), 2 * Math.sqrt(variances[1]), 2 * Math.sqrt(variances[2]));
    }

    private static double[] extent(Mesh mesh) {
        int[] h = mesh.halfIndices();
        int[] low = {h[0], h[1], h[2]};
        int[] high = low.clone();
        for (int i = 0; i < h.length; i++) {
            low[i % 3] = Math.min(low[i % 3], h[i]);
            high[i % 3] = Math.max(high[i % 3], h[i]);
        }
        Spacing s = mesh.grid().spacing();
        return new double[] {
            (high[0] - low[0]) * s.x() / 2, (high[1] - low[1]) * s.y() / 2, (high[2] - low[2]) * s.z() / 2
        };
    }

    private static double boxArea(double[] edges) {
        return 2 * (edges[0] * edges[1] + edges[1] * edges[2] + edges[2] * edges[0]);
    }

    /** Sums of the indices x, y, z and of their products xx, xy, xz, yy, yz, zz: exact. */
    private static void sumIndices(Mask mask, long[] sums) {
        Size size = mask.grid().size();
        byte[] voxels = mask.voxels();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                long n = 0;
                long x1 = 0;
                long x2 = 0;
                int row = mask.grid().offset(0, y, z);
                for (int x = 0; x < size.x(); x++) {
                    int one = voxels[row + x];
                    n += one;
                    x1 += one * x;
                    x2 += (long) one * x * x;
                }
                long[] terms = {x1, n * y, n * z, x2, x1 * y, x1 * z, n * y * y, n * y * z, n * z * z};
                for (int k = 0; k < 9; k++) sums[k] += terms[k];
            }
    }

    private double[] centre(long[] sums) {
        Spacing s = region.grid().spacing();
        double n = region.count();
        return new double[] {sums[0] / n * s.x(), sums[1] / n * s.y(), sums[2] / n * s.z()};
    }

    private double[] variances(long[] sums) {
        Spacing s = region.grid().spacing();
        double[] step = {s.x(), s.y(), s.z()};
        double n = region.count();
        double[][] covariance = new double[3][3];
        int k = 3;
        for (int r = 0; r < 3; r++)
            for (int c = r; c < 3; c++) {
                covariance[r][c] = step[r] * step[c] * (sums[k++] - sums[r] * (sums[c] / n)) / Math.max(1, n - 1);
                covariance[c][r] = covariance[r][c];
            }
        double[] values = new EigenDecomposition(new Array2DRowRealMatrix(covariance, false)).getRealEigenvalues();
        Arrays.sort(values);
        // What round-off leaves of a variance of 0 must not look like a length.
        double least = 1e-12 * Math.max(values[2], 0);
        for (int i = 0; i < 3; i++) values[i] = values[i] <= least ? 0 : values[i];
        return new double[] {values[2], values[1], values[0]};
    }

    /** Sum of intensities, and of intensities times x, y and z in mm. */
    private static double[] weigh(PreparedRegion prepared) {
        Size size = prepared.intensity().grid().size();
        Spacing s = prepared.spacing();
        byte[] inside = prepared.intensity().voxels();
        Intensities intensities = prepared.values();
        float[] all = intensities.voxels();
        double[] sums = new double[4];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                double sum = 0;
                double moment = 0;
                int row = intensities.row(y, z);
                for (int x = 0; x < size.x(); x++, i++) {
                    if (inside[i] == 0) continue;
                    sum += all[row + x];
                    moment += (double) all[row + x] * x;
                }
                sums[0] += sum;
                sums[1] += moment * s.x();
                sums[2] += sum * y * s.y();
                sums[3] += sum * z * s.z();
            }
        return sums;
    }

    private static double square(double x) {
        return x * x;
    }

    private static Feature<Shape> of(
            String name, String code, String unit, String meaning, ToDoubleFunction<Shape> formula) {
        return of(name, code, unit, meaning, "the region has no surface", formula);
    }

    private static Feature<Shape> of(
            String name, String code, String unit, String meaning, String undefined, ToDoubleFunction<Shape> formula) {
        return Feature.of(Family.SHAPE, name, code, unit, meaning, undefined, formula);
    }
}
