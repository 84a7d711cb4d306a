// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.stream.IntStream;
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
        double[] near = new double[27];
        // farther away nothing of a voxel lies in the region
        region.boundingBox().map(box -> box.grow(1, 1, 1).clip(size)).ifPresent(box -> {
            for (int z = box.minZ(); z <= box.maxZ(); z++)
                for (int y = box.minY(); y <= box.maxY(); y++)
                    for (int x = box.minX(); x <= box.maxX(); x++)
                        cover[region.grid().offset(x, y, z)] = cover(region, x, y, z, near);
        });
        return new UnmixedMean(size, cover);
    }

    // Beyond the grid lies what lies at its edge.
    private static float cover(Mask region, int x, int y, int z, double[] near) {
        int inside = 0;
        for (int n = 0; n < 27; n++) {
            near[n] = region.has(
                            within(x + n % 3 - 1, region.grid().size().x()),
                            within(y + n / 3 % 3 - 1, region.grid().size().y()),
                            within(z + n / 9 - 1, region.grid().size().z()))
                    ? 1
                    : 0;
            inside += (int) near[n];
        }
        if (inside % 27 == 0) return inside / 27;
        int count = 0;
        for (int k = 0; k < PLACES; k++)
            for (int j = 0; j < PLACES; j++)
                for (int i = 0; i < PLACES; i++) if (at(near, place(i), place(j), place(k)) >= 0.5 - 1e-9) count++;
        return (float) count / (PLACES * PLACES * PLACES);
    }

    private static int within(int i, int size) {
        return Math.max(0, Math.min(size - 1, i));
    }

    // From the voxel's centre, in voxels.
    private static double place(int i) {
        return (i + 0.5) / PLACES - 0.5;
    }

    private static double at(double[] near, double x, double y, double z) {
        int i = x < 0 ? 0 : 1;
        int j = y < 0 ? 0 : 1;
        int k = z < 0 ? 0 : 1;
        double a = x + 1 - i;
        double b = y + 1 - j;
        double c = z + 1 - k;
        double sum = 0;
        for (int n = 0; n < 8; n++) {
            double w = (n % 2 == 0 ? 1 - a : a) * (n / 2 % 2 == 0 ? 1 - b : b) * (n / 4 == 0 ? 1 - c : c);
            sum += w * near[(k + n / 4) * 9 + (j + n / 2 % 2) * 3 + i + n % 2];
        }
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
