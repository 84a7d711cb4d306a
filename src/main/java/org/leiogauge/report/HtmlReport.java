// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionRow.Status;
import org.leiogauge.task.WholeFile;
import org.thymeleaf.TemplateEngine;
import org.thymeleaf.context.Context;
import org.thymeleaf.templatemode.TemplateMode;
import org.thymeleaf.templateresolver.ClassLoaderTemplateResolver;

/** Writes a report as one HTML page that needs nothing else: pictures inside, no script, no network. */
public final class HtmlReport {
    static final TemplateEngine ENGINE = engine();
    private static final MathContext FOUR_DIGITS = new MathContext(4);

    private HtmlReport() {}

    public static void write(Path file, ReportContent content) throws IOException {
        Context context = new Context(Locale.ROOT);
        context.setVariable("content", content);
        context.setVariable(
                "signs",
                content.rows().stream()
                        .filter(HtmlReport::isSign)
                        .filter(HtmlReport::isMeasured)
                        .map(Line::new)
                        .toList());
        context.setVariable(
                "headline",
                content.headline().stream()
                        .filter(HtmlReport::isMeasured)
                        .map(Line::new)
                        .toList());
        context.setVariable("missing", missing(content.rows()));
        context.setVariable("standard", byGroup(content.rows()));
        WholeFile.write(file, out -> {
            Writer text = new OutputStreamWriter(out, StandardCharsets.UTF_8);
            ENGINE.process("report", context, text);
            text.flush();
        });
    }

    /** One value as the page shows it. */
    public record Line(
            String feature, String series, String detail, String value, String interval, String unit, String note) {
        Line(LesionRow row) {
            this(
                    row.value().definition().feature(),
                    row.series(),
                    row.value().aggregation().name(),
                    digits(row.value().measurement().number().orElse(Double.NaN)),
                    row.interval()
                            .map(i -> digits(i.low()) + " to " + digits(i.high()))
                            .orElse(""),
                    symbol(row.value().definition().unit()),
                    row.note());
        }
    }

    /** What could not be measured for one reason. */
    public record Missing(String reason, String features) {}

    private static boolean isSign(LesionRow row) {
        return row.value().definition().group().equals("lesion");
    }

    private static boolean isMeasured(LesionRow row) {
        return row.status() != Status.NOT_MEASURED;
    }

    private static List<Missing> missing(List<LesionRow> rows) {
        Map<String, List<String>> byReason = new LinkedHashMap<>();
        for (LesionRow row : rows)
            if (isSign(row) && !isMeasured(row))
                byReason.computeIfAbsent(row.note(), reason -> new ArrayList<>())
                        .add(row.value().definition().feature());
        return byReason.entrySet().stream()
                .map(e -> new Missing(e.getKey(), String.join(", ", e.getValue())))
                .toList();
    }

    private static Map<String, List<Line>> byGroup(List<LesionRow> rows) {
        Map<String, List<Line>> groups = new LinkedHashMap<>();
        for (LesionRow row : rows)
            if (!isSign(row))
                groups.computeIfAbsent(row.value().definition().group(), group -> new ArrayList<>())
                        .add(new Line(row));
        return groups;
    }

    // Four digits for the eye; the table has them all.
    static String digits(double value) {
        if (Double.isNaN(value)) return "–";
        BigDecimal rounded = new BigDecimal(value).round(FOUR_DIGITS);
        double size = Math.abs(value);
        return size != 0 && (size < 1e-3 || size >= 1e7)
                ? String.format(Locale.ROOT, "%.3e", value)
                : rounded.stripTrailingZeros().toPlainString();
    }

    private static String symbol(String ucum) {
        switch (ucum) {
            case "1":
                return "";
            case "mm2":
                return "mm²";
            case "mm3":
                return "mm³";
            case "10-3.mm2/s":
                return "10⁻³ mm²/s";
            default:
                return ucum;
        }
    }

    private static TemplateEngine engine() {
        ClassLoaderTemplateResolver resolver = new ClassLoaderTemplateResolver(HtmlReport.class.getClassLoader());
        resolver.setPrefix("org/leiogauge/report/");
        resolver.setSuffix(".html");
        resolver.setTemplateMode(TemplateMode.HTML);
        resolver.setCharacterEncoding("UTF-8");
        TemplateEngine engine = new TemplateEngine();
        engine.setTemplateResolver(resolver);
        return engine;
    }
}
