// SPDX-License-Identifier: Apache-2.0
/**
 * How much each value moves when outline, alignment and image noise move a little.
 *
 * <p>Uses {@code outline}, {@code align}, {@code feature} and {@code lesion} beside the packages that all use. Main types:
 * {@link org.leiogauge.stability.OutlineDraws}, {@link org.leiogauge.stability.NoiseDraws},
 * {@link org.leiogauge.stability.Stability}. It says nothing of what a whole other scan or another protocol would give.
 */
package org.leiogauge.stability;
