// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/**
 * The directions, in patient space, in which the index grows along x, y and z: three unit vectors at right angles. They
 * may be left-handed.
 */
public record DirectionCosines(Vector x, Vector y, Vector z) {
    /** Rows to the left, columns to the back, slices to the head. */
    public static final DirectionCosines AXIAL =
            new DirectionCosines(new Vector(1, 0, 0), new Vector(0, 1, 0), new Vector(0, 0, 1));

    private static final double TOLERANCE = 1e-3;

    public DirectionCosines {
        if (!(areSquare(x, y) && areSquare(y, z) && areSquare(z, x)))
            throw new IllegalArgumentException(
                    "direction cosines must be at right angles, got " + x + ", " + y + ", " + z);
        if (!(isUnit(x) && isUnit(y) && isUnit(z)))
            throw new IllegalArgumentException("direction cosines must have length 1, got " + x + ", " + y + ", " + z);
    }

    /** Of a stack whose slices follow each other along the slice normal x × y. */
    public static DirectionCosines of(Vector x, Vector y) {
        return new DirectionCosines(x, y, x.cross(y));
    }

    private static boolean isUnit(Vector v) {
        return Math.abs(v.length() - 1) < TOLERANCE;
    }

    private static boolean areSquare(Vector a, Vector b) {
        return Math.abs(a.dot(b)) < TOLERANCE;
    }
}
