// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.EncapsulatedPdf;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.dicom.Uid;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;

/** A small document, of an odd number of bytes. */
final class Pdf {
    static final byte[] EMPTY_PAGE = """
            %PDF-1.4
            1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj
            2 0 obj <</Type/Pages/Kids[3 0 R]/Count 1>> endobj
            3 0 obj <</Type/Page/Parent 2 0 R/MediaBox[0 0 100 100]>> endobj
            trailer <</Root 1 0 R>>
            %%EOF
            """.getBytes(StandardCharsets.US_ASCII);

    private Pdf() {}

    static void write(Path file, byte[] pdf) throws IOException {
        DataSet header = new DataSet()
                .put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192")
                .put(Tag.STUDY_INSTANCE_UID, Uid.of("study"))
                .put(Tag.SERIES_INSTANCE_UID, Uid.of("series"))
                .put(Tag.PATIENT_NAME, "Nobody");
        Grid grid = new Grid(new Size(1, 1, 1), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0));
        DrawnOn on = new DrawnOn(header, grid, java.util.List.of(Uid.of("image"))).withoutIdentity("case 1");
        DicomWriter.write(
                file, EncapsulatedPdf.of(on, pdf, "Lesion report", "test"), TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }
}
