// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * The neighbourhood of a rough border: which voxels are still open, what the others are, and the images there.
 *
 * <p>Distances count half across slices: on thick slices a drawn border is known to half a slice only.
 */
final class Band {
    private static final double ACROSS = 0.5;
    // Of the depth of the deepest voxel: something of what was drawn stays settled.
    private static final double LEAST_CORE = 0.75;

    final Box box;
    final Grid grid;
    /** Images, each scaled to a spread of 1; NaN where there is no value. */
    final float[][] channels;
    /** From the rough border in mm, negative inside. */
    final float[] distance;
    /** How far the border may move. */
    final double moveMm;
    /** Offsets of the open voxels, ascending. */
    final int[] open;
    /** Per voxel: its number among the open ones, or {@link #INSIDE} or {@link #OUTSIDE}. */
    final int[] place;

    static final int INSIDE = -1;
    static final int OUTSIDE = -2;

    private Band(Box box, Grid grid, float[][] channels, float[] distance, double moveMm, int[] open, int[] place) {
        this.moveMm = moveMm;
        this.box = box;
        this.grid = grid;
        this.channels = channels;
        this.distance = distance;
        this.open = open;
        this.place = place;
    }

    static Band around(Rough rough, double wishedMm, double contextMm, double smoothMm, Workers workers) {
        Box box = neighbourhood(rough.mask(), wishedMm + contextMm);
        Mask mask = rough.mask().crop(box);
        Grid grid = mask.grid();
        float[] distance = distance(mask, workers);
        double moveMm = Math.min(wishedMm, LEAST_CORE * deepest(distance));
        int[] place = new int[distance.length];
        byte[] add = rough.add().crop(box).voxels();
        byte[] remove = rough.remove().crop(box).voxels();
        int[] open = new int[place.length];
        int count = 0;
        for (int i = 0; i < place.length; i++) {
            if (remove[i] != 0) place[i] = OUTSIDE;
            else if (add[i] != 0) place[i] = INSIDE;
            else if (Math.abs(distance[i]) > moveMm) place[i] = distance[i] < 0 ? INSIDE : OUTSIDE;
            else {
                place[i] = count;
                open[count++] = i;
            }
        }
        List<float[]> channels = new ArrayList<>();
        for (Volume channel : rough.channels()) channels.add(scaled(channel.crop(box), smoothMm, workers));
        return new Band(
                box, grid, channels.toArray(float[][]::new), distance, moveMm, Arrays.copyOf(open, count), place);
    }

    /** Depth in mm of the deepest place; 0 if nothing is inside. */
    static double deepest(float[] distance) {
        double least = 0;
        for (float d : distance) least = Math.min(least, d);
        return -least;
    }

    private static Box neighbourhood(Mask mask, double reachMm) {
        Spacing spacing = mask.grid().spacing();
        return mask.boundingBox()
                .orElseThrow()
                .grow((int) Math.ceil(reachMm / spacing.x()), (int) Math.ceil(reachMm / spacing.y()), (int)
                        Math.ceil(reachMm / (spacing.z() * ACROSS)))
                .clip(mask.grid().size());
    }

    private static float[] distance(Mask mask, Workers workers) {
        Grid grid = mask.grid();
        Spacing s = grid.spacing();
        Spacing flat = new Spacing(s.x(), s.y(), s.z() * ACROSS);
        return toBorder(new Mask(new Grid(grid.size(), flat, grid.direction(), grid.origin()), mask.voxels()), workers);
    }

    /** From the border half-way between a region's voxels and their neighbours, in mm, negative inside. */
    static float[] toBorder(Mask mask, Workers workers) {
        Spacing s = mask.grid().spacing();
        float[] distance = DistanceTransform.signed(mask, workers).voxels();
        float half = (float) (0.5 * Math.min(s.x(), s.y()));
        for (int i = 0; i < distance.length; i++) distance[i] += distance[i] > 0 ? -half : half;
        return distance;
    }

    // Half the distance between the 16th and the 84th percentile is a standard deviation if the values are normal.
    // A Gaussian alone would draw the half-way line between both sides inwards wherever the border is convex.
    private static float[] scaled(Volume channel, double smoothMm, Workers workers) {
        Volume smooth = GaussianSmoothing.smoothKeepingBends(
                channel, new GaussianSmoothing.Settings(smoothMm, smoothMm, smoothMm, 3), 2, workers);
        float[] v = smooth.voxels();
        float[] some = new float[v.length / 7 + 1];
        int n = 0;
        for (int i = 0; i < v.length; i += 7) if (Float.isFinite(v[i])) some[n++] = v[i];
        if (n == 0) return v;
        Arrays.sort(some, 0, n);
        float spread = (some[(int) (0.84 * (n - 1))] - some[(int) (0.16 * (n - 1))]) / 2;
        if (!(spread > 0)) spread = 1;
        float[] scaled = new float[v.length];
        for (int i = 0; i < v.length; i++) scaled[i] = Float.isFinite(v[i]) ? v[i] / spread : Float.NaN;
        return scaled;
    }

    /** Whether every channel has a value there. */
    boolean isSeen(int offset) {
        for (float[] channel : channels) if (Float.isNaN(channel[offset])) return false;
        return true;
    }

    /** Copies the channels' values; whether each has one. */
    boolean values(int offset, float[] to) {
        for (int c = 0; c < to.length; c++) to[c] = channels[c][offset];
        return isSeen(offset);
    }

    /** 1 for what belongs to the region for sure, 0 for what does not, and the given values for what is open. */
    float[] whole(float[] ofOpen) {
        float[] all = new float[place.length];
        for (int i = 0; i < all.length; i++) all[i] = place[i] >= 0 ? ofOpen[place[i]] : place[i] == INSIDE ? 1 : 0;
        return all;
    }

    /** What is settled as inside, and what is open and at least as likely inside as outside. */
    byte[] inside(float[] ofOpen) {
        byte[] inside = new byte[place.length];
        for (int i = 0; i < inside.length; i++)
            inside[i] = (byte) (place[i] == INSIDE || place[i] >= 0 && ofOpen[place[i]] >= 0.5f ? 1 : 0);
        return inside;
    }

    /** The drawn region, with the corrections. */
    byte[] drawn() {
        byte[] drawn = new byte[place.length];
        for (int i = 0; i < drawn.length; i++)
            drawn[i] = (byte) (place[i] == INSIDE || place[i] >= 0 && distance[i] <= 0 ? 1 : 0);
        return drawn;
    }

    /** The drawn region on its own grid, with the corrections. */
    Mask corrected(Mask whole) {
        return onto(whole, drawn());
    }

    /** A region of the band in place of what another has there. */
    Mask onto(Mask whole, byte[] inside) {
        byte[] voxels = whole.voxels().clone();
        rows((from, to, length) -> System.arraycopy(inside, from, voxels, to, length), whole.grid());
        return new Mask(whole.grid(), voxels);
    }

    /** Probabilities on the whole grid; a voxel that was filled or dropped against them has one half at most or least. */
    Volume probability(Mask whole, float[] ofOpen, byte[] inside) {
        float[] here = whole(ofOpen);
        for (int i = 0; i < here.length; i++)
            here[i] = inside[i] != 0 ? Math.max(0.5f, here[i]) : Math.min(Math.nextDown(0.5f), here[i]);
        float[] all = new float[whole.voxels().length];
        rows((from, to, length) -> System.arraycopy(here, from, all, to, length), whole.grid());
        return new Volume(whole.grid(), all);
    }

    /** Copies one row. */
    @FunctionalInterface
    private interface Row {
        void copy(int from, int to, int length);
    }

    private void rows(Row row, Grid whole) {
        int width = grid.size().x();
        int from = 0;
        for (int z = box.minZ(); z <= box.maxZ(); z++)
            for (int y = box.minY(); y <= box.maxY(); y++, from += width)
                row.copy(from, whole.offset(box.minX(), y, z), width);
    }
}
