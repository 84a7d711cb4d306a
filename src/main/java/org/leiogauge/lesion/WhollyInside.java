// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.stream.IntStream;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/** The voxels of a region that share no face with a voxel outside, and so are not mixed with what lies outside. */
final class WhollyInside {
    private static final double LEAST = 0.25;

    private WhollyInside() {}

    /**
     * What lies beyond the grid counts as outside.
     *
     * @param inSlice looks at the neighbours in the slice alone
     */
    static Mask of(Mask region, boolean inSlice) {
        Size size = region.grid().size();
        byte[] v = region.voxels();
        byte[] inner = new byte[v.length];
        int w = size.x();
        int slice = w * size.y();
        for (int z = inSlice ? 0 : 1; z < size.z() - (inSlice ? 0 : 1); z++)
            for (int y = 1; y < size.y() - 1; y++)
                for (int x = 1; x < w - 1; x++) {
                    int i = z * slice + y * w + x;
                    int in = v[i] & v[i - 1] & v[i + 1] & v[i - w] & v[i + w];
                    inner[i] = (byte) (inSlice || in == 0 ? in : in & v[i - slice] & v[i + slice]);
                }
        return new Mask(region.grid(), inner);
    }

    /** Whether what is left of a region stands for it: a quarter of its voxels or more. */
    static boolean isEnough(Mask inner, Mask all) {
        return inner.count() > 0 && inner.count() >= LEAST * all.count();
    }

    /** For each voxel of all: the place of a voxel of inner that is the nearest in mm, or close to that; not empty inner. */
    static int[] standIns(Mask inner, Mask all) {
        int[] source = new int[all.voxels().length];
        Arrays.fill(source, -1);
        for (int i = 0; i < source.length; i++) if (inner.voxels()[i] != 0) source[i] = i;
        float[] distance = DistanceTransform.toRegion(inner, Workers.SINGLE).voxels();
        Integer[] order = IntStream.range(0, source.length)
                .filter(i -> all.voxels()[i] != 0 && source[i] < 0)
                .boxed()
                .sorted((a, b) -> Float.compare(distance[a], distance[b]))
                .toArray(Integer[]::new);
        for (int i : order) source[i] = around(inner, source, i);
        return source;
    }

    private static int around(Mask inner, int[] source, int i) {
        Size size = inner.grid().size();
        int x = i % size.x();
        int y = i / size.x() % size.y();
        int z = i / size.x() / size.y();
        int best = -1;
        double least = Double.POSITIVE_INFINITY;
        for (int reach = 1; best < 0; reach++)
            for (int k = Math.max(0, z - reach); k <= Math.min(size.z() - 1, z + reach); k++)
                for (int j = Math.max(0, y - reach); j <= Math.min(size.y() - 1, y + reach); j++)
                    for (int h = Math.max(0, x - reach); h <= Math.min(size.x() - 1, x + reach); h++) {
                        int at = (k * size.y() + j) * size.x() + h;
                        if (source[at] < 0) continue;
                        double square = square(inner, source[at], x, y, z);
                        if (square >= least) continue;
                        least = square;
                        best = source[at];
                    }
        return best;
    }

    private static double square(Mask inner, int at, int x, int y, int z) {
        Size size = inner.grid().size();
        double dx = (at % size.x() - x) * inner.grid().spacing().x();
        double dy = (at / size.x() % size.y() - y) * inner.grid().spacing().y();
        double dz = (at / size.x() / size.y() - z) * inner.grid().spacing().z();
        return dx * dx + dy * dy + dz * dz;
    }
}
