// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.OptionalDouble;
import org.leiogauge.image.Volume;

/**
 * One volume of a series.
 *
 * @param bValue in s/mm², where the series has it
 * @param seconds after injection, or after the first time point where no injection is stated
 */
public record Frame(Volume volume, OptionalDouble bValue, OptionalDouble seconds) {
    static Frame of(Volume volume) {
        return new Frame(volume, OptionalDouble.empty(), OptionalDouble.empty());
    }
}
