// SPDX-License-Identifier: Apache-2.0
/**
 * The features of the published standard (Image Biomarker Standardisation Initiative, part 1), of one image and mask.
 *
 * <p>Uses {@code task}, {@code image} and {@code table}. Main types: {@link org.leiogauge.feature.StandardFeatures}
 * measures, {@link org.leiogauge.feature.Settings} say how, {@link org.leiogauge.feature.PreparedRegion} is the state
 * between processing and measuring, {@link org.leiogauge.feature.Definitions} lists what there is. One file per family
 * holds name, code, unit and formula of each feature side by side. Lengths are in mm and intensities in the image's own
 * unit. {@code feature.filter} holds the standard's filters, which may stand between an image and its features; it uses this
 * package, and this one knows of filters only that there are {@link org.leiogauge.feature.ImageFilter}. It promises no meaning for intensities that are not comparable between images: normalise before.
 *
 * <p>Source: Zwanenburg et al., reference manual, arXiv:1612.07003.
 */
package org.leiogauge.feature;
