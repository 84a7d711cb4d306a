// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;
import org.thymeleaf.context.Context;

/** A page of sections with text, tables and figures, in the report's look: self-contained, no script, no network. */
public final class Page {
    private Page() {}

    /** @param notices what must be known before any number is read, beside the caution that every page has */
    public record Content(String title, String software, List<String> notices, List<Section> sections) {
        public Content {
            notices = List.copyOf(notices);
            sections = List.copyOf(sections);
        }
    }

    public record Section(String heading, List<String> paragraphs, List<Table> tables, List<Figure> figures) {
        public Section {
            paragraphs = List.copyOf(paragraphs);
            tables = List.copyOf(tables);
            figures = List.copyOf(figures);
        }
    }

    public record Table(List<String> columns, List<List<String>> rows) {
        public Table {
            columns = List.copyOf(columns);
            rows = rows.stream().map(List::copyOf).toList();
        }
    }

    public static void write(Path file, Content content) throws IOException {
        Context context = new Context(Locale.ROOT);
        context.setVariable("content", content);
        HtmlReport.write(file, "page", context);
    }

    /** Four digits for the eye. */
    public static String digits(double value) {
        return HtmlReport.digits(value);
    }

    public static String text(Measurement value) {
        return value.number().isPresent() ? digits(value.number().getAsDouble()) : "–";
    }

    public static String text(Measurement value, Optional<Interval> interval) {
        return text(value)
                + interval.map(i -> " (" + digits(i.low()) + " to " + digits(i.high()) + ")")
                        .orElse("");
    }
}
