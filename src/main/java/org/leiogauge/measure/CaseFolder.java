// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.report.Figure;
import org.leiogauge.report.HtmlReport;
import org.leiogauge.report.Pictures;
import org.leiogauge.report.ReportContent;
import org.leiogauge.report.ReportContent.SeriesLine;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.table.Definition;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.WholeFolder;

/** The folder that one case's measurement fills: tables, report, pictures, region, settings and log. */
record CaseFolder(
        CaseRequest request,
        CaseFile caseFile,
        Study study,
        Outline outline,
        List<SeriesMeasurement> measured,
        List<SteadyValue> lesion,
        List<String> decisions) {

    private static final List<Definition> HEADLINE =
            List.of(LesionDefinitions.VOLUME, LesionDefinitions.LONGEST_DIAMETER, LesionDefinitions.SPHERICITY);

    void write(Path out) throws IOException {
        List<LesionRow> rows = CaseRows.of(caseFile, lesion, measured);
        List<Figure> figures = figures();
        ReportContent content = content(rows, figures);
        WholeFolder.<RuntimeException>write(out, folder -> {
            LesionTable.writeTidy(folder.resolve("features.csv"), rows);
            LesionTable.writeWide(folder.resolve("features-wide.csv"), rows);
            LesionTable.writeDictionary(folder.resolve("dictionary.csv"), rows);
            Files.writeString(folder.resolve("settings.yaml"), content.usedSettings());
            Files.writeString(folder.resolve("log.txt"), log(content));
            NiftiWriter.write(folder.resolve("lesion.nii.gz"), outline.mask());
            Files.createDirectory(folder.resolve("figures"));
            for (Figure figure : figures)
                Files.write(folder.resolve("figures/" + figure.name() + ".png"), figure.png());
            HtmlReport.write(folder.resolve("report.html"), content);
        });
    }

    private List<Figure> figures() {
        List<Figure> figures = new ArrayList<>();
        for (SeriesMeasurement one : measured)
            figures.addAll(Pictures.of(
                    one.key(), one.role().map(Role::words).orElse("outlined series"), one.volume(), one.mask()));
        return figures;
    }

    private ReportContent content(List<LesionRow> rows, List<Figure> figures) {
        return new ReportContent(
                caseFile.caseName(),
                caseFile.lesion(),
                request.software(),
                rows.stream()
                        .filter(row -> HEADLINE.contains(row.value().definition()))
                        .toList(),
                figures,
                rows,
                study.series().stream().map(CaseFolder::line).toList(),
                decisions,
                request.notices(),
                SettingsFile.text(request.settings()));
    }

    private static SeriesLine line(Series series) {
        return new SeriesLine(series.label(), series.role().map(Role::words).orElse("–"), series.reason());
    }

    private static String log(ReportContent content) {
        StringBuilder log = new StringBuilder();
        log.append(content.software()).append('\n');
        log.append("case ")
                .append(content.caseName())
                .append(", lesion ")
                .append(content.lesion())
                .append('\n');
        content.notices().forEach(notice -> line(log, "notice", notice));
        for (SeriesLine series : content.series())
            line(log, "series", series.series() + " | " + series.role() + " | " + series.reason());
        content.decisions().forEach(decision -> line(log, "decision", decision));
        long values = content.rows().stream()
                .filter(row -> row.status() != LesionRow.Status.NOT_MEASURED)
                .count();
        line(log, "measured", values + " of " + content.rows().size() + " values");
        return log.toString();
    }

    // One line each, whatever the text holds.
    private static void line(StringBuilder log, String kind, String text) {
        log.append(kind).append(": ").append(OneLine.of(text)).append('\n');
    }
}
