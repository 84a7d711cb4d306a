// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** A direction or a difference of two points in patient space, LPS, in mm; finite. */
public record Vector(double x, double y, double z) {
    public Vector {
        if (!(Double.isFinite(x) && Double.isFinite(y) && Double.isFinite(z)))
            throw new IllegalArgumentException("vector must be finite, got " + x + ", " + y + ", " + z);
    }

    public Vector plus(Vector other) {
        return new Vector(x + other.x, y + other.y, z + other.z);
    }

    public Vector times(double factor) {
        return new Vector(x * factor, y * factor, z * factor);
    }

    public double dot(Vector other) {
        return x * other.x + y * other.y + z * other.z;
    }

    public Vector cross(Vector other) {
        return new Vector(y * other.z - z * other.y, z * other.x - x * other.z, x * other.y - y * other.x);
    }

    public double length() {
        return Math.sqrt(dot(this));
    }

    /** The vector of length 1 in the same direction; not for the vector of length 0. */
    public Vector unit() {
        return times(1 / length());
    }

    /**
     * The patient's side that it mainly points to: L, R, A (front), P (back), H or F.
     *
     * <p>Source: DICOM PS3.3 C.7.6.1.1.1, Patient Orientation.
     */
    public String patientSide() {
        double alongX = Math.abs(x);
        double alongY = Math.abs(y);
        double alongZ = Math.abs(z);
        if (alongX >= alongY && alongX >= alongZ) return x > 0 ? "L" : "R";
        if (alongY >= alongZ) return y > 0 ? "P" : "A";
        return z > 0 ? "H" : "F";
    }
}
