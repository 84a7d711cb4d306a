// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.awt.image.BufferedImage;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.FutureTask;
import java.util.concurrent.atomic.AtomicReference;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.report.Figure;
import org.leiogauge.report.PdfReport;
import org.leiogauge.report.Pictures;
import org.leiogauge.report.ReportContent;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement.NotMeasured;

/**
 * What the first report of a process would have to wait for, while its case is still measured: templates, style sheets, fonts
 * and the classes that write pages are loaded by a report in which nothing is measured, which goes nowhere.
 */
final class ReportPreparation {
    private static final AtomicReference<Thread> BEGUN = new AtomicReference<>();

    private ReportPreparation() {}

    /** Begins in a thread of its own, once per process; what fails here fails again, and is told, where a report is written. */
    static void begin(Standards standards) {
        Thread thread = new Thread(new FutureTask<>(() -> PdfReport.bytes(empty(standards))), "leiogauge-report");
        thread.setDaemon(true);
        if (BEGUN.compareAndSet(null, thread)) thread.start();
    }

    /** Waits for what was begun: a process that ends while a font is loaded leaves the font's temporary file behind. */
    static void end() {
        Thread thread = BEGUN.get();
        if (thread == null) return;
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    static ReportContent empty(Standards standards) {
        List<LesionRow> rows = LesionDefinitions.all().stream()
                .map(one -> new LesionRow(
                        "",
                        "",
                        "lesion",
                        "",
                        new FeatureValue(one, Aggregation.NONE, new NotMeasured("not yet")),
                        Optional.empty(),
                        ""))
                .toList();
        Appraisal appraisal = Appraisal.of(rows, standards, Optional.empty());
        Figure picture = new Figure("", "", uneven());
        return new ReportContent(
                "",
                "",
                Software.NAME,
                Optional.empty(),
                List.of(new ReportContent.Group("", "", List.of(picture))),
                Pictures.patterns(appraisal),
                rows,
                appraisal,
                List.of(),
                0,
                MethodErrorFile.shipped(),
                List.of(),
                List.of(),
                List.of(),
                "");
    }

    // An even picture would teach Java's compiler that all pictures are even.
    private static BufferedImage uneven() {
        BufferedImage picture = new BufferedImage(500, 500, BufferedImage.TYPE_INT_RGB);
        for (int y = 0; y < picture.getHeight(); y++)
            for (int x = 0; x < picture.getWidth(); x++) picture.setRGB(x, y, (x * x + 7 * y * y) * 0x010101);
        return picture;
    }
}
