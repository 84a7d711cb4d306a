// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;

/**
 * The discrete Fourier transform of many lines of one length at once; the lines lie side by side, so that the inner loop
 * runs along memory.
 *
 * <p>X(k) = Σ x(n) exp(−2πi k n / N), along the first axis of an array of N × lines. Lengths are products of 2, 3 and 5.
 * Cost: N log N per line.
 *
 * <p>Source: Stockham's self-sorting form, in Van Loan 1992, Computational Frameworks for the Fast Fourier Transform.
 */
public final class BatchFft {
    private final int length;
    private final int[] radices;
    private final double[] cos;
    private final double[] sin;

    /** @param length a product of 2, 3 and 5 */
    public BatchFft(int length) {
        this.length = length;
        this.radices = factor(length);
        cos = new double[length];
        sin = new double[length];
        for (int k = 0; k < length; k++) {
            cos[k] = StrictMath.cos(2 * Math.PI * k / length);
            sin[k] = -StrictMath.sin(2 * Math.PI * k / length);
        }
    }

    /** The smallest product of 4 and of 2, 3 and 5 that is at least twice this. */
    public static int lengthForTwice(int filled) {
        return lengthFrom(2 * filled);
    }

    /** The smallest product of 4 and of 2, 3 and 5 that is at least this. */
    public static int lengthFrom(int filled) {
        for (int n = 4 * ((filled + 3) / 4); ; n += 4) if (isLength(n)) return n;
    }

    /** Whether lines of this length can be transformed. */
    public static boolean isLength(int length) {
        int rest = length;
        for (int p : new int[] {2, 3, 5}) while (rest % p == 0) rest /= p;
        return rest == 1;
    }

    public int length() {
        return length;
    }

    private static int[] factor(int length) {
        int[] radices = new int[32];
        int count = 0;
        int rest = length;
        for (int p : new int[] {4, 2, 3, 5})
            while (rest % p == 0) {
                radices[count++] = p;
                rest /= p;
            }
        return Arrays.copyOf(radices, count);
    }

    /** Two arrays that are transformed in place, with two of the same size to work in. */
    public static final class Field {
        public double[] re;
        public double[] im;
        private double[] workRe;
        private double[] workIm;

        public Field(int size) {
            re = new double[size];
            im = new double[size];
            workRe = new double[size];
            workIm = new double[size];
        }

        /** Puts the mirror image of the lines' values behind them, so that they are even, with zeros between. */
        void mirror(int filled, int length, int lines) {
            Arrays.fill(re, filled * lines, length * lines, 0);
            Arrays.fill(im, filled * lines, length * lines, 0);
            for (int k = 1; k < filled; k++) {
                System.arraycopy(re, k * lines, re, (length - k) * lines, lines);
                System.arraycopy(im, k * lines, im, (length - k) * lines, lines);
            }
        }

        private void swap() {
            double[] oldRe = re;
            double[] oldIm = im;
            re = workRe;
            im = workIm;
            workRe = oldRe;
            workIm = oldIm;
        }
    }

    /**
     * Transforms the lines at the start of the field, of which the first half at most is filled; what stands behind is
     * not looked at. The length is a multiple of 4.
     *
     * @param filled the number of values in each line
     */
    void transformHalf(Field f, int lines, int filled) {
        if (length % 4 != 0 || 2 * filled > length)
            throw new IllegalArgumentException("filled must be at most half of " + length + ", got " + filled);
        Arrays.fill(f.re, filled * lines, length / 2 * lines, 0);
        Arrays.fill(f.im, filled * lines, length / 2 * lines, 0);
        int m = length / 4;
        for (int q = 0; q < m; q++) halfOfFour(f, q * lines, m * lines, 4 * q * lines, lines, q);
        f.swap();
        transform(f, m, 4 * lines, 1);
    }

    /** Transforms the lines at the start of the field. */
    public void transform(Field f, int lines) {
        transform(f, length, lines, 0);
    }

    private void transform(Field f, int from, int fromStride, int passed) {
        int n = from;
        int stride = fromStride;
        for (int k = passed; k < radices.length; k++) {
            int radix = radices[k];
            int m = n / radix;
            int step = length / n;
            for (int q = 0; q < m; q++) pass(f, radix, q, m, stride, step);
            f.swap();
            n = m;
            stride *= radix;
        }
    }

    private void pass(Field f, int radix, int q, int m, int stride, int step) {
        int from = q * stride;
        int to = q * radix * stride;
        if (radix == 4) four(f, from, m * stride, to, stride, q * step);
        else if (radix == 2) two(f, from, m * stride, to, stride, q * step);
        else if (radix == 3) three(f, from, m * stride, to, stride, q * step);
        else five(f, from, m * stride, to, stride, q * step);
    }

    private void two(Field f, int from, int apart, int to, int n, int turn) {
        double[] xr = f.re;
        double[] xi = f.im;
        double[] yr = f.workRe;
        double[] yi = f.workIm;
        double c = cos[turn];
        double s = sin[turn];
        for (int r = 0; r < n; r++) {
            double ar = xr[from + r];
            double ai = xi[from + r];
            double br = xr[from + apart + r];
            double bi = xi[from + apart + r];
            yr[to + r] = ar + br;
            yi[to + r] = ai + bi;
            yr[to + n + r] = (ar - br) * c - (ai - bi) * s;
            yi[to + n + r] = (ar - br) * s + (ai - bi) * c;
        }
    }

    private void three(Field f, int from, int apart, int to, int n, int turn) {
        double[] xr = f.re;
        double[] xi = f.im;
        double[] yr = f.workRe;
        double[] yi = f.workIm;
        double c1 = cos[turn];
        double s1 = sin[turn];
        double c2 = cos[2 * turn % length];
        double s2 = sin[2 * turn % length];
        double h = Math.sqrt(3) / 2;
        for (int r = 0; r < n; r++) {
            double ar = xr[from + r];
            double ai = xi[from + r];
            double sr = xr[from + apart + r] + xr[from + 2 * apart + r];
            double si = xi[from + apart + r] + xi[from + 2 * apart + r];
            double dr = h * (xr[from + apart + r] - xr[from + 2 * apart + r]);
            double di = h * (xi[from + apart + r] - xi[from + 2 * apart + r]);
            yr[to + r] = ar + sr;
            yi[to + r] = ai + si;
            double br = ar - 0.5 * sr + di;
            double bi = ai - 0.5 * si - dr;
            double er = ar - 0.5 * sr - di;
            double ei = ai - 0.5 * si + dr;
            yr[to + n + r] = br * c1 - bi * s1;
            yi[to + n + r] = br * s1 + bi * c1;
            yr[to + 2 * n + r] = er * c2 - ei * s2;
            yi[to + 2 * n + r] = er * s2 + ei * c2;
        }
    }

    // With c₁, c₂, s₁, s₂ the cosines and sines of 2π/5 and 4π/5, pairs of values that lie alike to both sides share
    // them.
    private void five(Field f, int from, int apart, int to, int n, int turn) {
        double[] xr = f.re;
        double[] xi = f.im;
        double[] yr = f.workRe;
        double[] yi = f.workIm;
        double c1 = (Math.sqrt(5) - 1) / 4;
        double c2 = -(Math.sqrt(5) + 1) / 4;
        double s1 = Math.sqrt((5 + Math.sqrt(5)) / 8);
        double s2 = Math.sqrt((5 - Math.sqrt(5)) / 8);
        for (int r = 0; r < n; r++) {
            double ar = xr[from + r];
            double ai = xi[from + r];
            double pr = xr[from + apart + r] + xr[from + 4 * apart + r];
            double pi = xi[from + apart + r] + xi[from + 4 * apart + r];
            double qr = xr[from + 2 * apart + r] + xr[from + 3 * apart + r];
            double qi = xi[from + 2 * apart + r] + xi[from + 3 * apart + r];
            double ur = xr[from + apart + r] - xr[from + 4 * apart + r];
            double ui = xi[from + apart + r] - xi[from + 4 * apart + r];
            double vr = xr[from + 2 * apart + r] - xr[from + 3 * apart + r];
            double vi = xi[from + 2 * apart + r] - xi[from + 3 * apart + r];
            double br = ar + c1 * pr + c2 * qr;
            double bi = ai + c1 * pi + c2 * qi;
            double dr = s1 * ur + s2 * vr;
            double di = s1 * ui + s2 * vi;
            double er = ar + c2 * pr + c1 * qr;
            double ei = ai + c2 * pi + c1 * qi;
            double fr = s2 * ur - s1 * vr;
            double fi = s2 * ui - s1 * vi;
            yr[to + r] = ar + pr + qr;
            yi[to + r] = ai + pi + qi;
            put(yr, yi, to + n + r, br + di, bi - dr, turn);
            put(yr, yi, to + 2 * n + r, er + fi, ei - fr, 2 * turn % length);
            put(yr, yi, to + 3 * n + r, er - fi, ei + fr, 3 * turn % length);
            put(yr, yi, to + 4 * n + r, br - di, bi + dr, 4 * turn % length);
        }
    }

    private void put(double[] yr, double[] yi, int at, double re, double im, int turn) {
        yr[at] = re * cos[turn] - im * sin[turn];
        yi[at] = re * sin[turn] + im * cos[turn];
    }

    // As four, where the third and the fourth value are 0.
    private void halfOfFour(Field f, int from, int apart, int to, int n, int turn) {
        double[] xr = f.re;
        double[] xi = f.im;
        double[] yr = f.workRe;
        double[] yi = f.workIm;
        double c1 = cos[turn];
        double s1 = sin[turn];
        double c2 = cos[2 * turn % length];
        double s2 = sin[2 * turn % length];
        double c3 = cos[3 * turn % length];
        double s3 = sin[3 * turn % length];
        for (int r = 0; r < n; r++) {
            double pr = xr[from + r];
            double pi = xi[from + r];
            double ur = xr[from + apart + r];
            double ui = xi[from + apart + r];
            yr[to + r] = pr + ur;
            yi[to + r] = pi + ui;
            yr[to + n + r] = (pr + ui) * c1 - (pi - ur) * s1;
            yi[to + n + r] = (pr + ui) * s1 + (pi - ur) * c1;
            yr[to + 2 * n + r] = (pr - ur) * c2 - (pi - ui) * s2;
            yi[to + 2 * n + r] = (pr - ur) * s2 + (pi - ui) * c2;
            yr[to + 3 * n + r] = (pr - ui) * c3 - (pi + ur) * s3;
            yi[to + 3 * n + r] = (pr - ui) * s3 + (pi + ur) * c3;
        }
    }

    private void four(Field f, int from, int apart, int to, int n, int turn) {
        double[] xr = f.re;
        double[] xi = f.im;
        double[] yr = f.workRe;
        double[] yi = f.workIm;
        double c1 = cos[turn];
        double s1 = sin[turn];
        double c2 = cos[2 * turn % length];
        double s2 = sin[2 * turn % length];
        double c3 = cos[3 * turn % length];
        double s3 = sin[3 * turn % length];
        for (int r = 0; r < n; r++) {
            double pr = xr[from + r] + xr[from + 2 * apart + r];
            double pi = xi[from + r] + xi[from + 2 * apart + r];
            double qr = xr[from + r] - xr[from + 2 * apart + r];
            double qi = xi[from + r] - xi[from + 2 * apart + r];
            double ur = xr[from + apart + r] + xr[from + 3 * apart + r];
            double ui = xi[from + apart + r] + xi[from + 3 * apart + r];
            double vr = xr[from + apart + r] - xr[from + 3 * apart + r];
            double vi = xi[from + apart + r] - xi[from + 3 * apart + r];
            yr[to + r] = pr + ur;
            yi[to + r] = pi + ui;
            yr[to + n + r] = (qr + vi) * c1 - (qi - vr) * s1;
            yi[to + n + r] = (qr + vi) * s1 + (qi - vr) * c1;
            yr[to + 2 * n + r] = (pr - ur) * c2 - (pi - ui) * s2;
            yi[to + 2 * n + r] = (pr - ur) * s2 + (pi - ui) * c2;
            yr[to + 3 * n + r] = (qr - vi) * c3 - (qi + vr) * s3;
            yi[to + 3 * n + r] = (qr - vi) * s3 + (qi + vr) * c3;
        }
    }
}
