// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.SplittableRandom;

/**
 * The seed of a seeded computation. Each draw has a generator of its own, so that draws may run in any order and on any
 * thread.
 */
public record Seed(long value) {
    /** The generator of one draw: depends on the seed and the draw's number alone. */
    public SplittableRandom draw(long number) {
        return new SplittableRandom(mix(mix(value) + number));
    }

    // Finaliser of SplitMix64: Steele, Lea and Flood 2014, doi:10.1145/2660193.2660195.
    private static long mix(long z) {
        z = (z ^ (z >>> 30)) * 0xbf58476d1ce4e5b9L;
        z = (z ^ (z >>> 27)) * 0x94d049bb133111ebL;
        return z ^ (z >>> 31);
    }
}
