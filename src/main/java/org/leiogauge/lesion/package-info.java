/**
 * What the trade asks of a lesion: size and margin, T2 signal, blood products, enhancement, diffusion.
 *
 * <p>Main types: {@link org.leiogauge.lesion.LesionDefinitions}, {@link org.leiogauge.lesion.LesionShape}. It opens no
 * file; what it cannot measure it says, with the reason.
 */
package org.leiogauge.lesion;
