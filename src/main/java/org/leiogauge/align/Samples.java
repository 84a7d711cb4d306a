// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * Places in a box of the fixed image and its grey levels there.
 *
 * <p>One place in each cell of a lattice over the box, at random in it: even cover, yet never in step with the voxels,
 * which would favour some shifts over others. Cells lie in blocks, {@link #EDGE} along each axis, that stand for
 * independent parts of the region.
 */
final class Samples {
    static final int EDGE = 4;
    static final int BLOCKS = EDGE * EDGE * EDGE;

    final Point centre;
    /** Places less the centre, in mm. */
    final double[] x;

    final double[] y;
    final double[] z;
    /** Grey level, 0 to bins - 1. */
    final byte[] bin;

    final byte[] block;

    private Samples(Point centre, int most) {
        this.centre = centre;
        this.x = new double[most];
        this.y = new double[most];
        this.z = new double[most];
        this.bin = new byte[most];
        this.block = new byte[most];
    }

    private Samples(Samples all, int count) {
        this.centre = all.centre;
        this.x = Arrays.copyOf(all.x, count);
        this.y = Arrays.copyOf(all.y, count);
        this.z = Arrays.copyOf(all.z, count);
        this.bin = Arrays.copyOf(all.bin, count);
        this.block = Arrays.copyOf(all.block, count);
    }

    int count() {
        return x.length;
    }

    /**
     * @param original tells where there is no value
     * @param smooth the values
     * @param box in the original's voxels
     */
    static Samples draw(
            Volume original, SplineImage smooth, Box box, Point centre, int wanted, int bins, SplittableRandom random) {
        Grid grid = original.grid();
        double[] first = {box.minX() - 0.5, box.minY() - 0.5, box.minZ() - 0.5};
        int[] voxels = {box.size().x(), box.size().y(), box.size().z()};
        double[] mm = {grid.spacing().x(), grid.spacing().y(), grid.spacing().z()};
        double edge = Math.cbrt(voxels[0] * mm[0] * voxels[1] * mm[1] * voxels[2] * mm[2] / wanted);
        int[] cells = new int[3];
        for (int a = 0; a < 3; a++) cells[a] = Math.max(1, (int) Math.round(voxels[a] * mm[a] / edge));
        Samples samples = new Samples(centre, cells[0] * cells[1] * cells[2]);
        float[] values = new float[samples.count()];
        double[] at = new double[3];
        double[] value = new double[4];
        int n = 0;
        for (int k = 0; k < cells[2]; k++)
            for (int j = 0; j < cells[1]; j++)
                for (int i = 0; i < cells[0]; i++) {
                    at[0] = first[0] + (i + random.nextDouble()) * voxels[0] / cells[0];
                    at[1] = first[1] + (j + random.nextDouble()) * voxels[1] / cells[1];
                    at[2] = first[2] + (k + random.nextDouble()) * voxels[2] / cells[2];
                    Point p = grid.point(at[0], at[1], at[2]);
                    if (isMissing(original, at) || !smooth.at(p, value)) continue;
                    Vector r = p.minus(centre);
                    samples.x[n] = r.x();
                    samples.y[n] = r.y();
                    samples.z[n] = r.z();
                    samples.block[n] =
                            (byte) ((k * EDGE / cells[2] * EDGE + j * EDGE / cells[1]) * EDGE + i * EDGE / cells[0]);
                    values[n++] = (float) value[0];
                }
        Samples drawn = new Samples(samples, n);
        drawn.bin(Arrays.copyOf(values, n), bins);
        return drawn;
    }

    private static boolean isMissing(Volume image, double[] at) {
        return Float.isNaN(
                image.at((int) Math.floor(at[0] + 0.5), (int) Math.floor(at[1] + 0.5), (int) Math.floor(at[2] + 0.5)));
    }

    private void bin(float[] values, int bins) {
        if (values.length == 0) return;
        GreyScale scale = GreyScale.of(values);
        for (int i = 0; i < values.length; i++)
            bin[i] = (byte) Math.min(bins - 1, (int) (scale.share(values[i]) * bins));
    }
}
