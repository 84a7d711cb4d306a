// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Arrays;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * Which share of each voxel of a row is which tissue, by 2 × 2 × 3 places per voxel (columns × rows × slices).
 *
 * <p>At a place, lesions go before all else, in their order, each with the share that its edge has there. Closer to a
 * lesion than {@link Lesion#COVER_MM} other tissue gives way to myometrium.
 */
final class Mixture {
    private static final int ACROSS = 2;
    private static final int DEEP = 3;

    private final Anatomy anatomy;
    private final Grid grid;
    private final Movement movement;
    private final int down;
    private final int columns;
    private final Vector step;
    private final Vector[] edges;
    private final byte[] tissues;
    private final float[] rest;
    private final float[][] shares;
    private final boolean[] present = new boolean[Tissue.count()];
    private final double[] look = new double[2];

    /** @param down places per voxel along y */
    Mixture(Anatomy anatomy, Grid grid, Movement movement, int down) {
        this.anatomy = anatomy;
        this.grid = grid;
        this.movement = movement;
        this.down = down;
        columns = grid.size().x();
        step = movement.back(grid.stepX().times(1.0 / ACROSS));
        edges = new Vector[] {movement.back(grid.stepX()), movement.back(grid.stepY()), movement.back(grid.stepZ())};
        tissues = new byte[columns * ACROSS];
        rest = new float[columns * ACROSS];
        shares = new float[Tissue.count()][columns];
    }

    /** Looks at row y of slice z. */
    void look(int y, int z) {
        for (int t = 0; t < shares.length; t++) if (present[t]) Arrays.fill(shares[t], 0);
        Arrays.fill(present, false);
        for (int k = 0; k < DEEP; k++)
            for (int j = 0; j < down; j++)
                add(start(0.5 / ACROSS - 0.5, y + (j + 0.5) / down - 0.5, z + (k + 0.5) / DEEP - 0.5));
    }

    boolean has(int tissue) {
        return present[tissue];
    }

    /** Share of each voxel of the row that is this tissue. */
    float[] shares(int tissue) {
        return shares[tissue];
    }

    /** Writes the field's mean over each voxel of the row. */
    void mean(RandomField field, int y, int z, double[] target) {
        field.row(start(0, y, z), edges[0], edges, target, columns);
    }

    private double[] start(double x, double y, double z) {
        Point p = movement.back(grid.point(x, y, z));
        return new double[] {p.x(), p.y(), p.z()};
    }

    private void add(double[] start) {
        anatomy.paint(start, step, tissues, tissues.length);
        Arrays.fill(rest, 1f / (ACROSS * down * DEEP));
        for (Lesion lesion : anatomy.lesions()) add(lesion, start);
        for (int i = 0; i < tissues.length; i++) put(tissues[i], i, rest[i]);
    }

    // The part of the row that comes within the lesion's reach.
    private void add(Lesion lesion, double[] start) {
        Point c = lesion.centre();
        double x = start[0] - c.x();
        double y = start[1] - c.y();
        double z = start[2] - c.z();
        double a = step.dot(step);
        double b = x * step.x() + y * step.y() + z * step.z();
        double root = b * b - a * (x * x + y * y + z * z - lesion.reach() * lesion.reach());
        if (root < 0) return;
        int from = (int) Math.ceil(Math.max((-b - Math.sqrt(root)) / a, 0));
        int to = (int) Math.floor(Math.min((-b + Math.sqrt(root)) / a, tissues.length - 1.0));
        for (int i = from; i <= to; i++) add(lesion, i, x + i * step.x(), y + i * step.y(), z + i * step.z());
    }

    private void add(Lesion lesion, int i, double x, double y, double z) {
        double depth = lesion.depth(x, y, z, look);
        double share = lesion.share(depth);
        if (share > 0) {
            put(lesion.tissueAt(x, y, z, look), i, (float) (share * rest[i]));
            rest[i] *= (float) (1 - share);
        }
        if (depth > -Lesion.COVER_MM && Anatomy.givesWay(tissues[i])) tissues[i] = (byte) Tissue.MYOMETRIUM.ordinal();
    }

    private void put(byte tissue, int i, float share) {
        if (share == 0) return;
        shares[tissue][i / ACROSS] += share;
        present[tissue] = true;
    }
}
