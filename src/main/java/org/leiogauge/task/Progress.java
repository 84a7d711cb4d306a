// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.concurrent.CancellationException;

/**
 * How far long work is, told to whoever waits for it, who may ask it to stop.
 *
 * <p>Any thread may call it; call it once per slice or iteration, never per voxel.
 */
@FunctionalInterface
public interface Progress {
    /** For who does not ask. */
    Progress NONE = fraction -> {};

    /**
     * @param fraction the share of the work that is done, 0 to 1
     * @throws CancellationException if the user asked to stop
     */
    void at(double fraction);

    /**
     * Hands a share of the work to a callee: its 0 to 1 become {@code from} to {@code to} here.
     *
     * @param from 0 to 1
     * @param to {@code from} to 1
     */
    default Progress part(double from, double to) {
        return this == NONE ? NONE : fraction -> at(from + fraction * (to - from));
    }
}
