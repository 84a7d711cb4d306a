// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The two matrices that look at all neighbours of a voxel, from one pass over the region.
 *
 * @param tones of differences from the neighbours' mean
 * @param dependence of the number of alike neighbours
 */
record Neighbours(Ngtdm tones, Ngldm dependence) {

    /** Of the volume, or of each slice that holds a voxel. */
    static List<Neighbours> of(Levels levels, Settings.Texture texture, int dimensions) {
        int last = levels.size().z() - 1;
        boolean isNearest = texture.distance() == 1 && texture.ngldmAlpha() == 0;
        if (dimensions == 3)
            return List.of(
                    isNearest
                            ? new Nearest(levels, true).of(0, last)
                            : of(levels, texture, offsets(levels, texture.distance(), true), 0, last));
        List<Neighbours> slices = new ArrayList<>();
        int[] inPlane = offsets(levels, texture.distance(), false);
        for (int z = 0; z <= last; z++)
            if (!levels.isEmpty(z))
                slices.add(isNearest ? new Nearest(levels, false).of(z, z) : of(levels, texture, inPlane, z, z));
        return slices;
    }

    private static int[] offsets(Levels levels, int distance, boolean acrossSlices) {
        List<Integer> offsets = new ArrayList<>();
        int up = acrossSlices ? distance : 0;
        for (int z = -up; z <= up; z++)
            for (int y = -distance; y <= distance; y++)
                for (int x = -distance; x <= distance; x++)
                    if (x != 0 || y != 0 || z != 0) offsets.add(z * levels.strideZ() + y * levels.strideY() + x);
        return offsets.stream().mapToInt(Integer::intValue).toArray();
    }

    private static Neighbours of(Levels levels, Settings.Texture texture, int[] offsets, int fromZ, int toZ) {
        int[] counts = new int[levels.count() + 1];
        double[] sums = new double[levels.count() + 1];
        CountMatrix.Tally dependence = new CountMatrix.Tally(levels.count(), offsets.length + 1);
        char[] q = levels.padded();
        int alpha = texture.ngldmAlpha();
        int voxels = 0;
        int behind = levels.behind(toZ);
        for (int i = levels.first(fromZ); i < behind; i++) {
            int level = q[i];
            if (level == 0) continue;
            voxels++;
            int sum = 0;
            int neighbours = 0;
            int alike = 1;
            // What lies outside the region is 0 and must not look alike, however large α is.
            int lowest = Math.max(1, level - alpha);
            int span = (int) Math.min(Settings.MOST_LEVELS, (long) level + alpha) - lowest + Integer.MIN_VALUE;
            for (int offset : offsets) {
                int other = q[i + offset];
                sum += other;
                neighbours += other == 0 ? 0 : 1;
                // lowest ≤ other ≤ level + α, as one comparison without signs
                alike += other - lowest + Integer.MIN_VALUE <= span ? 1 : 0;
            }
            dependence.add(level, alike);
            if (neighbours == 0) continue;
            counts[level]++;
            sums[level] += Math.abs(level - (double) sum / neighbours);
        }
        return new Neighbours(Ngtdm.of(counts, sums), Ngldm.of(dependence.matrix(), voxels));
    }

    /**
     * The same at distance 1 and α = 0, a slice at a time: the sums over 3 × 3 × 3 voxels along one axis after the other,
     * the alike voxels by comparing with copies that are shifted, so that every loop runs along memory without a branch.
     */
    private static final class Nearest {
        // Voxels that are compared at once: few enough for all copies to stay in the fastest cache.
        private static final int BLOCK = 1024;

        private final Levels levels;
        private final boolean acrossSlices;
        private final int strideY;
        private final int plane;
        // Slices z − 1, z and z + 1, turned round after each: the levels, their sums over 3 × 3 voxels, and how many of
        // these belong to the region.
        private final int[][] q;
        private final int[][] sum;
        private final int[][] inside;
        private final int[] ones;
        private final int[] row;
        private final int[][] shifted = new int[3][BLOCK];
        private final int[] middle = new int[BLOCK];
        private final int[] alike = new int[BLOCK];
        private final int[] counts;
        private final double[] sums;
        private final CountMatrix.Tally dependence;
        private int voxels;

        Nearest(Levels levels, boolean acrossSlices) {
            this.levels = levels;
            this.acrossSlices = acrossSlices;
            strideY = levels.strideY();
            plane = levels.strideZ();
            q = new int[3][plane];
            sum = new int[3][plane];
            inside = new int[3][plane];
            ones = new int[plane];
            row = new int[plane];
            counts = new int[levels.count() + 1];
            sums = new double[levels.count() + 1];
            dependence = new CountMatrix.Tally(levels.count(), acrossSlices ? 27 : 9);
        }

        Neighbours of(int fromZ, int toZ) {
            read(fromZ);
            for (int z = fromZ; z <= toZ; z++) {
                for (int[][] slices : List.of(q, sum, inside)) turn(slices);
                if (z < toZ) read(z + 1);
                else for (int[][] slices : List.of(q, sum, inside)) Arrays.fill(slices[2], 0);
                int behind = plane - strideY - 1;
                for (int from = strideY + 1; from < behind; from += BLOCK) {
                    int length = Math.min(BLOCK, behind - from);
                    compare(from, length);
                    count(from, length);
                }
            }
            return new Neighbours(Ngtdm.of(counts, sums), Ngldm.of(dependence.matrix(), voxels));
        }

        private static void turn(int[][] slices) {
            int[] first = slices[0];
            slices[0] = slices[1];
            slices[1] = slices[2];
            slices[2] = first;
        }

        private void read(int z) {
            char[] all = levels.padded();
            int from = levels.first(z) - strideY - 1;
            int[] to = q[2];
            for (int i = 0; i < plane; i++) to[i] = all[from + i];
            // 1 for every level but 0
            for (int i = 0; i < plane; i++) ones[i] = -to[i] >>> 31;
            box(to, sum[2]);
            box(ones, inside[2]);
        }

        /** Sums over 3 × 3 voxels, but for the margin. */
        private void box(int[] from, int[] to) {
            for (int i = 1; i < plane - 1; i++) row[i] = from[i - 1] + from[i] + from[i + 1];
            for (int i = strideY; i < plane - strideY; i++) to[i] = row[i - strideY] + row[i] + row[i + strideY];
        }

        /** Counts per voxel how many of the voxels around it, and itself, are of its level. */
        private void compare(int from, int length) {
            Arrays.fill(alike, 0);
            System.arraycopy(q[1], from, middle, 0, length);
            for (int z = acrossSlices ? 0 : 1; z <= (acrossSlices ? 2 : 1); z++)
                for (int y = -1; y <= 1; y++) {
                    for (int x = -1; x <= 1; x++)
                        System.arraycopy(q[z], from + y * strideY + x, shifted[x + 1], 0, length);
                    addAlike(middle, shifted[0], shifted[1], shifted[2], alike, length);
                }
        }

        // Levels are not negative: their difference in bits less 1 is negative only where they are equal.
        private static void addAlike(int[] q, int[] a, int[] b, int[] c, int[] alike, int length) {
            for (int i = 0; i < length; i++) {
                int level = q[i];
                alike[i] += ((level ^ a[i]) - 1 >>> 31) + ((level ^ b[i]) - 1 >>> 31) + ((level ^ c[i]) - 1 >>> 31);
            }
        }

        private void count(int from, int length) {
            for (int k = 0; k < length; k++) {
                int level = middle[k];
                if (level == 0) continue;
                voxels++;
                dependence.add(level, alike[k]);
                int i = from + k;
                int neighbours = inside[1][i] - 1;
                int total = sum[1][i] - level;
                if (acrossSlices) {
                    neighbours += inside[0][i] + inside[2][i];
                    total += sum[0][i] + sum[2][i];
                }
                if (neighbours == 0) continue;
                counts[level]++;
                sums[level] += Math.abs(level - (double) total / neighbours);
            }
        }
    }
}
