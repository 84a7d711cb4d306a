// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** Distance between neighbouring voxel centres along x, y and z, in mm; finite and greater than 0. */
public record Spacing(double x, double y, double z) {
    public Spacing {
        if (!(isLength(x) && isLength(y) && isLength(z)))
            throw new IllegalArgumentException("spacing must be finite and > 0 mm, got " + x + " × " + y + " × " + z);
    }

    private static boolean isLength(double length) {
        return length > 0 && length < Double.POSITIVE_INFINITY;
    }

    @Override
    public String toString() {
        return x + " × " + y + " × " + z + " mm";
    }
}
