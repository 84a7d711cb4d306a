// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Vector;

/** A rotation about the patient's x, then y, then z axis: its rows. */
record Rotation(Vector a, Vector b, Vector c) {
    static Rotation of(Vector degrees) {
        double cx = StrictMath.cos(StrictMath.toRadians(degrees.x()));
        double sx = StrictMath.sin(StrictMath.toRadians(degrees.x()));
        double cy = StrictMath.cos(StrictMath.toRadians(degrees.y()));
        double sy = StrictMath.sin(StrictMath.toRadians(degrees.y()));
        double cz = StrictMath.cos(StrictMath.toRadians(degrees.z()));
        double sz = StrictMath.sin(StrictMath.toRadians(degrees.z()));
        return new Rotation(
                new Vector(cz * cy, cz * sy * sx - sz * cx, cz * sy * cx + sz * sx),
                new Vector(sz * cy, sz * sy * sx + cz * cx, sz * sy * cx - cz * sx),
                new Vector(-sy, cy * sx, cy * cx));
    }

    Vector apply(Vector v) {
        return new Vector(a.dot(v), b.dot(v), c.dot(v));
    }

    Vector back(Vector v) {
        return a.times(v.x()).plus(b.times(v.y())).plus(c.times(v.z()));
    }
}
