// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.util.Optional;
import org.leiogauge.task.InputException;

/**
 * What previews look at, kept from one to the next for as long as the inputs that it was read from stay the same.
 *
 * @param <K> those inputs
 */
final class Kept<K, V> {
    private Optional<Entry<K, V>> last = Optional.empty();

    private record Entry<K, V>(K inputs, V value) {}

    /** How it is read. */
    @FunctionalInterface
    interface Reading<V> {
        V read() throws InputException;
    }

    /** What these inputs give: read anew unless they are the last ones. */
    V of(K inputs, Reading<V> reading) throws InputException {
        if (last.filter(entry -> entry.inputs().equals(inputs)).isEmpty())
            last = Optional.of(new Entry<>(inputs, reading.read()));
        return last.orElseThrow().value();
    }
}
