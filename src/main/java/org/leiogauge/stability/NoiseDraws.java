// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Seed;

/**
 * The same image as another scan of the same moment might have given it: normal noise of the image's own level on top.
 *
 * <p>S' = max(0, S + σ n), n normal with mean 0 and variance 1. The noise that the image already has stays in, so that a
 * draw is noisier than the image by √2; how far a value moves is what is asked, not where it then lies. Where the signal
 * is far above the noise floor the noise of a magnitude image is normal.
 *
 * <p>Source: Gudbjartsson and Patz 1995, The Rician distribution of noisy MRI data, doi:10.1002/mrm.1910340618.
 */
public final class NoiseDraws {
    private NoiseDraws() {}

    /**
     * @param sigma standard deviation of the noise, in the image's unit; 0 gives the image itself
     * @param number of the draw; images of one draw need seeds of their own
     * @param within where the noise is wanted; it is the same there as it would be everywhere
     */
    public static Volume draw(Volume image, double sigma, Seed seed, long number, Optional<Mask> within) {
        if (!(sigma >= 0 && sigma < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException("sigma must be finite and 0 or more, got " + sigma);
        if (sigma == 0) return image;
        SplittableRandom random = seed.draw(number);
        float[] from = image.voxels();
        float[] noisy = new float[from.length];
        for (int i = 0; i < noisy.length; i++) {
            if (within.isPresent() && within.get().voxels()[i] == 0) {
                Gaussian.skip(random);
                noisy[i] = from[i];
            } else noisy[i] = (float) Math.max(0, from[i] + sigma * Gaussian.next(random));
        }
        return new Volume(image.grid(), noisy);
    }
}
