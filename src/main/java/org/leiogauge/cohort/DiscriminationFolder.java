// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.cohort.Discrimination.OfFeature;
import org.leiogauge.cohort.Discrimination.OfModel;
import org.leiogauge.cohort.statistics.CutBootstrap;
import org.leiogauge.cohort.statistics.Roc;
import org.leiogauge.report.ChartPicture;
import org.leiogauge.report.Figure;
import org.leiogauge.report.Page;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.Interval;
import org.leiogauge.task.WholeFolder;

/** Writes what {@link Discrimination} found: tables, figures and one page. */
public final class DiscriminationFolder {
    private static final List<String> COLUMNS = List.of(
            "feature",
            "cases",
            "positive when",
            "auc",
            "auc low",
            "auc high",
            "p",
            "q",
            "cut-off",
            "cut-off low",
            "cut-off high",
            "sensitivity",
            "specificity",
            "optimism",
            "second cut-off",
            "second cut-off low",
            "second cut-off high",
            "second sensitivity",
            "second specificity",
            "second optimism",
            "auc less best",
            "p against best");
    private static final int MOST_CURVES = 8;
    private static final int MOST_LINES = 60;

    private DiscriminationFolder() {}

    /** One row per feature, best first. */
    public static CsvTable table(Discrimination found) {
        return new CsvTable(
                COLUMNS,
                found.features().stream().map(DiscriminationFolder::row).toList());
    }

    private static List<String> row(OfFeature f) {
        Estimate auc = f.roc().estimate();
        Optional<Interval> cut = turned(f, f.bootstrap().youden());
        Optional<Interval> second = turned(f, f.bootstrap().atSensitivity());
        return List.of(
                f.name(),
                Integer.toString(f.cases()),
                f.higher() ? "higher" : "lower",
                auc.value().text(),
                low(auc.interval()),
                high(auc.interval()),
                number(f.p()),
                number(f.q()),
                cut(f, f.youden()),
                low(cut),
                high(cut),
                number(f.youden().sensitivity()),
                number(f.youden().specificity()),
                number(f.bootstrap().youden().optimism()),
                cut(f, f.atSensitivity()),
                low(second),
                high(second),
                number(f.atSensitivity().sensitivity()),
                number(f.atSensitivity().specificity()),
                number(f.bootstrap().atSensitivity().optimism()),
                f.againstBest().map(c -> number(c.difference())).orElse(""),
                f.againstBest().map(c -> number(c.p())).orElse(""));
    }

    // The scores of a feature that speaks for positive when lower were judged with their sign turned.
    private static Optional<Interval> turned(OfFeature f, CutBootstrap.OfCut cut) {
        return f.higher() ? cut.interval() : cut.interval().map(i -> new Interval(-i.high(), -i.low()));
    }

    private static String low(Optional<Interval> interval) {
        return interval.map(i -> number(i.low())).orElse("");
    }

    private static String high(Optional<Interval> interval) {
        return interval.map(i -> number(i.high())).orElse("");
    }

    private static String cut(OfFeature f, Roc.Cut cut) {
        return number(f.higher() ? cut.threshold() : -cut.threshold());
    }

    private static String number(double value) {
        return Double.isFinite(value) ? Double.toString(value) : "";
    }

    public static void write(Discrimination found, OutcomeTable table, String source, String software, Path out)
            throws IOException {
        List<Figure> curves = curves(found);
        WholeFolder.<RuntimeException>write(out, folder -> {
            table(found).write(folder.resolve("discrimination.csv"));
            if (found.model().isPresent()) model(found.model().get()).write(folder.resolve("model.csv"));
            Figure.write(folder.resolve("figures"), curves);
            Page.write(folder.resolve("discrimination.html"), page(found, table, source, software, curves));
        });
    }

    private static CsvTable model(OfModel model) {
        List<List<String>> rows = new ArrayList<>();
        rows.add(List.of("(intercept)", "", number(model.whole().intercept())));
        model.chosen()
                .forEach(c ->
                        rows.add(List.of(c.feature(), c.models() + " of " + model.models(), number(c.coefficient()))));
        return new CsvTable(List.of("feature", "used in models", "coefficient in the model of all cases"), rows);
    }

    private static List<Figure> curves(Discrimination found) {
        List<Figure> figures = new ArrayList<>();
        found.model()
                .ifPresent(m -> figures.add(
                        new Figure("curve-model", "All features together, on cases not seen", curve(m.roc()))));
        for (int i = 0; i < Math.min(MOST_CURVES, found.features().size()); i++) {
            OfFeature f = found.features().get(i);
            figures.add(new Figure(
                    "curve-" + (i + 1),
                    f.name() + (f.higher() ? " (higher" : " (lower") + " is positive)",
                    curve(f.roc())));
        }
        return figures;
    }

    private static BufferedImage curve(Roc roc) {
        List<Roc.Cut> cuts = roc.cuts();
        double[] x = new double[cuts.size()];
        double[] y = new double[cuts.size()];
        for (int i = 0; i < x.length; i++) {
            x[i] = 1 - cuts.get(i).specificity();
            y[i] = cuts.get(i).sensitivity();
        }
        return ChartPicture.unitCurve(x, y, "1 − specificity", "sensitivity");
    }

    private static Page.Content page(
            Discrimination found, OutcomeTable table, String source, String software, List<Figure> curves) {
        List<Page.Section> sections = new ArrayList<>();
        List<String> first = new ArrayList<>();
        first.add("Table: " + source + ". Positive: " + table.positive() + ", " + found.positives()
                + " cases; negative: " + found.negatives() + " cases.");
        first.addAll(found.warnings());
        first.addAll(table.decisions());
        sections.add(new Page.Section("What was asked, and what to beware of", first, List.of(), List.of()));
        found.model().ifPresent(model -> sections.add(together(model)));
        sections.add(new Page.Section(
                "Feature by feature",
                List.of(
                        "In brackets the 95 % interval. q: p of the rank sum test, adjusted for the false discovery rate."
                                + " The cut-off has the largest sum of sensitivity and specificity on these cases; optimism"
                                + " is how much that sum will shrink on other cases."
                                + (found.features().size() > MOST_LINES
                                        ? " Shown: the first " + MOST_LINES + " of "
                                                + found.features().size() + "."
                                        : "")),
                List.of(lines(found)),
                curves));
        if (!found.passedOver().isEmpty())
            sections.add(new Page.Section("Not judged", found.passedOver(), List.of(), List.of()));
        return new Page.Content("How features tell outcomes apart", software, List.of(), sections);
    }

    private static Page.Table lines(Discrimination found) {
        return new Page.Table(
                List.of(
                        "Feature",
                        "Cases",
                        "Positive when",
                        "AUC",
                        "q",
                        "Cut-off",
                        "Sensitivity",
                        "Specificity",
                        "Optimism"),
                found.features().stream()
                        .limit(MOST_LINES)
                        .map(f -> List.of(
                                f.name(),
                                Integer.toString(f.cases()),
                                f.higher() ? "higher" : "lower",
                                Page.text(
                                        f.roc().estimate().value(),
                                        f.roc().estimate().interval()),
                                Page.digits(f.q()),
                                cutText(f),
                                Page.digits(f.youden().sensitivity()),
                                Page.digits(f.youden().specificity()),
                                Page.digits(f.bootstrap().youden().optimism())))
                        .toList());
    }

    private static String cutText(OfFeature f) {
        double cut = f.higher() ? f.youden().threshold() : -f.youden().threshold();
        if (!Double.isFinite(cut)) return "–";
        return Page.digits(cut)
                + turned(f, f.bootstrap().youden())
                        .map(i -> " (" + Page.digits(i.low()) + " to " + Page.digits(i.high()) + ")")
                        .orElse("");
    }

    private static Page.Section together(OfModel model) {
        List<List<String>> learning = model.learning().stream()
                .map(l -> List.of(Integer.toString(l.cases()), Page.digits(l.auc())))
                .toList();
        List<List<String>> chosen = model.chosen().stream()
                .limit(MOST_LINES)
                .map(c -> List.of(c.feature(), c.models() + " of " + model.models(), Page.digits(c.coefficient())))
                .toList();
        return new Page.Section(
                "All features together",
                List.of(
                        "A sparse logistic model, judged on cases that it has not seen: AUC "
                                + Page.text(
                                        model.roc().estimate().value(),
                                        model.roc().estimate().interval())
                                + "; Brier score "
                                + Page.digits(model.calibration().brier())
                                + "; calibration slope " + slope(model) + " (1 is right).",
                        "The model of all cases counts " + model.whole().size()
                                + " features. It is shown, not to be used on patients."),
                List.of(
                        new Page.Table(List.of("Cases learnt from", "AUC on cases not seen"), learning),
                        new Page.Table(List.of("Feature", "Used in models", "Coefficient"), chosen)),
                List.of());
    }

    private static String slope(OfModel model) {
        double slope = model.calibration().slope();
        return Optional.of(slope).filter(Double::isFinite).map(Page::digits).orElse("not defined");
    }
}
