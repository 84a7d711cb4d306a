// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.stream.IntStream;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/**
 * Mean of an image over a region, without the tissue outside that voxels at its border hold.
 *
 * <p>(Σ S − Σ (1 − c) O) / Σ c over all voxels with c above 0: S the image; c the share of a voxel that lies in the region, from
 * 4 × 4 × 4 places in it at which the mask, linear between voxel centres, is ½ or more; O what lies outside near by, the mean
 * of the voxels with c = 0 in the slice, weighted by a Gaussian of 1.5 voxels about the voxel, or S itself where there is
 * none within 5. No voxel counts more than it holds of the region, so a thin rim keeps its weight. Voxels without a value
 * are left out; NaN if none is left. Unit: the image's.
 *
 * <p>Source: voxels as mixtures of two tissues whose shares are known: Müller-Gärtner et al. 1992, Measurement of
 * radiotracer concentration in brain gray matter using positron emission tomography, doi:10.1038/jcbfm.1992.81; weights of
 * what lies outside: ours.
 */
final class UnmixedMean {
    private static final int PLACES = 4;
    private static final int REACH = 5;
    private static final double SIGMA = 1.5;
    private static final double[] WEIGHTS = weights();
    // nine bits
    private static final int FULL = 511;
    private static final byte[][][] COUNTS = counts();

    private final Size size;
    private final float[] cover;
    // of the voxels that lie partly in the region
    private final int[] mixed;

    private UnmixedMean(Size size, float[] cover) {
        this.size = size;
        this.cover = cover;
        mixed = IntStream.range(0, cover.length)
                .filter(i -> cover[i] > 0 && cover[i] < 1)
                .toArray();
    }

    static UnmixedMean over(Mask region) {
        Size size = region.grid().size();
        float[] cover = new float[size.voxels()];
        // farther away nothing of a voxel lies in the region
        region.boundingBox().map(box -> box.grow(1, 1, 1).clip(size)).ifPresent(box -> {
            for (int z = box.minZ(); z <= box.maxZ(); z++)
                for (int y = box.minY(); y <= box.maxY(); y++) row(region, box, y, z, cover);
        });
        return new UnmixedMean(size, cover);
    }

    // A voxel's neighbourhood is its own column and those left and right of it, nine voxels each.
    private static void row(Mask region, Box box, int y, int z, float[] cover) {
        int at = region.grid().offset(box.minX(), y, z);
        int left = column(region, box.minX() - 1, y, z);
        int middle = column(region, box.minX(), y, z);
        for (int x = box.minX(); x <= box.maxX(); x++) {
            int right = column(region, x + 1, y, z);
            cover[at++] = left == middle && middle == right && (middle == 0 || middle == FULL)
                    ? middle / FULL
                    : cover(left, middle, right);
            left = middle;
            middle = right;
        }
    }

    // Bit 3k + j stands for row y + j - 1 of slice z + k - 1. Beyond the grid lies what lies at its edge.
    private static int column(Mask region, int x, int y, int z) {
        Size size = region.grid().size();
        int inX = within(x, size.x());
        int bits = 0;
        for (int k = 0; k < 3; k++)
            for (int j = 0; j < 3; j++)
                if (region.has(inX, within(y + j - 1, size.y()), within(z + k - 1, size.z()))) bits |= 1 << 3 * k + j;
        return bits;
    }

    private static float cover(int left, int middle, int right) {
        int count = 0;
        for (int quarter = 0; quarter < 4; quarter++) {
            int ofMiddle = corners(middle, quarter);
            count += COUNTS[quarter][0][corners(left, quarter) << 4 | ofMiddle]
                    + COUNTS[quarter][1][ofMiddle << 4 | corners(right, quarter)];
        }
        return (float) count / (PLACES * PLACES * PLACES);
    }

    // Those four of a column that lie about a quarter of the voxel: lower or upper row, lower or upper slice.
    private static int corners(int column, int quarter) {
        int from = column >> quarter % 2 + 3 * (quarter / 2);
        return from & 3 | (from >> 1 & 12);
    }

    private static int within(int i, int size) {
        return Math.max(0, Math.min(size - 1, i));
    }

    // How many places of an eighth of a voxel lie in the region, by the eight voxel centres about it.
    private static byte[][][] counts() {
        byte[][][] counts = new byte[4][2][256];
        for (int quarter = 0; quarter < 4; quarter++)
            for (int side = 0; side < 2; side++)
                for (int corners = 0; corners < 256; corners++) {
                    int half = PLACES / 2;
                    for (int n = 0; n < half * half * half; n++) {
                        double a = place(n % half, side);
                        double b = place(n / half % half, quarter % 2);
                        double c = place(n / half / half, quarter / 2);
                        if (at(corners, a, b, c) >= 0.5 - 1e-9) counts[quarter][side][corners]++;
                    }
                }
        return counts;
    }

    // From the lower of the two voxel centres about it, in voxels.
    private static double place(int i, int side) {
        return (i + 0.5) / PLACES + (side == 0 ? 0.5 : 0);
    }

    // Bits 0 to 3: the upper column, its lower and upper row of the lower slice, then of the upper; 4 to 7: the lower.
    private static double at(int corners, double a, double b, double c) {
        double sum = 0;
        for (int n = 0; n < 8; n++)
            if ((corners >> n & 1) != 0)
                sum += (n < 4 ? a : 1 - a) * (n % 2 == 0 ? 1 - b : b) * (n / 2 % 2 == 0 ? 1 - c : c);
        return sum;
    }

    double of(Volume image) {
        return of(image, image);
    }

    /** @param valued where it has no value, the image's is left out, too */
    double of(Volume image, Volume valued) {
        float[] v = image.voxels();
        float[] use = valued.voxels();
        double sum = 0;
        double all = 0;
        for (int i = 0; i < v.length; i++) {
            if (cover[i] == 0 || !Float.isFinite(use[i])) continue;
            sum += v[i];
            all += cover[i];
        }
        for (int i : mixed) if (Float.isFinite(use[i])) sum -= (1 - cover[i]) * outside(v, use, i);
        return sum / all;
    }

    private double outside(float[] v, float[] use, int at) {
        int x = at % size.x();
        int y = at / size.x() % size.y();
        int slice = at - x - y * size.x();
        double sum = 0;
        double all = 0;
        for (int j = Math.max(0, y - REACH); j <= Math.min(size.y() - 1, y + REACH); j++)
            for (int i = Math.max(0, x - REACH); i <= Math.min(size.x() - 1, x + REACH); i++) {
                int other = slice + j * size.x() + i;
                if (cover[other] > 0 || !Float.isFinite(use[other])) continue;
                double w = WEIGHTS[(j - y + REACH) * (2 * REACH + 1) + i - x + REACH];
                sum += w * v[other];
                all += w;
            }
        return all > 0 ? sum / all : v[at];
    }

    // Of what lies in the slice about a voxel, row by row.
    private static double[] weights() {
        double[] weights = new double[(2 * REACH + 1) * (2 * REACH + 1)];
        int n = 0;
        for (int j = -REACH; j <= REACH; j++)
            for (int i = -REACH; i <= REACH; i++) weights[n++] = Math.exp(-(i * i + j * j) / (2 * SIGMA * SIGMA));
        return weights;
    }
}
