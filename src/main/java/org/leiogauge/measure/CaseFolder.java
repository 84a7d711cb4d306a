// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.report.Figure;
import org.leiogauge.report.HtmlReport;
import org.leiogauge.report.PdfReport;
import org.leiogauge.report.Pictures;
import org.leiogauge.report.ReportContent;
import org.leiogauge.report.ReportContent.SeriesLine;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.ProtocolCheck;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;

/** The folder that one case's measurement fills: tables, report, pictures, region, settings and log. */
record CaseFolder(
        CaseRequest request,
        CaseFile caseFile,
        Study study,
        Outline outline,
        LesionParts parts,
        LesionSegments segments,
        List<SeriesMeasurement> measured,
        LesionImages images,
        LesionImages.Masks masks,
        List<SteadyValue> lesion,
        Standards standards,
        List<String> decisions) {
    static final String FIGURES = "figures";

    void write(Path out, Workers workers) throws IOException {
        List<LesionRow> rows = CaseRows.of(caseFile, lesion, measured);
        ReportContent content = content(rows, workers);
        WholeFolder.<RuntimeException>write(out, folder -> {
            Optional<DicomOutput> dicom = dicom(content);
            // side by side, the longest first
            List<Part> parts = List.of(
                    () -> {
                        byte[] pdf = PdfReport.bytes(content);
                        Files.write(folder.resolve("report.pdf"), pdf);
                        if (dicom.isPresent()) dicom.get().writePdf(folder, pdf);
                    },
                    () -> HtmlReport.write(folder.resolve("report.html"), content),
                    () -> tables(folder, rows, content),
                    () -> {
                        if (dicom.isPresent()) dicom.get().write(folder);
                    });
            workers.forEach(parts.size(), i -> parts.get(i).write());
        });
        Figure.removeOthers(out.resolve(FIGURES), content.pictures());
    }

    @FunctionalInterface
    private interface Part {
        void write() throws IOException;
    }

    private void tables(Path folder, List<LesionRow> rows, ReportContent content) throws IOException {
        LesionTable.writeTidy(folder.resolve("features.csv"), rows);
        LesionTable.writeWide(folder.resolve("features-wide.csv"), rows);
        LesionTable.writeDictionary(folder.resolve("dictionary.csv"), rows, CaseFolder::interval);
        Files.writeString(folder.resolve("settings.yaml"), content.usedSettings());
        Files.writeString(folder.resolve("log.txt"), log(content));
        Files.writeString(folder.resolve(ReportNotes.FILE), Yaml.PLAIN.text(ReportNotes.of(content)));
        NiftiWriter.write(folder.resolve("lesion.nii.gz"), outline.mask());
        Figure.write(folder.resolve(FIGURES), content.pictures());
    }

    private Optional<DicomOutput> dicom(ReportContent content) {
        return DicomOutput.of(outline.content().drawnOn(), request.withIdentity(), segments, measured, content);
    }

    private ReportContent content(List<LesionRow> rows, Workers workers) {
        Appraisal appraisal = Appraisal.of(rows, standards, Optional.of(caseFile));
        return new ReportContent(
                caseFile.caseName(),
                caseFile.lesion(),
                request.software(),
                caseFile.outline().flatMap(CaseFolder::drawn),
                CaseFigures.of(measured, images, masks, parts, lesion, request.settings(), workers),
                Pictures.patterns(appraisal),
                rows,
                appraisal,
                ProtocolCheck.of(study, ProtocolCheck.Settings.standard()),
                request.settings().stability().draws(),
                MethodErrorFile.shipped(),
                study.series().stream().map(CaseFolder::line).toList(),
                decisions,
                request.notices(),
                SettingsFile.text(request.settings()));
    }

    private static Optional<String> drawn(CaseFile.Drawn drawn) {
        String words = Stream.of(drawn.reader(), drawn.drawn())
                .flatMap(Optional::stream)
                .collect(Collectors.joining(", "));
        return words.isEmpty() ? Optional.empty() : Optional.of(words);
    }

    private static SeriesLine line(Series series) {
        return new SeriesLine(series.label(), series.role().map(Role::words).orElse("–"), series.reason());
    }

    // Of the whole lesion's signs, whether measured or not: a column means the same in every case.
    private static String interval(LesionRow row) {
        boolean isSign = row.region().equals("lesion")
                && row.value().definition().group().equals("lesion");
        return isSign ? MethodErrorFile.shipped().meaning(row.value()) : "";
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
