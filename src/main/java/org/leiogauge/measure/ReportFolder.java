// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.report.Figure;
import org.leiogauge.report.HtmlReport;
import org.leiogauge.report.PdfReport;
import org.leiogauge.report.Pictures;
import org.leiogauge.report.ReportContent;
import org.leiogauge.report.ReportContent.Group;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Yaml;

/** Writes the report of a measured case again, with another impression, other criteria or another prevalence. */
public final class ReportFolder {
    private static final long LARGEST_PICTURE = 64L << 20;

    private ReportFolder() {}

    /**
     * Writes report and pattern chart; measures nothing, and leaves the measured folder as it is.
     *
     * @param measured a folder that a case's measurement wrote
     * @param caseFile with the reader's impressions
     * @param criteria folder of further criteria cards
     * @param prevalence a number or a preset's name; none: the standard one
     * @param out another folder
     * @throws InputException if the measured folder, the case file or the criteria are not usable
     */
    public static void write(
            Path measured, Optional<Path> caseFile, Optional<Path> criteria, Optional<String> prevalence, Path out)
            throws InputException, IOException {
        if (out.toAbsolutePath().normalize().equals(measured.toAbsolutePath().normalize()))
            throw new InputException(out, "", "the measured folder itself", "another folder for the report");
        Standards standards = TableAppraisal.standards(criteria, prevalence);
        Path table = measured.resolve("features.csv");
        if (!Files.isRegularFile(table))
            throw new InputException(measured, "", "no features.csv", "a folder that a measurement wrote");
        List<Definition> known = TableAppraisal.definitions();
        List<LesionRow> rows = LesionTable.readTidy(table).stream()
                .map(row -> defined(row, known))
                .toList();
        Optional<CaseFile> reader =
                caseFile.isPresent() ? Optional.of(standards.lexicon().read(caseFile.get())) : Optional.empty();
        List<Appraisal> appraisals = Appraisal.all(rows, standards, reader, table);
        if (appraisals.size() != 1)
            throw new InputException(table, "", appraisals.size() + " lesions", "the one of a measured case");
        ReportContent content = content(measured, rows, appraisals.get(0));
        WholeFolder.<RuntimeException>write(out, folder -> {
            HtmlReport.write(folder.resolve("report.html"), content);
            PdfReport.write(folder.resolve("report.pdf"), content);
            Figure.write(folder.resolve(CaseFolder.FIGURES), content.pictures());
        });
        Figure.removeOthers(out.resolve(CaseFolder.FIGURES), content.pictures());
    }

    /**
     * Name and version of the program that measured a folder.
     *
     * @throws InputException if the folder does not say so
     */
    public static String software(Path measured) throws InputException {
        return Yaml.PLAIN
                .read(measured.resolve(ReportNotes.FILE), ReportNotes.class)
                .software();
    }

    // A tidy table does not say what a feature means; the program does.
    private static LesionRow defined(LesionRow row, List<Definition> known) {
        Definition read = row.value().definition();
        return known.stream()
                .filter(one -> one.group().equals(read.group()) && one.feature().equals(read.feature()))
                .findFirst()
                .map(one -> new LesionRow(
                        row.caseName(),
                        row.lesion(),
                        row.region(),
                        row.series(),
                        new FeatureValue(
                                one, row.value().aggregation(), row.value().measurement()),
                        row.interval(),
                        row.caution()))
                .orElse(row);
    }

    private static ReportContent content(Path measured, List<LesionRow> rows, Appraisal appraisal)
            throws InputException {
        ReportNotes notes = Yaml.PLAIN.read(measured.resolve(ReportNotes.FILE), ReportNotes.class);
        List<Group> groups = new ArrayList<>();
        for (ReportNotes.Pictured group : notes.figures())
            groups.add(new Group(
                    group.heading(), group.words(), figures(measured.resolve(CaseFolder.FIGURES), group.figures())));
        return new ReportContent(
                rows.get(0).caseName(),
                rows.get(0).lesion(),
                notes.software(),
                notes.outline(),
                groups,
                Pictures.patterns(appraisal),
                rows,
                appraisal,
                notes.protocol(),
                notes.draws(),
                MethodErrorFile.shipped(),
                notes.series(),
                notes.decisions(),
                notes.notices(),
                Yaml.content(measured.resolve("settings.yaml")));
    }

    private static List<Figure> figures(Path folder, List<ReportNotes.Named> names) throws InputException {
        List<Figure> figures = new ArrayList<>();
        for (ReportNotes.Named one : names) {
            Path file = folder.resolve(one.name() + ".png");
            try {
                if (!Files.isRegularFile(file) || Files.size(file) > LARGEST_PICTURE)
                    throw new InputException(file, "", "no such picture, or one too large", "a PNG that measure wrote");
                figures.add(Figure.ofPng(one.name(), one.caption(), Files.readAllBytes(file)));
            } catch (IOException e) {
                throw new InputException(file, "", String.valueOf(e.getMessage()), "a PNG that measure wrote");
            } catch (IllegalArgumentException e) {
                throw InputException.refused(file, "", e);
            }
        }
        return figures;
    }
}
