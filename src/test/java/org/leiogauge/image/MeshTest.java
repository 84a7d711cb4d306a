// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.Map;
import java.util.SplittableRandom;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;

class MeshTest {
    private static Mask mask(Size size, Spacing spacing, byte[] voxels) {
        return new Mask(new Grid(size, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0)), voxels);
    }

    private static Mask random(long seed, Size size) {
        SplittableRandom random = new SplittableRandom(seed);
        byte[] voxels = new byte[size.voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) random.nextInt(2);
        return mask(size, new Spacing(1, 1, 1), voxels);
    }

    private static Mask ball(double radius, Spacing spacing) {
        Size size = new Size(
                (int) (2 * radius / spacing.x()) + 5,
                (int) (2 * radius / spacing.y()) + 5,
                (int) (2 * radius / spacing.z()) + 5);
        byte[] voxels = new byte[size.voxels()];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) {
                    double dx = (x - (size.x() - 1) / 2.0) * spacing.x();
                    double dy = (y - (size.y() - 1) / 2.0) * spacing.y();
                    double dz = (z - (size.z() - 1) / 2.0) * spacing.z();
                    if (dx * dx + dy * dy + dz * dz <= radius * radius) voxels[i] = 1;
                }
        return mask(size, spacing, voxels);
    }

    @Test
    void oneVoxelIsAnOctahedron() {
        Mesh mesh = Mesh.of(mask(new Size(1, 1, 1), new Spacing(1, 2, 3), new byte[] {1}));
        // Oracle: octahedron with semi-axes a, b, c = 0.5, 1, 1.5: V = 4/3 a b c; 8 triangles on 6 corners; one
        // triangle has
        // area √(a²b² + b²c² + c²a²) / 2.
        assertThat(mesh.triangleCount()).isEqualTo(8);
        assertThat(mesh.vertexCount()).isEqualTo(6);
        assertThat(mesh.volume()).isCloseTo(4.0 / 3 * 0.75, within(1e-12));
        assertThat(mesh.area()).isCloseTo(4 * Math.sqrt(0.25 + 2.25 + 0.5625), within(1e-12));
    }

    @Test
    void volumeOfABallMatchesTheClosedForm() {
        Mesh mesh = Mesh.of(ball(20, new Spacing(0.5, 0.5, 1)));
        // Oracle: closed form, V = 4/3 π r³; the voxelised ball is off by less than 1 %.
        assertThat(mesh.volume()).isCloseTo(4.0 / 3 * Math.PI * 8000, within(0.01 * 33510));
    }

    @Test
    void areaOfABoxIsThatOfItsSidesButForEdgesAndCorners() {
        byte[] voxels = new byte[20 * 30 * 40];
        java.util.Arrays.fill(voxels, (byte) 1);
        Mesh mesh = Mesh.of(mask(new Size(20, 30, 40), new Spacing(1, 1, 1), voxels));
        // Oracle: closed form. The sides are planes of 19 × 29, 29 × 39 and 39 × 19 mm; along the 12 edges lie bevels
        // of
        // width √½, at the corners 8 equilateral triangles of side √½.
        double sides = 2 * (19 * 29 + 29 * 39 + 39 * 19);
        double bevels = 4 * (19 + 29 + 39) * Math.sqrt(0.5);
        double tips = 8 * Math.sqrt(3) / 4 * 0.5;
        assertThat(mesh.area()).isCloseTo(sides + bevels + tips, within(1e-9));
    }

    @Test
    void emptyMaskHasNoTriangles() {
        assertThat(Mesh.of(mask(new Size(3, 3, 3), new Spacing(1, 1, 1), new byte[27]))
                        .triangleCount())
                .isZero();
    }

    // Oracle: definition of a closed, consistently turned surface: each edge is walked as often one way as the other.
    @Property(tries = 30)
    void surfaceIsClosed(@ForAll long seed) {
        Mesh mesh = Mesh.of(random(seed, new Size(5, 4, 6)));
        Map<Long, Integer> walked = new HashMap<>();
        int[] c = mesh.corners();
        for (int t = 0; t < c.length; t += 3)
            for (int e = 0; e < 3; e++) {
                long from = c[t + e];
                long to = c[t + (e + 1) % 3];
                walked.merge(Math.min(from, to) << 32 | Math.max(from, to), from < to ? 1 : -1, Integer::sum);
            }
        assertThat(walked.values()).allMatch(sum -> sum == 0);
    }

    // Oracle: a turn by 90° and a mirror image change neither volume nor area.
    @Property(tries = 30)
    void volumeAndAreaDoNotDependOnTheAxes(@ForAll long seed) {
        Size size = new Size(6, 6, 6);
        Mask mask = random(seed, size);
        byte[] turned = new byte[size.voxels()];
        byte[] mirrored = new byte[size.voxels()];
        for (int z = 0; z < 6; z++)
            for (int y = 0; y < 6; y++)
                for (int x = 0; x < 6; x++) {
                    byte voxel = mask.voxels()[mask.grid().offset(x, y, z)];
                    turned[mask.grid().offset(y, z, x)] = voxel;
                    mirrored[mask.grid().offset(x, 5 - y, z)] = voxel;
                }
        Mesh mesh = Mesh.of(mask);
        for (byte[] other : new byte[][] {turned, mirrored}) {
            Mesh same = Mesh.of(mask(size, new Spacing(1, 1, 1), other));
            assertThat(same.volume()).isCloseTo(mesh.volume(), within(1e-9));
            assertThat(same.area()).isCloseTo(mesh.area(), within(1e-9));
        }
    }

    @Test
    void verticesLieInPatientSpace() {
        Grid grid = new Grid(
                new Size(1, 1, 1),
                new Spacing(2, 2, 2),
                new DirectionCosines(new Vector(0, 1, 0), new Vector(0, 0, 1), new Vector(1, 0, 0)),
                new Point(10, 20, 30));
        Mesh mesh = Mesh.of(new Mask(grid, new byte[] {1}));
        // Oracle: by hand, the corner half a voxel along x, which is y in patient space.
        assertThat(java.util.stream.IntStream.range(0, 6).mapToObj(mesh::vertex))
                .contains(new Point(10, 21, 30));
    }
}
