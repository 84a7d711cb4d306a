// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntConsumer;
import org.leiogauge.image.CityBlockDistance;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;

/**
 * The zones of a region: its largest sets of voxels of one grey level that are linked by faces, edges or corners. Counted
 * by size, and by least distance to the border.
 *
 * <p>Cost: one pass over the voxels with union–find, of which two slices and their sets are held at a time, beside the
 * distances.
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

    /** Goes through the slices and holds the sets that reach the last one; the others are counted and forgotten. */
    private static final class Linker {
        private static final int GONE = -1;
        private static final int HERE = -2;

        private final Levels grid;
        private final char[] levels;
        private final short[] steps;
        private final int plane;
        // Number of the set of each voxel of this slice and of the last one, with the margin.
        private int[] here;
        private int[] last;
        // Of a set: one that it was joined to, or itself; its voxels, least distance and grey level.
        private final int[] parent;
        private final int[] size;
        private final short[] nearest;
        private final char[] level;
        private final int[] number;
        private int sets;
        private CountMatrix.Tally bySize;
        private CountMatrix.Tally byDistance;

        Linker(Levels grid, short[] steps) {
            this.grid = grid;
            this.levels = grid.padded();
            this.steps = steps;
            this.plane = grid.strideZ();
            here = new int[plane];
            last = new int[plane];
            // At most one that reaches the last slice and one new one per voxel of a slice.
            parent = new int[2 * plane];
            size = new int[2 * plane];
            nearest = new short[2 * plane];
            level = new char[2 * plane];
            number = new int[2 * plane];
        }

        Zones zones(int fromZ, int toZ, List<Direction> directions) {
            int[] inSlice = offsets(directions, 0);
            int[] fromLast = offsets(directions, 1);
            Size box = grid.size();
            bySize = CountMatrix.Tally.ofFew();
            byDistance = new CountMatrix.Tally(grid.count(), (Math.min(box.x(), box.y()) + 1) / 2);
            sets = 0;
            int voxels = 0;
            for (int z = fromZ; z <= toZ; z++) {
                voxels += link(z, inSlice, fromLast);
                count(z, z == toZ);
                int[] swap = last;
                last = here;
                here = swap;
            }
            return new Zones(bySize.matrix(), byDistance.matrix(), voxels);
        }

        private int[] offsets(List<Direction> directions, int dz) {
            return directions.stream()
                    .filter(d -> d.dz() == dz)
                    .mapToInt(d -> d.offset(grid))
                    .toArray();
        }

        private int link(int z, int[] inSlice, int[] fromLast) {
            int slice = grid.offset(0, 0, z) / plane * plane;
            int voxels = 0;
            for (int y = 0; y < grid.size().y(); y++) {
                int row = grid.offset(0, y, z);
                int at = (z * grid.size().y() + y) * grid.size().x();
                for (int x = 0; x < grid.size().x(); x++) {
                    int i = row + x;
                    int own = levels[i];
                    if (own == 0) continue;
                    voxels++;
                    int p = i - slice;
                    int set = GONE;
                    for (int offset : inSlice) if (levels[i - offset] == own) set = join(set, here[p - offset]);
                    for (int offset : fromLast)
                        if (levels[i - offset] == own) set = join(set, last[p - offset + plane]);
                    if (set == GONE) set = begin(own);
                    here[p] = set;
                    size[set]++;
                    nearest[set] = (short) Math.min(nearest[set], steps[at + x]);
                }
            }
            return voxels;
        }

        private int begin(int own) {
            parent[sets] = sets;
            size[sets] = 0;
            nearest[sets] = Short.MAX_VALUE;
            level[sets] = (char) own;
            return sets++;
        }

        /** One of two sets, the other of which becomes part of it; the second alone where the first is none. */
        private int join(int first, int second) {
            int other = find(second);
            if (first == GONE || first == other) return other;
            int kept = Math.min(first, other);
            int joined = Math.max(first, other);
            parent[joined] = kept;
            size[kept] += size[joined];
            nearest[kept] = (short) Math.min(nearest[kept], nearest[joined]);
            return kept;
        }

        private int find(int set) {
            int i = set;
            while (parent[i] != i) {
                parent[i] = parent[parent[i]];
                i = parent[i];
            }
            return i;
        }

        /** Counts the sets that don't reach this slice, or all, and numbers the others anew. */
        private void count(int z, boolean isLast) {
            Arrays.fill(number, 0, sets, GONE);
            if (!isLast) forEachVoxel(z, p -> number[here[p] = find(here[p])] = HERE);
            int kept = 0;
            for (int set = 0; set < sets; set++) {
                if (parent[set] != set) continue;
                if (number[set] == GONE) {
                    bySize.add(level[set], size[set]);
                    byDistance.add(level[set], nearest[set]);
                    continue;
                }
                number[set] = kept;
                parent[kept] = kept;
                size[kept] = size[set];
                nearest[kept] = nearest[set];
                level[kept++] = level[set];
            }
            sets = kept;
            if (!isLast) forEachVoxel(z, p -> here[p] = number[here[p]]);
        }

        private void forEachVoxel(int z, IntConsumer consumer) {
            int slice = grid.offset(0, 0, z) / plane * plane;
            int behind = grid.behind(z);
            for (int i = grid.first(z); i < behind; i++) if (levels[i] != 0) consumer.accept(i - slice);
        }
    }
}
