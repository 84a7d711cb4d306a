// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Which voxels of a region do not enhance, told from noise, with a border that leaves a pocket its volume.
 *
 * <p>Core: d̄ &lt; z σ √(Σw²) / Σw, with d̄ the rise d averaged over the voxel's 3 × 3 neighbours in its slice and in the
 * region, weights w = (1 2 1) ⊗ (1 2 1), and σ the standard deviation of one voxel's rise without enhancement. Averaging
 * makes faint enhancement count. Groups of fewer than {@code fewestVoxels} are taken for chance: of the core (26
 * neighbours) given up, of enhancing voxels in the core (6 neighbours) filled.
 *
 * <p>Border: partly filled voxels rise above the test's limit long before they are half viable. So each voxel on either
 * side of the core's surface is decided anew: it belongs to the core if its rise is under half the viable level, by d where
 * that is above 2.5 σ, else by d̄. The level is the mean of d̄ over the viable voxels within 3 voxels in the slice and 1
 * across that do not touch the core; above 4 σ, over the upper half of them. Twice, since the average is two voxels wide.
 * Compartments finer than two voxels are seen too small.
 *
 * <p>Share: a voxel next to the core's surface, on either side, is non-enhancing by 1 − d / level, which is the dead share of
 * a mixed voxel; not cut to 0–1, so that noise and texture leave the sum over many voxels where it is. All others are 0 or 1,
 * as the core says.
 *
 * <p>Source: test of a mean at known variance; half-way border: common practice, no source.
 */
final class NonEnhancing {
    private static final int REACH = 3;
    private static final double CLEAR = 2.5;
    private static final double LOUD = 4;
    private static final double ALL_LOUD = 8;
    private static final int ROUNDS = 4;
    private static final byte OUTSIDE = 0;
    private static final byte CORE = 1;
    private static final byte TOUCHING = 2;
    private static final byte VIABLE = 3;

    private final Size size;
    private final Grid grid;
    private final float[] rise;
    private final float[] average;
    private final double sigma;
    private final byte[] state;
    // The level near a voxel is asked for again and again while few voxels change.
    private final double[] level;
    private final boolean[] isKnown;
    private final byte[] seen;

    /** What was found: whole voxels, and the share of each one. */
    record Found(Mask core, Volume share) {}

    private NonEnhancing(Volume rise, double sigma) {
        this.grid = rise.grid();
        this.size = grid.size();
        this.rise = rise.voxels();
        this.sigma = sigma;
        this.average = new float[this.rise.length];
        this.state = new byte[this.rise.length];
        this.level = new double[this.rise.length];
        this.isKnown = new boolean[this.rise.length];
        this.seen = new byte[this.rise.length];
    }

    /**
     * @param rise NaN outside the region
     * @param sigma standard deviation of one voxel's rise if there were no enhancement
     */
    static Found find(Volume rise, double sigma, Enhancement.Settings settings, Workers workers) {
        NonEnhancing work = new NonEnhancing(rise, sigma);
        workers.forEach(work.size.z(), z -> work.test(z, settings.z()));
        work.seedSingle(settings.z(), workers);
        work.clean(settings.fewestVoxels());
        for (int round = 0; round < ROUNDS; round++) work.border(workers);
        work.clean(settings.fewestVoxels());
        return new Found(work.mask(CORE), work.share(workers));
    }

    private Volume share(Workers workers) {
        mark();
        forget();
        float[] share = new float[state.length];
        workers.forEach(size.z(), z -> {
            Level viable = new Level();
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = grid.offset(x, y, z);
                    share[i] = state[i] == CORE ? 1 : 0;
                    if (!isAtSurface(x, y, z, i)) continue;
                    double level = viable.at(x, y, z);
                    if (level > CLEAR * sigma) share[i] = (float) (1 - rise[i] / level);
                }
        });
        return new Volume(grid, share);
    }

    private boolean isAtSurface(int x, int y, int z, int i) {
        return state[i] == TOUCHING || state[i] == CORE && hasBeside(x, y, z, i, TOUCHING);
    }

    private void test(int z, double limit) {
        int w = size.x();
        for (int y = 0; y < size.y(); y++)
            for (int x = 0; x < w; x++) {
                int i = grid.offset(x, y, z);
                if (Float.isNaN(rise[i])) continue;
                double sum = 0;
                double weights = 0;
                double squares = 0;
                for (int dy = y > 0 ? -1 : 0; dy <= (y < size.y() - 1 ? 1 : 0); dy++)
                    for (int dx = x > 0 ? -1 : 0; dx <= (x < w - 1 ? 1 : 0); dx++) {
                        float d = rise[i + dy * w + dx];
                        if (Float.isNaN(d)) continue;
                        double weight = (dx == 0 ? 2 : 1) * (dy == 0 ? 2 : 1);
                        sum += weight * d;
                        weights += weight;
                        squares += weight * weight;
                    }
                average[i] = (float) (sum / weights);
                state[i] = sum < limit * sigma * Math.sqrt(squares) ? CORE : VIABLE;
            }
    }

    // Amid loud tissue one voxel's rise tells, and its neighbours' would hide a thin part.
    private void seedSingle(double limit, Workers workers) {
        byte[] decided = state.clone();
        // the first look at any level
        System.arraycopy(state, 0, seen, 0, state.length);
        workers.forEach(size.z(), z -> {
            Level viable = new Level();
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = grid.offset(x, y, z);
                    if (state[i] == VIABLE && rise[i] < limit * sigma && viable.at(x, y, z) > ALL_LOUD * sigma)
                        decided[i] = CORE;
                }
        });
        System.arraycopy(decided, 0, state, 0, state.length);
    }

    private void clean(int fewest) {
        mark();
        drop(ConnectedComponents.label(mask(CORE), Neighbourhood.CORNERS), fewest, VIABLE);
        mark();
        ConnectedComponents.Components specks = ConnectedComponents.label(viable(), Neighbourhood.FACES);
        boolean[] touches = new boolean[specks.count() + 1];
        for (int i = 0; i < state.length; i++) touches[specks.labels()[i]] |= state[i] == TOUCHING;
        for (int i = 0; i < state.length; i++) {
            int part = specks.labels()[i];
            if (part > 0 && touches[part] && specks.voxels(part) < fewest) state[i] = CORE;
        }
    }

    private void drop(ConnectedComponents.Components parts, int fewest, byte to) {
        for (int i = 0; i < state.length; i++) {
            int part = parts.labels()[i];
            if (part > 0 && parts.voxels(part) < fewest) state[i] = to;
        }
    }

    // Tells viable voxels that touch the core from those that do not.
    private void mark() {
        for (int i = 0; i < state.length; i++) if (state[i] == TOUCHING) state[i] = VIABLE;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = grid.offset(x, y, z);
                    if (state[i] == VIABLE && hasBeside(x, y, z, i, CORE)) state[i] = TOUCHING;
                }
    }

    // Levels near voxels that became viable, or ceased to be so, since the last look.
    private void forget() {
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = grid.offset(x, y, z);
                    if (state[i] == VIABLE != (seen[i] == VIABLE)) forget(x, y, z);
                }
        System.arraycopy(state, 0, seen, 0, state.length);
    }

    private void forget(int x, int y, int z) {
        int left = Math.max(0, x - REACH);
        int right = Math.min(size.x() - 1, x + REACH);
        for (int k = Math.max(0, z - 1); k <= Math.min(size.z() - 1, z + 1); k++)
            for (int j = Math.max(0, y - REACH); j <= Math.min(size.y() - 1, y + REACH); j++)
                Arrays.fill(isKnown, grid.offset(left, j, k), grid.offset(right, j, k) + 1, false);
    }

    private boolean hasBeside(int x, int y, int z, int i, byte wanted) {
        int w = size.x();
        int slice = w * size.y();
        return x > 0 && state[i - 1] == wanted
                || x < w - 1 && state[i + 1] == wanted
                || y > 0 && state[i - w] == wanted
                || y < size.y() - 1 && state[i + w] == wanted
                || z > 0 && state[i - slice] == wanted
                || z < size.z() - 1 && state[i + slice] == wanted;
    }

    private void border(Workers workers) {
        mark();
        forget();
        byte[] decided = state.clone();
        workers.forEach(size.z(), z -> {
            Level viable = new Level();
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = grid.offset(x, y, z);
                    if (!isAtSurface(x, y, z, i)) continue;
                    double level = viable.at(x, y, z);
                    if (Double.isNaN(level)) continue;
                    float own = level > CLEAR * sigma ? rise[i] : average[i];
                    decided[i] = own < level / 2 ? CORE : VIABLE;
                }
        });
        System.arraycopy(decided, 0, state, 0, state.length);
    }

    /** The rise of viable tissue near a voxel. */
    private final class Level {
        private final float[] near = new float[(2 * REACH + 1) * (2 * REACH + 1) * 3];

        double at(int x, int y, int z) {
            int i = grid.offset(x, y, z);
            if (!isKnown[i]) {
                level[i] = measured(x, y, z);
                isKnown[i] = true;
            }
            return level[i];
        }

        // The upper half where the noise does not choose it: the lower is partly filled where pockets lie close
        // together.
        private double measured(int x, int y, int z) {
            int n = gather(x, y, z);
            double sum = 0;
            for (int i = 0; i < n; i++) sum += near[i];
            double mean = n == 0 ? Double.NaN : sum / n;
            return mean > LOUD * sigma ? meanAbove(mean, n) : mean;
        }

        // Every voxel is written, only a viable one moves on: no branch to be guessed wrong. VIABLE alone has both
        // bits.
        private int gather(int x, int y, int z) {
            int left = Math.max(0, x - REACH);
            int right = Math.min(size.x() - 1, x + REACH);
            int n = 0;
            for (int k = Math.max(0, z - 1); k <= Math.min(size.z() - 1, z + 1); k++)
                for (int j = Math.max(0, y - REACH); j <= Math.min(size.y() - 1, y + REACH); j++) {
                    int row = (k * size.y() + j) * size.x();
                    for (int i = row + left; i <= row + right; i++) {
                        near[n] = average[i];
                        n += state[i] >> 1 & state[i] & 1;
                    }
                }
            return n;
        }

        private double meanAbove(double least, int count) {
            double sum = 0;
            int n = 0;
            for (int i = 0; i < count; i++)
                if (near[i] >= least) {
                    sum += near[i];
                    n++;
                }
            return n == 0 ? Double.NaN : sum / n;
        }
    }

    private Mask mask(byte wanted) {
        byte[] found = new byte[state.length];
        for (int i = 0; i < found.length; i++) found[i] = (byte) (state[i] == wanted ? 1 : 0);
        return new Mask(grid, found);
    }

    private Mask viable() {
        byte[] found = new byte[state.length];
        for (int i = 0; i < found.length; i++) found[i] = (byte) (state[i] != OUTSIDE && state[i] != CORE ? 1 : 0);
        return new Mask(grid, found);
    }
}
