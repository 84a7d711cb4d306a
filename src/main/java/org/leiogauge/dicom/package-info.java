/**
 * DICOM files to volumes, contours and masks, and back.
 *
 * <p>Uses {@code task} and {@code image}. Main types: {@link org.leiogauge.dicom.DataSet} with {@link
 * org.leiogauge.dicom.DicomReader} and {@link org.leiogauge.dicom.DicomWriter}; {@link org.leiogauge.dicom.DicomFolder} and
 * {@link org.leiogauge.dicom.DicomSeries} to read; {@link org.leiogauge.dicom.MrImages}, {@link
 * org.leiogauge.dicom.StructureSetObject} and {@link org.leiogauge.dicom.SegmentationObject} to write; {@link
 * org.leiogauge.dicom.PseudonymisedFolder} to copy without identity (PS3.15). Driven by PS3.3, PS3.5, PS3.6 and PS3.10 of
 * the standard; clause numbers stand beside the code. Files are taken to be hostile: lengths are checked against what is
 * left of the file before memory is asked for, nesting and numbers of elements have limits. Not promised: colour images,
 * JPEG-LS, 12-bit lossy JPEG, and attributes that no other package asks for.
 */
package org.leiogauge.dicom;
