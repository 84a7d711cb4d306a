// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Component;
import java.awt.Container;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;
import javax.swing.SwingUtilities;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.measure.TableAppraisal;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Interval;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.InputException;

/** A made-up lesion for the panels, and ways to reach what stands on them. */
final class Sample {
    static final Standards STANDARDS = standards();
    static final LocalDateTime TIME = LocalDateTime.of(2026, 3, 2, 10, 20);
    static final CaseFile CASE = CaseFile.named("site-a-0007");

    private Sample() {}

    private static Standards standards() {
        try {
            return TableAppraisal.standards(Optional.empty(), Optional.empty());
        } catch (InputException e) {
            throw new IllegalStateException(e);
        }
    }

    /** Value, low and high per feature, and per feature/tissue for the DWI ratio; no number where there is none. */
    static List<LesionRow> rows() {
        Map<String, double[]> values = new TreeMap<>(Map.of(
                "margin sharpness", new double[] {1.4, 0.8, 1.5},
                "margin roughness", new double[] {0.6, 0.6, 0.8},
                "lobulation count", new double[] {4, 4, 4},
                "t2 signal ratio to myometrium", new double[] {1.06, 1.05, 1.07},
                "t2 coefficient of variation", new double[] {0.3, 0.29, 0.31},
                "early enhancement ratio", new double[] {1.08, 1.03, 1.25},
                "non-enhancing fraction", new double[] {},
                "dwi signal ratio to reference/endometrium", new double[] {0.95, 0.86, 1.09},
                "adc p50", new double[] {0.996, 0.99, 1.02},
                "volume", new double[] {120049.6, 112816.6, 126338.2}));
        List<LesionRow> rows = new ArrayList<>();
        values.forEach((name, v) -> rows.add(row(name, v)));
        return rows;
    }

    private static LesionRow row(String name, double[] v) {
        String[] parts = name.split("/");
        Definition definition = LesionDefinitions.all().stream()
                .filter(d -> d.feature().equals(parts[0]) && d.group().equals("lesion"))
                .findFirst()
                .orElseThrow();
        return new LesionRow(
                CASE.caseName(),
                CASE.lesion(),
                "lesion",
                "",
                new FeatureValue(
                        definition,
                        new Aggregation(parts.length > 1 ? parts[1] : "", ""),
                        v.length == 0 ? new NotMeasured("no series after contrast") : new Measured(v[0])),
                v.length == 3 ? Optional.of(new Interval(v[1], v[2])) : Optional.empty(),
                parts[0].equals("early enhancement ratio") ? "wide interval" : "");
    }

    static Impression impression(LocalDateTime locked) {
        return spoken().locked(locked);
    }

    /** The same, not locked. */
    static Impression draft() {
        return spoken().words().orElseThrow();
    }

    private static ImpressionDraft spoken() {
        ImpressionDraft draft = new ImpressionDraft(STANDARDS.lexicon(), Optional.empty());
        draft.call("border", Optional.of("well-defined"));
        draft.call("t2-signal", Optional.of("intermediate"));
        draft.call("non-enhancing-areas", Optional.of("small"));
        draft.grade(Optional.of(3));
        draft.comment("bright at the highest b-value");
        return draft;
    }

    static MeasureRun.Result result(CaseFile caseFile) {
        List<LesionRow> rows = rows();
        return new MeasureRun.Result(
                Path.of("result"),
                Path.of("outline.dcm"),
                caseFile,
                rows,
                Optional.empty(),
                STANDARDS,
                Appraisal.of(rows, STANDARDS, Optional.of(caseFile)),
                "");
    }

    /** The part of this name, wherever it stands. */
    static <T extends Component> T part(Container in, String name, Class<T> type) {
        return find(in, name).map(type::cast).orElseThrow(() -> new AssertionError("no " + name));
    }

    static Optional<Component> find(Container in, String name) {
        return all(in).stream().filter(part -> name.equals(part.getName())).findFirst();
    }

    /** All parts, outer ones first, in their order. */
    static List<Component> all(Container in) {
        List<Component> all = new ArrayList<>();
        for (Component part : in.getComponents()) {
            all.add(part);
            if (part instanceof Container container) all.addAll(all(container));
        }
        return all;
    }

    /** All words that can be read. */
    static String words(Container in) {
        StringBuilder words = new StringBuilder();
        for (Component part : all(in))
            if (part instanceof Prose prose) words.append(prose.getText()).append('\n');
        return words.toString();
    }

    static <T> T onEventThread(Callable<T> work) throws Exception {
        FutureTask<T> task = new FutureTask<>(work);
        SwingUtilities.invokeLater(task);
        try {
            return task.get();
        } catch (ExecutionException e) {
            if (e.getCause() instanceof Exception cause) throw cause;
            throw e;
        }
    }
}
