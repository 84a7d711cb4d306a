// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.Optional;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;

/**
 * A figure worked out from counts.
 *
 * @param value the figure, or why the counts do not give it
 * @param interval its 95 % interval, where there is one
 */
public record Estimate(Measurement value, Optional<Interval> interval) {}
