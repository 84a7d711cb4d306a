// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * The border of a region on each slice as closed lines along the faces of its voxels, so that filling them gives the region
 * back voxel for voxel.
 *
 * <p>Each line has the region on the same side; corners of straight runs alone are kept. Voxels that touch at a corner only
 * are gone round one by one. Cost: linear in voxels and border.
 *
 * <p>Source: common practice, no source.
 */
public final class MaskContours {
    // Right, down, left, up, in voxels; the region lies to the right hand of the walker on a grid whose y points down.
    private static final int[] DX = {1, 0, -1, 0};
    private static final int[] DY = {0, 1, 0, -1};

    private final Grid grid;
    private final byte[] slice;
    private final int width;
    private final int height;

    private MaskContours(Mask mask, int z) {
        Size size = mask.grid().size();
        grid = mask.grid();
        width = size.x();
        height = size.y();
        slice = Arrays.copyOfRange(mask.voxels(), z * width * height, (z + 1) * width * height);
    }

    /** Slice by slice, in patient space. */
    public static List<Contour> of(Mask mask) {
        List<Contour> contours = new ArrayList<>();
        for (int z = 0; z < mask.grid().size().z(); z++) new MaskContours(mask, z).trace(z, contours);
        return contours;
    }

    private boolean has(int x, int y) {
        return x >= 0 && y >= 0 && x < width && y < height && slice[y * width + x] != 0;
    }

    // A line begins at the upper face of a voxel that has none above it.
    private void trace(int z, List<Contour> contours) {
        boolean[] walked = new boolean[width * height];
        for (int y = 0; y < height; y++)
            for (int x = 0; x < width; x++)
                if (has(x, y) && !has(x, y - 1) && !walked[y * width + x])
                    contours.add(new Contour(walk(x, y, z, walked)));
    }

    // Corner (x, y) is the upper left one of voxel (x, y).
    private List<Point> walk(int startX, int startY, int z, boolean[] walked) {
        List<Point> points = new ArrayList<>();
        int x = startX;
        int y = startY;
        int heading = 0;
        do {
            if (heading == 0) walked[y * width + x] = true;
            x += DX[heading];
            y += DY[heading];
            int next = turn(x, y, heading);
            if (next != heading) points.add(grid.point(x - 0.5, y - 0.5, z));
            heading = next;
        } while (x != startX || y != startY || heading != 0);
        return points;
    }

    // Ahead on the left and on the right of the corner that has been reached.
    private int turn(int x, int y, int heading) {
        boolean right = ahead(x, y, heading, true);
        boolean left = ahead(x, y, heading, false);
        if (!right) return (heading + 1) % 4;
        return left ? (heading + 3) % 4 : heading;
    }

    private boolean ahead(int x, int y, int heading, boolean right) {
        return switch (heading) {
            case 0 -> has(x, right ? y : y - 1);
            case 1 -> has(right ? x - 1 : x, y);
            case 2 -> has(x - 1, right ? y - 1 : y);
            default -> has(right ? x : x - 1, y - 1);
        };
    }
}
