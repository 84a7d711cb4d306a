// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
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
        if (dimensions == 3) return List.of(of(levels, texture, offsets(levels, texture.distance(), true), 0, last));
        List<Neighbours> slices = new ArrayList<>();
        int[] inPlane = offsets(levels, texture.distance(), false);
        for (int z = 0; z <= last; z++) if (!levels.isEmpty(z)) slices.add(of(levels, texture, inPlane, z, z));
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
}
