// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.study.ProtocolCheck.Shortfall;
import org.leiogauge.table.LesionRow;

/**
 * All that one lesion's report says.
 *
 * @param software name and version that measured
 * @param outline who drew it and when; empty where nothing is said
 * @param figures pictures in the order they are shown
 * @param patterns the pattern chart as a picture
 * @param rows the whole feature table
 * @param protocol what the study lacks or has too coarse
 * @param draws how often each value was measured again for its interval
 * @param errors of the method, which the intervals hold where they are known
 * @param series the study's series and what each was used for
 * @param decisions what the software decided for the reader, and why
 * @param notices what must be known before any number is read, as that the data are synthetic
 * @param usedSettings as YAML
 */
public record ReportContent(
        String caseName,
        String lesion,
        String software,
        Optional<String> outline,
        List<Group> figures,
        Figure patterns,
        List<LesionRow> rows,
        Appraisal appraisal,
        List<Shortfall> protocol,
        int draws,
        MethodErrors errors,
        List<SeriesLine> series,
        List<String> decisions,
        List<String> notices,
        String usedSettings) {
    public ReportContent {
        figures = List.copyOf(figures);
        rows = List.copyOf(rows);
        protocol = List.copyOf(protocol);
        series = List.copyOf(series);
        decisions = List.copyOf(decisions);
        notices = List.copyOf(notices);
    }

    /** Pictures that belong together, and how they are to be read. */
    public record Group(String heading, String words, List<Figure> figures) {
        public Group {
            figures = List.copyOf(figures);
        }
    }

    /** One series of the study: what it is, its role and why it has it. */
    public record SeriesLine(String series, String role, String reason) {}

    /** All pictures, as they are put into files. */
    public List<Figure> pictures() {
        List<Figure> all = new ArrayList<>(
                figures.stream().flatMap(group -> group.figures().stream()).toList());
        all.add(patterns);
        return List.copyOf(all);
    }
}
