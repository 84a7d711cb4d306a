// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.report.ReportContent.Group;
import org.leiogauge.report.ReportContent.SeriesLine;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.study.ProtocolCheck.Shortfall;
import org.leiogauge.study.Role;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionRow.Status;

/** A report in the words that the page shows; the template only lays them out. Text from files is cut and cleaned here. */
public record ReportPage(
        String caseName,
        String lesion,
        String software,
        String outline,
        List<String> notices,
        PageSummary summary,
        List<Group> figures,
        List<SignGroup> signs,
        String interval,
        List<ValueLine> headline,
        List<Moved> moved,
        List<Missing> missing,
        AppraisalPage appraisal,
        Figure patterns,
        List<ProtocolLine> protocol,
        List<SeriesLine> series,
        List<String> decisions,
        Map<String, List<ValueLine>> standard,
        String usedSettings) {

    private static final List<String> HEADLINE = List.of(
            "volume",
            "longest diameter",
            "t2 signal ratio to myometrium",
            "t1 bright fraction",
            "non-enhancing fraction",
            "adc mean",
            "restricted fraction");
    // One value per degree: for the tables, not for the eye.
    private static final String SPECTRUM = "margin roughness spectrum";
    private static final int MOST_MOVED = 10;

    static ReportPage of(ReportContent content) {
        List<LesionRow> signs =
                content.rows().stream().filter(ReportPage::isSign).toList();
        List<Missing> missing = missing(signs);
        return new ReportPage(
                Shown.name(content.caseName()),
                Shown.name(content.lesion()),
                content.software(),
                content.outline().map(Shown::name).orElse(""),
                content.notices().stream().map(Shown::text).toList(),
                PageSummary.of(content, signs),
                content.figures(),
                groups(signs, content.errors()),
                interval(content),
                headline(signs, content.errors()),
                moved(signs, content.errors()),
                missing,
                AppraisalPage.of(content.appraisal()),
                content.patterns(),
                content.protocol().stream().map(ProtocolLine::of).toList(),
                content.series().stream()
                        .map(line -> new SeriesLine(
                                Shown.label(line.series()), Shown.label(line.role()), Shown.text(line.reason())))
                        .toList(),
                content.decisions().stream().map(Shown::text).toList(),
                standard(content.rows(), content.errors()),
                content.usedSettings());
    }

    /** Lesion-level values of one kind of image. */
    public record SignGroup(String heading, List<ValueLine> values) {}

    /** What could not be measured for one reason. */
    public record Missing(String reason, String features) {}

    /** How far a value moved, as a share of its own size. */
    public record Moved(ValueLine line, String share) {}

    /** What the protocol lacks. */
    public record ProtocolLine(String what, String costs, String source) {
        static ProtocolLine of(Shortfall shortfall) {
            return new ProtocolLine(
                    Shown.text(shortfall.what()), String.join(", ", shortfall.costs()), shortfall.source());
        }
    }

    static boolean isSign(LesionRow row) {
        return row.value().definition().group().equals("lesion");
    }

    static boolean isMeasured(LesionRow row) {
        return row.status() != Status.NOT_MEASURED;
    }

    private static String interval(ReportContent content) {
        if (content.draws() == 0)
            return "No intervals were asked for: the uncertainty was not estimated. Do not read the digits as precision.";
        return "Interval: how the value moved in " + content.draws()
                + " repeats in which outline, image noise and alignment were changed a little, together with the error of "
                + "the method, sized so that it held the truth of 95 % of invented lesions. Where the method's error is not "
                + "known, the interval is of the draws alone, marked so, and too narrow. It was not calibrated on patients "
                + "and does not cover other scanners or other readers. Where none is given, do not read the digits as precision.";
    }

    private static List<ValueLine> headline(List<LesionRow> signs, MethodErrors errors) {
        return HEADLINE.stream()
                .flatMap(name -> signs.stream()
                        .filter(row -> row.value().definition().feature().equals(name))
                        .filter(ReportPage::isMeasured)
                        .limit(1))
                .map(row -> ValueLine.of(row, errors))
                .toList();
    }

    private static List<SignGroup> groups(List<LesionRow> signs, MethodErrors errors) {
        Map<String, List<ValueLine>> groups = new LinkedHashMap<>();
        for (LesionRow row : signs)
            if (isMeasured(row) && !row.value().definition().feature().equals(SPECTRUM))
                groups.computeIfAbsent(heading(row.series()), key -> new ArrayList<>())
                        .add(ValueLine.of(row, errors));
        return groups.entrySet().stream()
                .map(e -> new SignGroup(e.getKey(), e.getValue()))
                .toList();
    }

    private static String heading(String series) {
        for (Role role : Role.values()) if (role.key().equals(series)) return capital(role.words());
        return series.isEmpty() ? "Size and shape" : series;
    }

    static String capital(String words) {
        int first = words.startsWith("adc ") || words.startsWith("dwi ") ? 3 : 1;
        return words.substring(0, first).toUpperCase(Locale.ROOT) + words.substring(first);
    }

    static List<Missing> missing(List<LesionRow> signs) {
        Map<String, List<String>> byReason = new LinkedHashMap<>();
        for (LesionRow row : signs) {
            if (isMeasured(row)) continue;
            String detail = row.value().aggregation().name();
            byReason.computeIfAbsent(row.note(), reason -> new ArrayList<>())
                    .add(row.value().definition().feature() + (detail.isEmpty() ? "" : " (" + detail + ")"));
        }
        return byReason.entrySet().stream()
                .map(e -> new Missing(Shown.text(e.getKey()), String.join(", ", e.getValue())))
                .toList();
    }

    private record Width(LesionRow row, double share) {}

    private static List<Moved> moved(List<LesionRow> signs, MethodErrors errors) {
        return signs.stream()
                .filter(row -> !row.value().definition().feature().equals(SPECTRUM))
                .flatMap(row -> share(row).map(share -> new Width(row, share)).stream())
                .sorted(Comparator.comparingDouble(Width::share).reversed())
                .limit(MOST_MOVED)
                .map(w -> new Moved(ValueLine.of(w.row(), errors), Math.round(100 * w.share()) + " %"))
                .toList();
    }

    // Of the value's own size; of the whole, for a share, which near 0 has no size to be compared with.
    private static Optional<Double> share(LesionRow row) {
        if (row.interval().isEmpty() || !isMeasured(row)) return Optional.empty();
        double low = row.interval().get().low();
        double high = row.interval().get().high();
        double value = Math.abs(row.value().measurement().number().orElseThrow());
        boolean isShare = row.value().definition().unit().equals("1") && low >= 0 && high <= 1;
        double size = isShare ? 1 : value;
        return size == 0 ? Optional.empty() : Optional.of((high - low) / size);
    }

    private static Map<String, List<ValueLine>> standard(List<LesionRow> rows, MethodErrors errors) {
        Map<String, List<ValueLine>> groups = new LinkedHashMap<>();
        for (LesionRow row : rows)
            if (!isSign(row))
                groups.computeIfAbsent(row.value().definition().group(), group -> new ArrayList<>())
                        .add(ValueLine.of(row, errors));
        return groups;
    }

    /** What holds for every appraisal. */
    public List<String> cautions() {
        return Appraisal.CAUTIONS;
    }
}
