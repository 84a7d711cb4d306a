// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * A movement of a rigid body in patient space: a turn about a centre, then a shift.
 *
 * <p>q = R (p − c) + c + t, points and t in mm.
 *
 * @param rotation R: where the turn takes the unit vectors along x, y and z; right-handed
 * @param centre c
 * @param shift t, in mm
 */
public record RigidTransform(DirectionCosines rotation, Point centre, Vector shift) {
    private static final Vector NONE = new Vector(0, 0, 0);

    public RigidTransform {
        if (rotation.x().cross(rotation.y()).dot(rotation.z()) < 0)
            throw new IllegalArgumentException("rotation must be right-handed, got " + rotation);
    }

    /** Leaves every point where it is. */
    public static RigidTransform identity(Point centre) {
        return new RigidTransform(DirectionCosines.AXIAL, centre, NONE);
    }

    /**
     * @param turnRadians along the axis of the turn, by the right-hand rule, as long as the angle
     * @param shift in mm
     */
    public static RigidTransform of(Vector turnRadians, Point centre, Vector shift) {
        DirectionCosines rotation = new DirectionCosines(
                turned(new Vector(1, 0, 0), turnRadians),
                turned(new Vector(0, 1, 0), turnRadians),
                turned(new Vector(0, 0, 1), turnRadians));
        return new RigidTransform(rotation, centre, shift);
    }

    // Rodrigues' formula; StrictMath: the same digits on every machine.
    private static Vector turned(Vector v, Vector turn) {
        double angle = turn.length();
        if (angle == 0) return v;
        Vector axis = turn.times(1 / angle);
        double c = StrictMath.cos(angle);
        return v.times(c).plus(axis.cross(v).times(StrictMath.sin(angle))).plus(axis.times(axis.dot(v) * (1 - c)));
    }

    public Point apply(Point point) {
        return centre.plus(apply(point.minus(centre))).plus(shift);
    }

    /** A direction or a difference of points: turned, not shifted. */
    public Vector apply(Vector v) {
        return rotation.x()
                .times(v.x())
                .plus(rotation.y().times(v.y()))
                .plus(rotation.z().times(v.z()));
    }

    /** The grid moved with its voxels: each voxel's centre is where this transform takes it. */
    public Grid apply(Grid grid) {
        DirectionCosines direction = new DirectionCosines(
                apply(grid.direction().x()),
                apply(grid.direction().y()),
                apply(grid.direction().z()));
        return new Grid(grid.size(), grid.spacing(), direction, apply(grid.origin()));
    }

    /** The transform that takes each point back. */
    public RigidTransform inverse() {
        DirectionCosines back = new DirectionCosines(
                new Vector(rotation.x().x(), rotation.y().x(), rotation.z().x()),
                new Vector(rotation.x().y(), rotation.y().y(), rotation.z().y()),
                new Vector(rotation.x().z(), rotation.y().z(), rotation.z().z()));
        RigidTransform turn = new RigidTransform(back, centre, NONE);
        return new RigidTransform(back, centre, turn.apply(shift).times(-1));
    }

    /** First the other transform, then this one. */
    public RigidTransform after(RigidTransform first) {
        DirectionCosines both =
                new DirectionCosines(apply(first.rotation.x()), apply(first.rotation.y()), apply(first.rotation.z()));
        Vector moved = apply(first.apply(first.centre)).minus(first.centre);
        return new RigidTransform(both, first.centre, moved);
    }

    /** Angle of the turn, in degrees, 0 to 180. */
    public double turnDegrees() {
        double trace = rotation.x().x() + rotation.y().y() + rotation.z().z();
        Vector axis = new Vector(
                rotation.y().z() - rotation.z().y(),
                rotation.z().x() - rotation.x().z(),
                rotation.x().y() - rotation.y().x());
        return Math.toDegrees(StrictMath.atan2(axis.length(), trace - 1));
    }
}
