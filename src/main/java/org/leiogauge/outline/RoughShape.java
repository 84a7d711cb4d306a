// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;

/** Rough regions from one gesture: a click with a diameter, or an ellipse on one slice. */
public final class RoughShape {
    private RoughShape() {}

    /**
     * A ball.
     *
     * @param centre where the reader clicked; in the grid
     */
    public static Mask ball(Grid grid, Point centre, double diameterMm) {
        if (!grid.contains(centre)) throw new IllegalArgumentException("centre must lie in the grid, got " + centre);
        return ReferenceRegion.ball(grid, centre, diameterMm / 2);
    }

    /**
     * An ellipsoid: the ellipse on its slice, with the mean of both semi-axes across slices.
     *
     * @param centre in the grid
     * @param semiXMm the ellipse's half length along the direction that lies {@code turnDegrees} from the grid's x axis
     * @param semiYMm across it, in the slice
     * @param turnDegrees from x towards y
     */
    public static Mask ellipse(Grid grid, Point centre, double semiXMm, double semiYMm, double turnDegrees) {
        if (!grid.contains(centre)) throw new IllegalArgumentException("centre must lie in the grid, got " + centre);
        if (!(semiXMm > 0 && semiXMm < 1e6 && semiYMm > 0 && semiYMm < 1e6))
            throw new IllegalArgumentException("semi-axes must be above 0 mm, got " + semiXMm + ", " + semiYMm);
        Size size = grid.size();
        Index at = grid.index(centre);
        double c = Math.cos(Math.toRadians(turnDegrees));
        double s = Math.sin(Math.toRadians(turnDegrees));
        double semiZ = (semiXMm + semiYMm) / 2;
        byte[] voxels = new byte[size.voxels()];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) {
                    double dx = (x - at.x()) * grid.spacing().x();
                    double dy = (y - at.y()) * grid.spacing().y();
                    double along = (c * dx + s * dy) / semiXMm;
                    double across = (c * dy - s * dx) / semiYMm;
                    double up = (z - at.z()) * grid.spacing().z() / semiZ;
                    if (along * along + across * across + up * up <= 1) voxels[i] = 1;
                }
        return new Mask(grid, voxels);
    }
}
