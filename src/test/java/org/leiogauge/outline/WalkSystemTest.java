// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

class WalkSystemTest {
    // Oracle: the dense system of all voxels of a 9 × 8 × 6 grid, set up from the formula and solved by Commons Math.
    @Test
    void theSolutionIsThatOfTheDenseSystem() {
        Grid grid = Solids.grid(9, 8, 6, 0.75, 0.75, 2);
        Mask mask = Solids.mask(grid, Solids.ball(3, 3, 5, 2.6));
        Volume image = Solids.noise(grid, 10, 3, 4);
        Band band = Band.around(Rough.of(List.of(image), mask), 1.5, 0, 0, Workers.SINGLE);
        int n = band.open.length;
        assertThat(n).isGreaterThan(50);
        SplittableRandom random = new SplittableRandom(1);
        float[] own = new float[n];
        for (int j = 0; j < n; j++) own[j] = (float) random.nextDouble();
        float[] found = WalkSystem.of(band, 0.7, 0.1f, Workers.SINGLE).solve(own, own, Workers.SINGLE);
        RealVector dense = dense(band, 0.7, 0.1, own);
        // Tolerance: the residual that the solver stops at.
        for (int j = 0; j < n; j++) assertThat((double) found[j]).isCloseTo(dense.getEntry(j), within(1e-3));
    }

    private static RealVector dense(Band band, double beta, double trust, float[] own) {
        int n = own.length;
        double scale = scale(band);
        RealMatrix matrix = new Array2DRowRealMatrix(n, n);
        RealVector right = new ArrayRealVector(n);
        for (int j = 0; j < n; j++) {
            matrix.addToEntry(j, j, trust);
            right.addToEntry(j, trust * own[j]);
            for (int other = 0; other < band.place.length; other++) {
                double factor = neighbour(band.grid, band.open[j], other);
                if (factor == 0) continue;
                double d = band.channels[0][band.open[j]] - band.channels[0][other];
                double w = factor * (Math.exp(-beta * d * d / scale) + 1e-4);
                matrix.addToEntry(j, j, w);
                if (band.place[other] >= 0) matrix.addToEntry(j, band.place[other], -w);
                else if (band.place[other] == Band.INSIDE) right.addToEntry(j, w);
            }
        }
        return new LUDecomposition(matrix).getSolver().solve(right);
    }

    // (h₀ / h)² for voxels that share a face, else 0.
    private static double neighbour(Grid grid, int a, int b) {
        int x = grid.size().x();
        int y = grid.size().y();
        int dx = Math.abs(a % x - b % x);
        int dy = Math.abs(a / x % y - b / x % y);
        int dz = Math.abs(a / x / y - b / x / y);
        return dx + dy + dz != 1 ? 0 : dz == 1 ? (0.75 / 2) * (0.75 / 2) : 1;
    }

    private static double scale(Band band) {
        double sum = 0;
        int count = 0;
        for (int i = 0; i + 1 < band.place.length; i++) {
            if (band.place[i] < 0 || band.place[i + 1] < 0) continue;
            sum += Math.pow(band.channels[0][i + 1] - band.channels[0][i], 2);
            count++;
        }
        return sum / count;
    }
}
