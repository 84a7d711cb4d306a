// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.Optional;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Percentile;

/**
 * The part of a lesion that is brighter than a limit, with its border where the signal is half-way to the rest, so that
 * voxels at its border that it shares with the rest neither add to its volume nor take from it.
 *
 * <p>Seeds: voxels above the limit whose part (joined by faces or edges) has the least volume; smaller ones are texture or
 * noise. Half-way: h = (B + R) / 2, B the level-th quantile of the seeds, R the median of the lesion's voxels that neither are seeds
 * nor touch one. The part: seeds above h, and voxels above h that touch a seed (face or edge). Where nothing is left for R,
 * all seeds belong to it.
 *
 * <p>Border, where asked for: a voxel of the lesion that shares a face with one outside may hold up to half of what is
 * outside, and so lie under h though all its lesion is bright. It belongs to the part above (B + O) / 2, the least that it
 * then has, O the median of the voxels two steps outside; never above h.
 *
 * <p>Source: half-way threshold as the border that leaves a blurred volume unbiased: common practice; seeds: ours.
 */
final class BrightPart {
    private final Mask lesion;
    private final Mask part;
    private final double half;
    private final Optional<ConnectedComponents.Components> pieces;

    private BrightPart(Mask lesion, Mask part, double half) {
        this.lesion = lesion;
        this.part = part;
        this.half = half;
        pieces = part.isEmpty() ? Optional.empty() : Optional.of(ConnectedComponents.label(part, Neighbourhood.EDGES));
    }

    /**
     * @param lesion voxels without a value must be left out of it
     * @param level quantile that stands for the bright tissue: 0.5, or more where it may be so thin that most of its voxels
     *     are mixed
     */
    static BrightPart above(double limit, Volume image, Mask lesion, double leastVolumeMm3, double level) {
        return above(limit, image, lesion, leastVolumeMm3, level, false);
    }

    /** The same, with the lesion's border looked at as what it is: mixed with what is outside. */
    static BrightPart aboveToBorder(double limit, Volume image, Mask lesion, double leastVolumeMm3, double level) {
        return above(limit, image, lesion, leastVolumeMm3, level, true);
    }

    private static BrightPart above(
            double limit, Volume image, Mask lesion, double leastVolumeMm3, double level, boolean toBorder) {
        float[] v = image.voxels();
        byte[] seeds = new byte[v.length];
        for (int i = 0; i < v.length; i++) seeds[i] = (byte) (lesion.voxels()[i] != 0 && v[i] > limit ? 1 : 0);
        keepLarge(seeds, lesion, leastVolumeMm3);
        Mask seed = new Mask(lesion.grid(), seeds);
        if (seed.isEmpty()) return new BrightPart(lesion, seed, limit);
        byte[] near = touched(seed);
        double[] rest = values(v, lesion.voxels(), near, (byte) 0);
        if (rest.length == 0) return new BrightPart(lesion, seed, limit);
        double bright = quantile(values(v, seeds, seeds, (byte) 1), level);
        double others = quantile(rest, 0.5);
        double half = (bright + others) / 2;
        double atBorder = toBorder ? atBorder(v, lesion, bright, others) : half;
        byte[] outside = new byte[v.length];
        for (int i = 0; i < v.length; i++) outside[i] = (byte) (1 - lesion.voxels()[i]);
        byte[] border = besides(outside, lesion.grid().size());
        byte[] part = new byte[v.length];
        for (int i = 0; i < v.length; i++)
            part[i] = (byte)
                    (near[i] != 0 && lesion.voxels()[i] != 0 && v[i] > (border[i] != 0 ? atBorder : half) ? 1 : 0);
        return new BrightPart(lesion, new Mask(lesion.grid(), part), half);
    }

    private static double atBorder(float[] v, Mask lesion, double bright, double others) {
        Size size = lesion.grid().size();
        byte[] once = with(lesion.voxels(), besides(lesion.voxels(), size));
        byte[] twice = besides(once, size);
        double[] outside = new double[v.length];
        int n = 0;
        for (int i = 0; i < v.length; i++)
            if (twice[i] != 0 && once[i] == 0 && Float.isFinite(v[i])) outside[n++] = v[i];
        double half = (bright + others) / 2;
        if (n == 0) return half;
        double beyond = quantile(Arrays.copyOf(outside, n), 0.5);
        return Math.min(half, (bright + beyond) / 2);
    }

    private static byte[] with(byte[] one, byte[] other) {
        byte[] both = one.clone();
        for (int i = 0; i < both.length; i++) both[i] |= other[i];
        return both;
    }

    // What shares a face with one of these.
    private static byte[] besides(byte[] these, Size size) {
        int w = size.x();
        int slice = w * size.y();
        byte[] found = new byte[these.length];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < w; x++, i++) {
                    int any = 0;
                    if (x > 0) any |= these[i - 1];
                    if (x < w - 1) any |= these[i + 1];
                    if (y > 0) any |= these[i - w];
                    if (y < size.y() - 1) any |= these[i + w];
                    if (z > 0) any |= these[i - slice];
                    if (z < size.z() - 1) any |= these[i + slice];
                    found[i] = (byte) any;
                }
        return found;
    }

    Mask mask() {
        return part;
    }

    /** Half-way between the part and the rest; the limit itself where there is no such way. */
    double half() {
        return half;
    }

    /** Share of the lesion's voxels. */
    double share() {
        return (double) part.count() / lesion.count();
    }

    /** Number of pieces, joined by faces or edges, of at least this volume. */
    int pieces(double leastVolumeMm3) {
        if (pieces.isEmpty()) return 0;
        int count = 0;
        for (int k = 1; k <= pieces.get().count(); k++)
            if (pieces.get().voxels(k) * part.grid().voxelVolume() >= leastVolumeMm3) count++;
        return count;
    }

    /** Voxels of the largest piece over all bright voxels; NaN if there is none. */
    double largestShare() {
        return pieces.isEmpty() ? Double.NaN : (double) pieces.get().largest().count() / part.count();
    }

    private static void keepLarge(byte[] seeds, Mask lesion, double leastVolumeMm3) {
        ConnectedComponents.Components found =
                ConnectedComponents.label(new Mask(lesion.grid(), seeds.clone()), Neighbourhood.EDGES);
        int[] label = found.labels();
        for (int i = 0; i < seeds.length; i++)
            if (label[i] > 0 && found.voxels(label[i]) * lesion.grid().voxelVolume() < leastVolumeMm3) seeds[i] = 0;
    }

    // Seeds and what shares a face or an edge with one.
    private static byte[] touched(Mask seed) {
        Size size = seed.grid().size();
        byte[] s = seed.voxels();
        byte[] near = new byte[s.length];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) if (s[i] != 0) mark(near, size, x, y, z);
        return near;
    }

    private static void mark(byte[] near, Size size, int x, int y, int z) {
        for (int dz = -1; dz <= 1; dz++)
            for (int dy = -1; dy <= 1; dy++)
                for (int dx = -1; dx <= 1; dx++) {
                    boolean corner = dx != 0 && dy != 0 && dz != 0;
                    int i = x + dx;
                    int j = y + dy;
                    int k = z + dz;
                    if (corner || i < 0 || j < 0 || k < 0 || i >= size.x() || j >= size.y() || k >= size.z()) continue;
                    near[(k * size.y() + j) * size.x() + i] = 1;
                }
    }

    private static double[] values(float[] v, byte[] of, byte[] choice, byte wanted) {
        double[] values = new double[v.length];
        int n = 0;
        for (int i = 0; i < v.length; i++) if (of[i] != 0 && choice[i] == wanted) values[n++] = v[i];
        return Arrays.copyOf(values, n);
    }

    private static double quantile(double[] values, double share) {
        Arrays.sort(values);
        return Percentile.of(values, share);
    }
}
