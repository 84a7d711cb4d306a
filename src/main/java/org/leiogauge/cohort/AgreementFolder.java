// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.leiogauge.cohort.Agreement.OfFeature;
import org.leiogauge.cohort.ImpressionAgreement.OfSign;
import org.leiogauge.report.ChartPicture;
import org.leiogauge.report.Figure;
import org.leiogauge.report.Page;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.WholeFolder;

/** Writes what {@link ReaderAgreement} found: tables, figures and one page. */
public final class AgreementFolder {
    private static final List<String> COLUMNS =
            List.of("feature", "statistic", "unit", "lesions", "value", "low", "high", "note");
    private static final int MOST_FIGURES = 24;

    private AgreementFolder() {}

    /** Every statistic: of features, outlines and impressions. */
    public static CsvTable table(ReaderAgreement agreement) {
        List<List<String>> rows = new ArrayList<>();
        for (OfFeature feature : agreement.features().map(Agreement::features).orElse(List.of()))
            feature.statistics().forEach((name, estimate) -> rows.add(row(feature, name, estimate)));
        agreement.outlines().ifPresent(outlines -> rows.addAll(OutlineSummary.rows(outlines)));
        for (OfSign one :
                agreement.impressions().map(ImpressionAgreement::values).orElse(List.of()))
            rows.add(row("impression/" + one.sign(), one.statistic(), "1", one.lesions(), one.estimate()));
        return new CsvTable(COLUMNS, rows);
    }

    private static List<String> row(OfFeature feature, String name, Estimate estimate) {
        return row(
                feature.key().column(),
                name,
                feature.unitOf(name),
                feature.first().size(),
                estimate);
    }

    static List<String> row(String of, String statistic, String unit, int lesions, Estimate estimate) {
        return List.of(
                of,
                statistic,
                unit,
                Integer.toString(lesions),
                estimate.value().text(),
                estimate.interval().map(i -> Double.toString(i.low())).orElse(""),
                estimate.interval().map(i -> Double.toString(i.high())).orElse(""),
                estimate.note());
    }

    public static void write(ReaderAgreement agreement, String software, Path out) throws IOException {
        List<Figure> differences =
                agreement.features().map(AgreementFolder::figures).orElse(List.of());
        List<Figure> overlaps =
                agreement.outlines().map(OutlineSummary::figures).orElse(List.of());
        WholeFolder.<RuntimeException>write(out, folder -> {
            table(agreement).write(folder.resolve("agreement.csv"));
            if (agreement.outlines().isPresent())
                OutlineSummary.table(agreement.outlines().get()).write(folder.resolve("outlines.csv"));
            List<Figure> all = new ArrayList<>(overlaps);
            all.addAll(differences);
            if (!all.isEmpty()) Figure.write(folder.resolve("figures"), all);
            Page.write(folder.resolve("agreement.html"), page(agreement, software, differences, overlaps));
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
            ReaderAgreement agreement, String software, List<Figure> differences, List<Figure> overlaps) {
        List<Page.Section> sections = new ArrayList<>();
        List<String> passedOver = new ArrayList<>();
        agreement.outlines().ifPresent(outlines -> {
            sections.add(OutlineSummary.section(outlines, overlaps));
            passedOver.addAll(outlines.passedOver());
        });
        agreement.impressions().ifPresent(impressions -> {
            sections.add(impressions(impressions));
            passedOver.addAll(impressions.passedOver());
        });
        agreement.features().ifPresent(features -> {
            sections.add(features(features, agreement.first(), agreement.second()));
            sections.add(differences(features, differences));
            passedOver.addAll(features.passedOver());
        });
        if (!passedOver.isEmpty()) sections.add(new Page.Section("Not compared", passedOver, List.of(), List.of()));
        return new Page.Content("Agreement on the same lesions", software, List.of(), sections);
    }

    private static Page.Section features(Agreement agreement, String first, String second) {
        List<List<String>> rows = new ArrayList<>();
        for (OfFeature feature : agreement.features())
            rows.add(List.of(
                    feature.key().column(),
                    feature.key().unit(),
                    Integer.toString(feature.first().size()),
                    text(feature.limits().bias()),
                    Page.text(feature.limits().lower().value()) + " to "
                            + Page.text(feature.limits().upper().value()),
                    Page.digits(feature.repeatability().coefficient()),
                    text(feature.correlation().agreementSingle()),
                    text(feature.concordance())));
        return new Page.Section(
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
                List.of());
    }

    private static Page.Section differences(Agreement agreement, List<Figure> figures) {
        return new Page.Section(
                "Differences against means",
                List.of("Lines: bias and limits of agreement."
                        + (agreement.features().size() > figures.size()
                                ? " Shown: " + figures.size() + " of "
                                        + agreement.features().size() + " features."
                                : "")),
                List.of(),
                figures);
    }

    private static Page.Section impressions(ImpressionAgreement agreement) {
        List<List<String>> rows = new ArrayList<>();
        for (OfSign one : agreement.values())
            rows.add(List.of(
                    one.sign(),
                    one.statistic(),
                    Integer.toString(one.lesions()),
                    text(one.estimate()),
                    one.estimate().note()));
        return new Page.Section(
                "Agreement of impressions",
                List.of("Kappa: agreement beyond chance, 1 at most, 0 if chance alone would do as well. In brackets the"
                        + " 95 % interval. Weights count how many grades of concern lie between two readers."),
                List.of(new Page.Table(List.of("Sign", "Statistic", "Lesions", "Value", "Note"), rows)),
                List.of());
    }

    private static String text(Estimate estimate) {
        return Page.text(estimate.value(), estimate.interval());
    }
}
