// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.OutsideTool;

class EncapsulatedPdfTest {
    @TempDir
    Path folder;

    // Oracle: pydicom, for documents of an even and an odd number of bytes; the length says where padding begins.
    @Test
    void theDocumentComesBackAsItWas() throws Exception {
        OutsideTool.assumePydicom();
        for (int cut = 0; cut < 2; cut++) {
            byte[] pdf = Arrays.copyOf(Pdf.EMPTY_PAGE, Pdf.EMPTY_PAGE.length - cut);
            Path file = folder.resolve(cut + ".dcm");
            Pdf.write(file, pdf);
            assertThat(OutsideTool.python("""
                    import sys, pydicom
                    d = pydicom.dcmread(sys.argv[1])
                    print(d.SOPClassUID.name, d.MIMETypeOfEncapsulatedDocument, d.Modality)
                    print(d.EncapsulatedDocument[:d.EncapsulatedDocumentLength].hex())
                    """, file))
                    .containsExactly(
                            "Encapsulated PDF Storage application/pdf DOC",
                            HexFormat.of().formatHex(pdf));
        }
    }

    // Oracle: dciodvfy of Debian's dicom3tools.
    @Test
    void dciodvfyFindsNoError() throws Exception {
        OutsideTool.assumePresent("dciodvfy");
        Path file = folder.resolve("x.dcm");
        Pdf.write(file, Pdf.EMPTY_PAGE);
        assertThat(OutsideTool.run("sh", "-c", "dciodvfy \"$0\" 2>&1; true", file.toString()))
                .noneMatch(line -> line.startsWith("Error"));
    }

    @Test
    void whatIsNoPdfIsRefused() {
        assertThatIllegalArgumentException()
                .isThrownBy(() -> Pdf.write(folder.resolve("x.dcm"), new byte[] {1, 2, 3}))
                .withMessage("pdf must begin with %PDF-, got 3 bytes");
    }
}
