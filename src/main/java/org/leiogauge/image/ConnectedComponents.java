// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;

/**
 * The parts of a region that hang together, numbered from 1 in the order of their first voxel, x fastest.
 *
 * <p>Runs of voxels along x are joined with the runs that they touch in the rows before (union-find). Linear time but for
 * the inverse Ackermann function.
 *
 * <p>Source: He, Chao and Suzuki 2008, A run-based two-scan labeling algorithm, doi:10.1109/TIP.2008.919369.
 */
public final class ConnectedComponents {
    private final Size size;
    private final byte[] voxels;
    private final int[] firstRun;
    private final int[] start;
    private final int[] end;
    private final int[] parent;

    private ConnectedComponents(Mask region) {
        size = region.grid().size();
        voxels = region.voxels();
        firstRun = new int[size.y() * size.z() + 1];
        int runs = countRuns();
        start = new int[runs];
        end = new int[runs];
        parent = new int[runs];
    }

    public static Components label(Mask region, Neighbourhood neighbourhood) {
        ConnectedComponents work = new ConnectedComponents(region);
        work.findRuns();
        work.join(neighbourhood);
        return work.number(region.grid());
    }

    /** A number per voxel: 0 outside, 1 to {@link #count()} by part. */
    public static final class Components {
        private final Grid grid;
        private final int[] labels;
        private final int[] sizes;

        private Components(Grid grid, int[] labels, int[] sizes) {
            this.grid = grid;
            this.labels = labels;
            this.sizes = sizes;
        }

        public int count() {
            return sizes.length - 1;
        }

        /** Number of voxels of a part, 1 to {@link #count()}. */
        public int voxels(int part) {
            return sizes[part];
        }

        /** The part that a voxel belongs to, 0 for none. */
        public int at(int x, int y, int z) {
            return labels[grid.offset(x, y, z)];
        }

        /** The numbers themselves, x fastest: read only. */
        public int[] labels() {
            return labels;
        }

        public Mask mask(int part) {
            if (part < 1 || part > count())
                throw new IllegalArgumentException("part must be 1 to " + count() + ", got " + part);
            byte[] inside = new byte[labels.length];
            for (int i = 0; i < labels.length; i++) inside[i] = (byte) (labels[i] == part ? 1 : 0);
            return new Mask(grid, inside);
        }

        /** The part with the most voxels, the first of equals; the empty mask if there is none. */
        public Mask largest() {
            if (count() == 0) return new Mask(grid, new byte[labels.length]);
            int best = 1;
            for (int part = 2; part <= count(); part++) if (sizes[part] > sizes[best]) best = part;
            return mask(best);
        }
    }

    private int countRuns() {
        int runs = 0;
        for (int row = 0, at = 0; row < firstRun.length - 1; row++) {
            firstRun[row] = runs;
            int before = 0;
            for (int x = 0; x < size.x(); x++, at++) {
                int now = voxels[at];
                runs += now & ~before;
                before = now;
            }
        }
        firstRun[firstRun.length - 1] = runs;
        return runs;
    }

    private void findRuns() {
        for (int row = 0; row < firstRun.length - 1; row++) {
            int at = row * size.x();
            int x = 0;
            for (int run = firstRun[row]; run < firstRun[row + 1]; run++) {
                while (voxels[at + x] == 0) x++;
                start[run] = x;
                while (x < size.x() && voxels[at + x] != 0) x++;
                end[run] = x;
                parent[run] = run;
            }
        }
    }

    // Reach: how far past its ends a run touches runs of that row.
    private void join(Neighbourhood neighbourhood) {
        int beside = neighbourhood == Neighbourhood.FACES ? 0 : 1;
        int across = neighbourhood == Neighbourhood.CORNERS ? 1 : 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                int row = z * size.y() + y;
                if (y > 0) joinRows(row, row - 1, beside);
                if (z == 0) continue;
                int below = row - size.y();
                joinRows(row, below, beside);
                if (neighbourhood == Neighbourhood.FACES) continue;
                if (y > 0) joinRows(row, below - 1, across);
                if (y < size.y() - 1) joinRows(row, below + 1, across);
            }
    }

    private void joinRows(int row, int other, int reach) {
        int a = firstRun[row];
        int b = firstRun[other];
        while (a < firstRun[row + 1] && b < firstRun[other + 1]) {
            if (start[a] < end[b] + reach && start[b] < end[a] + reach) union(a, b);
            if (end[a] < end[b]) a++;
            else b++;
        }
    }

    private int root(int run) {
        while (parent[run] != run) {
            parent[run] = parent[parent[run]];
            run = parent[run];
        }
        return run;
    }

    // The earlier run is the root, so that a root is the first run of its part.
    private void union(int a, int b) {
        int rootA = root(a);
        int rootB = root(b);
        if (rootA < rootB) parent[rootB] = rootA;
        else parent[rootA] = rootB;
    }

    private Components number(Grid grid) {
        int[] labels = new int[size.voxels()];
        int[] label = new int[parent.length];
        int[] sizes = new int[parent.length + 1];
        int count = 0;
        for (int row = 0; row < firstRun.length - 1; row++)
            for (int run = firstRun[row]; run < firstRun[row + 1]; run++) {
                int root = root(run);
                label[run] = root == run ? ++count : label[root];
                Arrays.fill(labels, row * size.x() + start[run], row * size.x() + end[run], label[run]);
                sizes[label[run]] += end[run] - start[run];
            }
        return new Components(grid, labels, Arrays.copyOf(sizes, count + 1));
    }
}
