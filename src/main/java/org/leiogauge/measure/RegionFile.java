// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import org.leiogauge.dicom.Code;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomFolder;
import org.leiogauge.dicom.DicomSeries;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.SegmentationObject;
import org.leiogauge.dicom.StructureSetObject;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.Series;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** A region written as a NIfTI mask, a DICOM segmentation or an RT structure set. */
public final class RegionFile {
    private static final double SAME_PLACE_MM = 0.01;

    private RegionFile() {}

    /** What is written. */
    public enum Form {
        NIFTI,
        SEG,
        RTSTRUCT;

        /** As the file's name says: {@code .nii}, {@code .nii.gz}, else a segmentation. */
        public static Form of(Path file) {
            return NiftiReader.isNamedSo(file) ? NIFTI : SEG;
        }
    }

    /**
     * Writes the region.
     *
     * @param study the study's folder, of which DICOM objects repeat patient and study
     * @param series on whose grid the region lies
     * @param name what the region is called in the file
     * @throws InputException if a DICOM object is asked for and the series is none of DICOM images
     */
    public static void write(Path file, Form form, Mask mask, Path study, Series series, String name, Workers workers)
            throws InputException, IOException {
        if (form == Form.NIFTI) {
            NiftiWriter.write(file, mask);
            return;
        }
        if (mask.isEmpty()) throw new InputException(file, "", "an empty region", "a region of one voxel or more");
        DrawnOn on = drawnOn(study, series, mask, form, workers);
        String id = "refined " + name;
        DataSet set = form == Form.SEG
                ? SegmentationObject.of(
                        on,
                        List.of(new SegmentationObject.Segment(name, Code.ABNORMAL_STRUCTURE, Code.MASS, mask)),
                        name,
                        id)
                : StructureSetObject.of(
                        on, name, List.of(new StructureSetObject.Region(name, MaskContours.of(mask))), id);
        DicomWriter.write(file, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    private static DrawnOn drawnOn(Path study, Series series, Mask mask, Form form, Workers workers)
            throws InputException {
        String asked = form.name().toLowerCase(Locale.ROOT);
        if (!series.sopInstances().isEmpty())
            for (DicomSeries found : DicomFolder.scan(study, workers, Progress.NONE))
                if (found.uid().equals(series.id()))
                    for (DicomSeries.Stack stack :
                            found.read(workers, Progress.NONE).stacks())
                        if (stack.volume().grid().coincides(mask.grid(), SAME_PLACE_MM)) return found.drawnOn(stack);
        throw new InputException(
                study, "form", asked + " for " + series.label() + ", which is no DICOM series", "--form nifti");
    }
}
