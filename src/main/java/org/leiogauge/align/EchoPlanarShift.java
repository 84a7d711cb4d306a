// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Collections;
import java.util.List;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * How far echo-planar imaging displaces a place along its phase encoding: a polynomial of second order without its
 * constant, which a shift of the patient cannot be told from.
 *
 * <p>u(p) = Σ c_k φ_k((p − centre) / reach), in mm; φ = x, y, z, x², y², z², xy, yz, zx.
 *
 * <p>Source: displacement along the phase encoding alone: Jezzard and Balaban 1995, doi:10.1002/mrm.1910340111;
 * polynomial: common practice, no source.
 *
 * @param direction of the phase encoding, of length 1
 * @param reachMm distance from the centre at which each φ_k is at most 1
 * @param coefficients c, in mm: none, or one for each φ
 */
public record EchoPlanarShift(Vector direction, Point centre, double reachMm, List<Double> coefficients) {
    static final int TERMS = 9;

    public EchoPlanarShift {
        if (!(Math.abs(direction.length() - 1) < 1e-3))
            throw new IllegalArgumentException("direction must have length 1, got " + direction);
        if (!(reachMm > 0 && reachMm < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException("reachMm must be finite and > 0, got " + reachMm);
        coefficients = List.copyOf(coefficients);
        if (!(coefficients.isEmpty() || coefficients.size() == TERMS))
            throw new IllegalArgumentException(
                    "coefficients must be none or " + TERMS + ", got " + coefficients.size());
    }

    /** No displacement anywhere. */
    public static EchoPlanarShift none(Point centre) {
        return new EchoPlanarShift(new Vector(0, 1, 0), centre, 1, List.of());
    }

    /** A displacement of 0 that has all its terms. */
    static EchoPlanarShift flat(Vector direction, Point centre, double reachMm) {
        return new EchoPlanarShift(direction, centre, reachMm, Collections.nCopies(TERMS, 0.0));
    }

    /** In mm along the direction. */
    public double at(Point point) {
        if (coefficients.isEmpty()) return 0;
        double[] terms = new double[TERMS];
        Vector d = point.minus(centre);
        terms(d.x() / reachMm, d.y() / reachMm, d.z() / reachMm, terms, 0);
        double sum = 0;
        for (int k = 0; k < TERMS; k++) sum += coefficients.get(k) * terms[k];
        return sum;
    }

    /** No displacement between these points is larger, in mm: Σ |c_k| times the largest that a term can be there. */
    double largestAmong(List<Point> corners) {
        double farthest = 0;
        for (Point corner : corners) farthest = Math.max(farthest, corner.distance(centre) / reachMm);
        double sum = 0;
        for (double c : coefficients) sum += Math.abs(c);
        return sum * Math.max(farthest, farthest * farthest);
    }

    /** The same for many places, given as they lie from one of them, in mm. */
    Polynomial from(Point origin) {
        return new Polynomial(this, origin.minus(centre));
    }

    /** u at places that lie so many mm from an origin; 0 without coefficients. */
    static final class Polynomial {
        private final double[] c;
        private final double reachMm;
        private final double offsetX;
        private final double offsetY;
        private final double offsetZ;

        private Polynomial(EchoPlanarShift shift, Vector offset) {
            c = shift.coefficients.stream().mapToDouble(Double::doubleValue).toArray();
            reachMm = shift.reachMm;
            offsetX = offset.x();
            offsetY = offset.y();
            offsetZ = offset.z();
        }

        double at(double fromX, double fromY, double fromZ) {
            if (c.length == 0) return 0;
            double x = (fromX + offsetX) / reachMm;
            double y = (fromY + offsetY) / reachMm;
            double z = (fromZ + offsetZ) / reachMm;
            return c[0] * x
                    + c[1] * y
                    + c[2] * z
                    + c[3] * (x * x)
                    + c[4] * (y * y)
                    + c[5] * (z * z)
                    + c[6] * (x * y)
                    + c[7] * (y * z)
                    + c[8] * (z * x);
        }
    }

    static void terms(double x, double y, double z, double[] into, int from) {
        into[from] = x;
        into[from + 1] = y;
        into[from + 2] = z;
        into[from + 3] = x * x;
        into[from + 4] = y * y;
        into[from + 5] = z * z;
        into[from + 6] = x * y;
        into[from + 7] = y * z;
        into[from + 8] = z * x;
    }
}
