// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.leiogauge.report.PdfReport;

class ReportPreparationTest {
    // A failure in the background is told by nobody.
    @Test
    void aReportInWhichNothingIsMeasuredCanBeWritten() throws Exception {
        byte[] pdf =
                PdfReport.bytes(ReportPreparation.empty(TableAppraisal.standards(Optional.empty(), Optional.empty())));
        assertThat(new String(pdf, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
    }
}
