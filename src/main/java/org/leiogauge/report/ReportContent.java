// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.List;
import org.leiogauge.table.LesionRow;

/**
 * All that one lesion's report says.
 *
 * @param software name and version that measured
 * @param headline the few numbers that stand on top
 * @param figures pictures in the order they are shown
 * @param rows the whole feature table
 * @param series the study's series and what each was used for
 * @param decisions what the software decided for the reader, and why
 * @param notices what must be known before any number is read, as that the data are synthetic
 * @param usedSettings as YAML
 */
public record ReportContent(
        String caseName,
        String lesion,
        String software,
        List<LesionRow> headline,
        List<Figure> figures,
        List<LesionRow> rows,
        List<SeriesLine> series,
        List<String> decisions,
        List<String> notices,
        String usedSettings) {
    public ReportContent {
        headline = List.copyOf(headline);
        figures = List.copyOf(figures);
        rows = List.copyOf(rows);
        series = List.copyOf(series);
        decisions = List.copyOf(decisions);
        notices = List.copyOf(notices);
    }

    /** One series of the study: what it is, its role and why it has it. */
    public record SeriesLine(String series, String role, String reason) {}
}
