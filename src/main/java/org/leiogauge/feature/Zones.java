// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.CityBlockDistance;
import org.leiogauge.image.Mask;

/**
 * The zones of a region: its largest sets of voxels of one grey level that are linked by faces, edges or corners. Counted
 * by size, and by least distance to the border.
 *
 * <p>Cost: one pass over the voxels with union–find, and one over the sets.
 *
 * <p>Source: IBSI reference manual, grey level size zone based features (9SAK).
 */
final class Zones {
    private final CountMatrix sizes;
    private final CountMatrix distances;
    private final int voxels;

    private Zones(CountMatrix sizes, CountMatrix distances, int voxels) {
        this.sizes = sizes;
        this.distances = distances;
        this.voxels = voxels;
    }

    /** Of the volume, or of each slice that holds a voxel. */
    static List<Zones> of(Levels levels, Mask morphological, int dimensions) {
        boolean inPlane = dimensions == 2;
        short[] steps = CityBlockDistance.of(morphological, inPlane);
        int last = levels.size().z() - 1;
        Linker linker = new Linker(levels, steps);
        if (!inPlane) return List.of(linker.zones(0, last, Direction.ALL));
        List<Zones> slices = new ArrayList<>();
        for (int z = 0; z <= last; z++) if (!levels.isEmpty(z)) slices.add(linker.zones(z, z, Direction.IN_PLANE));
        return slices;
    }

    /** Rows are grey levels, columns numbers of voxels. */
    CountMatrix sizes() {
        return sizes;
    }

    /** Rows are grey levels, columns distances. */
    CountMatrix distances() {
        return distances;
    }

    int voxels() {
        return voxels;
    }

    private static final class Linker {
        private final Levels grid;
        private final char[] levels;
        private final short[] steps;
        // Of a voxel: one that was looked at before and belongs to its set; of the first of a set: itself.
        private final int[] parent;

        Linker(Levels grid, short[] steps) {
            this.grid = grid;
            this.levels = grid.padded();
            this.steps = steps;
            this.parent = new int[levels.length];
        }

        Zones zones(int fromZ, int toZ, List<Direction> directions) {
            int[] back = directions.stream().mapToInt(d -> d.offset(grid)).toArray();
            int from = grid.first(fromZ);
            int behind = grid.behind(toZ);
            link(from, behind, back);
            return count(fromZ, toZ);
        }

        private void link(int from, int behind, int[] back) {
            for (int i = from; i < behind; i++) {
                int level = levels[i];
                if (level == 0) continue;
                int root = i;
                parent[i] = i;
                for (int offset : back) {
                    int j = i - offset;
                    if (levels[j] != level) continue;
                    int other = find(j);
                    if (other < root) {
                        parent[root] = other;
                        root = other;
                    } else if (other > root) parent[other] = root;
                }
            }
        }

        private int find(int voxel) {
            int i = voxel;
            while (parent[i] != i) {
                parent[i] = parent[parent[i]];
                i = parent[i];
            }
            return i;
        }

        /** Roots come before the other voxels of their set: one pass gives each set a number and gathers it. */
        private Zones count(int fromZ, int toZ) {
            int[] sizes = new int[1024];
            int[] nearest = new int[1024];
            int[] level = new int[1024];
            int sets = 0;
            int voxels = 0;
            int width = grid.size().x();
            int height = grid.size().y();
            for (int z = fromZ; z <= toZ; z++)
                for (int y = 0; y < height; y++) {
                    int row = grid.offset(0, y, z);
                    int at = (z * height + y) * width;
                    for (int x = 0; x < width; x++) {
                        int i = row + x;
                        if (levels[i] == 0) continue;
                        voxels++;
                        int set;
                        if (parent[i] == i) {
                            if (sets == sizes.length) {
                                sizes = Arrays.copyOf(sizes, 2 * sets);
                                nearest = Arrays.copyOf(nearest, 2 * sets);
                                level = Arrays.copyOf(level, 2 * sets);
                            }
                            set = sets++;
                            level[set] = levels[i];
                            nearest[set] = steps[at + x];
                        } else set = -1 - parent[parent[i]];
                        // From here on the parent is the number of the set, as −1 − number.
                        parent[i] = -1 - set;
                        sizes[set]++;
                        nearest[set] = Math.min(nearest[set], steps[at + x]);
                    }
                }
            return zones(level, sizes, nearest, sets, voxels);
        }

        private Zones zones(int[] level, int[] sizes, int[] nearest, int sets, int voxels) {
            int largest = 0;
            int farthest = 0;
            for (int k = 0; k < sets; k++) {
                largest = Math.max(largest, sizes[k]);
                farthest = Math.max(farthest, nearest[k]);
            }
            CountMatrix.Tally bySize = new CountMatrix.Tally(grid.count(), largest);
            CountMatrix.Tally byDistance = new CountMatrix.Tally(grid.count(), farthest);
            for (int k = 0; k < sets; k++) {
                bySize.add(level[k], sizes[k]);
                byDistance.add(level[k], nearest[k]);
            }
            return new Zones(bySize.matrix(), byDistance.matrix(), voxels);
        }
    }
}
