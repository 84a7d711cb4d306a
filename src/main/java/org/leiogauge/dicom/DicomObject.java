// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.file.Path;
import org.leiogauge.task.InputException;

/** What a DICOM file is, as far as an outline may come from it. */
public enum DicomObject {
    STRUCTURE_SET,
    SEGMENTATION,
    OTHER;

    /** @throws InputException if it is no DICOM file */
    public static DicomObject kind(Path file) throws IOException, InputException {
        if (!DicomReader.isDicom(file)) throw new InputException(file, "", "no DICOM file", "a DICOM file");
        String kind = DicomReader.readHeader(file).set().text(Tag.SOP_CLASS_UID).orElse("");
        if (kind.equals(Uid.RT_STRUCTURE_SET)) return STRUCTURE_SET;
        return kind.equals(Uid.SEGMENTATION) ? SEGMENTATION : OTHER;
    }
}
