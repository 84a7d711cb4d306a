// SPDX-License-Identifier: Apache-2.0
/**
 * The reading window: look, draw, form an impression, then see the numbers.
 *
 * <p>Uses all packages but the other front ends; it computes nothing itself that a command could not. What is shown and drawn
 * lives in classes without a window ({@link org.leiogauge.desk.DeskModel} and its parts,
 * {@link org.leiogauge.desk.Drawing}), which the panes only paint. Long work runs off the event thread. The window is reached as
 * {@link org.leiogauge.measure.ReadingWindow} by {@code ServiceLoader}.
 */
package org.leiogauge.desk;
