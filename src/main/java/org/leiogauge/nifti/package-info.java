/**
 * NIfTI files to volumes and back: NIfTI-1 and NIfTI-2, one file or a pair, plain or gzip, either byte order.
 *
 * <p>Uses {@code task} and {@code image}. Main types: {@link org.leiogauge.nifti.NiftiReader},
 * {@link org.leiogauge.nifti.NiftiWriter}. Patient space in the file is RAS (+x right, +y front); here it is LPS, so x and
 * y change their sign. Extensions and intents are passed over. Complex and colour voxels are refused.
 *
 * <p>Source: R. W. Cox et al., NIfTI-1 and NIfTI-2 data formats (nifti1.h, nifti2.h), NIMH.
 */
package org.leiogauge.nifti;
