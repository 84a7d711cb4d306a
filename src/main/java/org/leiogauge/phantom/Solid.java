// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Vector;

/** An ellipsoid of one tissue, turned about the x axis of the patient. */
final class Solid {
    private final double cx;
    private final double cy;
    private final double cz;
    private final double[] m = new double[9];
    private final byte tissue;

    Solid(Tissue tissue, double cx, double cy, double cz, double a, double b, double c, double tiltDegrees) {
        this.tissue = (byte) tissue.ordinal();
        this.cx = cx;
        this.cy = cy;
        this.cz = cz;
        double cos = StrictMath.cos(StrictMath.toRadians(tiltDegrees));
        double sin = StrictMath.sin(StrictMath.toRadians(tiltDegrees));
        m[0] = 1 / a;
        m[4] = cos / b;
        m[5] = sin / b;
        m[7] = -sin / c;
        m[8] = cos / c;
    }

    byte tissue() {
        return tissue;
    }

    boolean has(double x, double y, double z) {
        double dx = x - cx;
        double dy = y - cy;
        double dz = z - cz;
        double u = m[0] * dx;
        double v = m[4] * dy + m[5] * dz;
        double w = m[7] * dy + m[8] * dz;
        return u * u + v * v + w * w <= 1;
    }

    /** Paints the part of a row of places start + i · step that lies inside. */
    void paint(double[] start, Vector step, byte[] row, int count) {
        double dx = start[0] - cx;
        double dy = start[1] - cy;
        double dz = start[2] - cz;
        double u = m[0] * dx;
        double v = m[4] * dy + m[5] * dz;
        double w = m[7] * dy + m[8] * dz;
        double su = m[0] * step.x();
        double sv = m[4] * step.y() + m[5] * step.z();
        double sw = m[7] * step.y() + m[8] * step.z();
        double a = su * su + sv * sv + sw * sw;
        double b = u * su + v * sv + w * sw;
        double root = b * b - a * (u * u + v * v + w * w - 1);
        if (root < 0) return;
        double r = Math.sqrt(root);
        int from = (int) Math.ceil(Math.max((-b - r) / a, 0));
        int to = (int) Math.floor(Math.min((-b + r) / a, count - 1.0));
        for (int i = from; i <= to; i++) row[i] = tissue;
    }
}
