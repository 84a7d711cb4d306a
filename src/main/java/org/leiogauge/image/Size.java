// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** Number of voxels along x, y and z; each at least 1, and together no more than an array can hold. */
public record Size(int x, int y, int z) {
    public Size {
        if (x < 1 || y < 1 || z < 1)
            throw new IllegalArgumentException("size must be 1 or more voxels, got " + x + " × " + y + " × " + z);
        // three factors of up to 2³¹ overflow a long: compare stepwise
        if ((long) x * y > Integer.MAX_VALUE - 8 || (long) x * y * z > Integer.MAX_VALUE - 8)
            throw new IllegalArgumentException(
                    "size must hold fewer than 2³¹ voxels, got " + x + " × " + y + " × " + z);
    }

    /** Number of voxels in all. */
    public int voxels() {
        return x * y * z;
    }

    @Override
    public String toString() {
        return x + " × " + y + " × " + z;
    }
}
