// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.Arrays;
import org.leiogauge.feature.BatchFft;

/**
 * The discrete Fourier transform of lines of any length.
 *
 * <p>Lengths with other prime factors than 2, 3 and 5 become a convolution of a length without:
 * X(k) = c(k) Σ x(n) c(n) c̄(k − n) with c(n) = exp(−πi n²/N).
 *
 * <p>Source: Bluestein 1970, IEEE Trans. Audio Electroacoustics 18:451, doi:10.1109/TAU.1970.1162132.
 */
final class LineTransform {
    private final int length;
    private final BatchFft fft;
    private final double[] cos;
    private final double[] sin;
    private final BatchFft.Field chirp;

    LineTransform(int length) {
        this.length = length;
        boolean isDirect = BatchFft.isLength(length);
        fft = new BatchFft(isDirect ? length : BatchFft.lengthForTwice(length));
        cos = new double[isDirect ? 0 : length];
        sin = new double[cos.length];
        for (int n = 0; n < cos.length; n++) {
            double turn = Math.PI * ((long) n * n % (2L * length)) / length;
            cos[n] = StrictMath.cos(turn);
            sin[n] = StrictMath.sin(turn);
        }
        chirp = new BatchFft.Field(isDirect ? 0 : fft.length());
        if (!isDirect) fillChirp();
    }

    private void fillChirp() {
        int m = fft.length();
        for (int n = 0; n < length; n++) {
            chirp.re[n] = cos[n];
            chirp.im[n] = sin[n];
            chirp.re[(m - n) % m] = cos[n];
            chirp.im[(m - n) % m] = sin[n];
        }
        fft.transform(chirp, 1);
    }

    int length() {
        return length;
    }

    /** How many values of each line the field must have room for. */
    int room() {
        return fft.length();
    }

    /** Transforms the lines at the start of the field; they lie side by side. */
    void transform(BatchFft.Field f, int lines) {
        if (cos.length == 0) {
            fft.transform(f, lines);
            return;
        }
        turn(f, lines, 1);
        Arrays.fill(f.re, length * lines, fft.length() * lines, 0);
        Arrays.fill(f.im, length * lines, fft.length() * lines, 0);
        fft.transform(f, lines);
        timesChirp(f, lines);
        // The transform of the complex conjugate is the inverse of the transform, conjugate and m times as large.
        fft.transform(f, lines);
        for (int i = 0; i < length * lines; i++) f.im[i] = -f.im[i];
        turn(f, lines, 1.0 / fft.length());
    }

    private void turn(BatchFft.Field f, int lines, double factor) {
        for (int n = 0; n < length; n++) {
            double c = factor * cos[n];
            double s = factor * sin[n];
            for (int i = n * lines; i < (n + 1) * lines; i++) {
                double re = f.re[i];
                f.re[i] = re * c + f.im[i] * s;
                f.im[i] = f.im[i] * c - re * s;
            }
        }
    }

    private void timesChirp(BatchFft.Field f, int lines) {
        for (int k = 0; k < fft.length(); k++) {
            double c = chirp.re[k];
            double s = chirp.im[k];
            for (int i = k * lines; i < (k + 1) * lines; i++) {
                double re = f.re[i];
                f.re[i] = re * c - f.im[i] * s;
                f.im[i] = -(re * s + f.im[i] * c);
            }
        }
    }
}
