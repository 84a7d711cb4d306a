// SPDX-License-Identifier: Apache-2.0
/**
 * The convolutional filters of the published standard (Image Biomarker Standardisation Initiative, part 2): image in, response
 * map out.
 *
 * <p>Uses {@code feature} (its Fourier transform), {@code task} and {@code image}. Main type:
 * {@link org.leiogauge.feature.filter.Filter}, a closed choice of records, each in its own file beside its formula. First
 * letter or number along x, second along y, third along z of the voxels as they are stored. Lengths are in mm: a filter that
 * has one refuses voxels of unequal sides. It promises nothing for images with voxels without a value.
 *
 * <p>Source: Whybra et al., reference manual of part 2, arXiv:2006.05470.
 */
package org.leiogauge.feature.filter;
