/**
 * Signals made comparable: bias field, noise, diffusion fit, enhancement maps.
 *
 * <p>Uses {@code task}, {@code image}, {@code table}, {@code outline}. Opens no file. Main types:
 * {@link org.leiogauge.signal.BiasField}, {@link org.leiogauge.signal.AdcFit}, {@link org.leiogauge.signal.Enhancement}.
 * It does not align: all volumes of one call lie on one grid.
 */
package org.leiogauge.signal;
