// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.task.Seed;

/**
 * The texture of all tissues: three independent random fields in patient space, for rendering and truth alike.
 *
 * <p>Where the field's value is g, proton density, ADC or concentration is 1 + s · g times the tissue's own, not below 0,
 * with s the tissue's texture for it.
 */
record Textures(RandomField signal, RandomField adc, RandomField enhancement) {
    private static final int WAVES = 64;
    private static final long FIRST_DRAW = 10;

    static Textures of(PhantomSettings settings) {
        Seed seed = new Seed(settings.seed());
        double length = settings.textureMm();
        return new Textures(
                new RandomField(seed, FIRST_DRAW, WAVES, length),
                new RandomField(seed, FIRST_DRAW + 1, WAVES, length),
                new RandomField(seed, FIRST_DRAW + 2, WAVES, length));
    }

    /** How many times the tissue's own value it is, where the field has the value g. */
    static double share(double texture, double g) {
        return Math.max(0, 1 + texture * g);
    }
}
