// SPDX-License-Identifier: Apache-2.0
/**
 * A volume in patient space: voxels, the grid they lie on, masks, surfaces, resampling.
 *
 * <p>Uses {@code task}. Main types: {@link org.leiogauge.image.Grid}, {@link org.leiogauge.image.Volume},
 * {@link org.leiogauge.image.Mask}. An <em>index</em> counts voxels, x fastest; a <em>point</em> is in patient space,
 * in mm, +x to the patient's left, +y to the back, +z to the head (LPS, as in DICOM). Voxels are held as
 * {@code float}: whole numbers beyond 2²⁴ lose their last digits.
 */
package org.leiogauge.image;
