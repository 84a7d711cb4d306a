// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.leiogauge.cohort.Agreement.OfFeature;
import org.leiogauge.report.ChartPicture;
import org.leiogauge.report.Figure;
import org.leiogauge.report.Page;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.WholeFolder;

/** Writes what {@link Agreement} found: table, figures and one page. */
public final class AgreementFolder {
    private static final List<String> COLUMNS =
            List.of("feature", "statistic", "unit", "lesions", "value", "low", "high", "note");
    private static final int MOST_FIGURES = 24;

    private AgreementFolder() {}

    /** The table's rows below its header. */
    public static CsvTable table(Agreement agreement) {
        List<List<String>> rows = new ArrayList<>();
        for (OfFeature feature : agreement.features())
            feature.statistics().forEach((name, estimate) -> rows.add(row(feature, name, estimate)));
        return new CsvTable(COLUMNS, rows);
    }

    private static List<String> row(OfFeature feature, String name, Estimate estimate) {
        return List.of(
                feature.key().column(),
                name,
                feature.unitOf(name),
                Integer.toString(feature.first().size()),
                estimate.value().text(),
                estimate.interval().map(i -> Double.toString(i.low())).orElse(""),
                estimate.interval().map(i -> Double.toString(i.high())).orElse(""),
                estimate.value().reason());
    }

    public static void write(Agreement agreement, String first, String second, String software, Path out)
            throws IOException {
        List<Figure> figures = figures(agreement);
        WholeFolder.<RuntimeException>write(out, folder -> {
            table(agreement).write(folder.resolve("agreement.csv"));
            Figure.write(folder.resolve("figures"), figures);
            Page.write(folder.resolve("agreement.html"), page(agreement, first, second, software, figures));
        });
    }

    // Lesion-level features first: they are what a reader asks for.
    private static List<Figure> figures(Agreement agreement) {
        List<OfFeature> wanted = agreement.features().stream()
                .sorted(Comparator.comparing(f -> f.key().column().contains("/lesion/") ? 0 : 1))
                .limit(MOST_FIGURES)
                .toList();
        List<Figure> figures = new ArrayList<>();
        for (int i = 0; i < wanted.size(); i++) figures.add(figure(wanted.get(i), i + 1));
        return figures;
    }

    private static Figure figure(OfFeature feature, int number) {
        int n = feature.first().size();
        double[] mean = new double[n];
        double[] difference = new double[n];
        for (int i = 0; i < n; i++) {
            mean[i] = (feature.first().get(i) + feature.second().get(i)) / 2;
            difference[i] = feature.first().get(i) - feature.second().get(i);
        }
        List<ChartPicture.Level> levels = List.of(
                level("upper limit", feature.limits().upper()),
                level("bias", feature.limits().bias()),
                level("lower limit", feature.limits().lower()));
        return new Figure(
                "difference-" + number,
                feature.key().column() + ": difference of first and second against their mean",
                ChartPicture.points(
                        mean,
                        difference,
                        levels,
                        "mean (" + feature.key().unit() + ")",
                        "first − second (" + feature.key().unit() + ")"));
    }

    private static ChartPicture.Level level(String name, Estimate estimate) {
        return new ChartPicture.Level(name, estimate.value().number().orElse(0));
    }

    private static Page.Content page(
            Agreement agreement, String first, String second, String software, List<Figure> figures) {
        List<List<String>> rows = new ArrayList<>();
        for (OfFeature feature : agreement.features())
            rows.add(List.of(
                    feature.key().column(),
                    feature.key().unit(),
                    Integer.toString(feature.first().size()),
                    Page.text(
                            feature.limits().bias().value(),
                            feature.limits().bias().interval()),
                    Page.text(feature.limits().lower().value()) + " to "
                            + Page.text(feature.limits().upper().value()),
                    Page.digits(feature.repeatability().coefficient()),
                    Page.text(
                            feature.correlation().agreementSingle().value(),
                            feature.correlation().agreementSingle().interval()),
                    Page.text(
                            feature.concordance().value(), feature.concordance().interval())));
        List<Page.Section> sections = new ArrayList<>();
        sections.add(new Page.Section(
                "Agreement of each feature",
                List.of(
                        "First: " + first + ". Second: " + second + ". " + agreement.lesions()
                                + " lesions are in both.",
                        "In brackets the 95 % interval. ICC(2,1): absolute agreement of single readings, readers drawn"
                                + " at random. The whole list of statistics stands in agreement.csv."),
                List.of(new Page.Table(
                        List.of(
                                "Feature",
                                "Unit",
                                "Lesions",
                                "Bias",
                                "Limits of agreement",
                                "Repeatability coefficient",
                                "ICC(2,1)",
                                "Concordance"),
                        rows)),
                List.of()));
        sections.add(new Page.Section(
                "Differences against means",
                List.of("Lines: bias and limits of agreement."
                        + (agreement.features().size() > figures.size()
                                ? " Shown: " + figures.size() + " of "
                                        + agreement.features().size() + " features."
                                : "")),
                List.of(),
                figures));
        if (!agreement.passedOver().isEmpty())
            sections.add(new Page.Section("Not compared", agreement.passedOver(), List.of(), List.of()));
        return new Page.Content("Agreement of two tables", software, List.of(), sections);
    }
}
