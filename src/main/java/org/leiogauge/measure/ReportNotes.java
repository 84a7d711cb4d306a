// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.List;
import java.util.Optional;
import org.leiogauge.report.Figure;
import org.leiogauge.report.ReportContent;
import org.leiogauge.report.ReportContent.Group;
import org.leiogauge.report.ReportContent.SeriesLine;
import org.leiogauge.study.ProtocolCheck.Shortfall;

/**
 * What a report says besides tables, settings and pictures; kept as {@code report.yaml} beside them, so that the report can be
 * written again.
 *
 * @param outline who drew it and when
 * @param draws how often each value was measured again for its interval
 * @param figures the pictures by the groups in which they are shown
 */
record ReportNotes(
        String software,
        Optional<String> outline,
        int draws,
        List<SeriesLine> series,
        List<Shortfall> protocol,
        List<String> decisions,
        List<String> notices,
        List<Pictured> figures) {
    static final String FILE = "report.yaml";

    ReportNotes {
        series = orNone(series);
        protocol = orNone(protocol);
        decisions = orNone(decisions);
        notices = orNone(notices);
        figures = orNone(figures);
        if (draws < 0) throw new IllegalArgumentException("draws must be 0 or more, got " + draws);
    }

    /** A group of pictures. */
    record Pictured(String heading, String words, List<Named> figures) {
        Pictured {
            figures = orNone(figures);
        }
    }

    /** A picture: its file's name without ending, and what it shows. */
    record Named(String name, String caption) {
        Named {
            // a name from a file must not lead out of the folder
            if (name == null || !name.matches("[a-z0-9][a-z0-9-]*"))
                throw new IllegalArgumentException("name must be of a-z, 0-9 and -, got " + name);
        }
    }

    static ReportNotes of(ReportContent content) {
        return new ReportNotes(
                content.software(),
                content.outline(),
                content.draws(),
                content.series(),
                content.protocol(),
                content.decisions(),
                content.notices(),
                content.figures().stream().map(ReportNotes::pictured).toList());
    }

    private static Pictured pictured(Group group) {
        return new Pictured(
                group.heading(),
                group.words(),
                group.figures().stream()
                        .map((Figure figure) -> new Named(figure.name(), figure.caption()))
                        .toList());
    }

    private static <T> List<T> orNone(List<T> list) {
        return list == null ? List.of() : List.copyOf(list);
    }
}
