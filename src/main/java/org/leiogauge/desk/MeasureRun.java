// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.LesionSegments;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.Software;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** A measurement asked for at the desk: the same as on the command line, but not before the impression. */
final class MeasureRun {
    private MeasureRun() {}

    /** The outline as a file, written when the measurement begins. */
    @FunctionalInterface
    interface OutlineFile {
        Path write(Workers workers) throws InputException, IOException;
    }

    /**
     * What is wanted.
     *
     * @param caseFile on the disk, with all that the reader has entered
     * @param declined whether the reader has expressly gone on without an impression
     * @param out the folder that gets the results
     */
    record Wish(Path study, OutlineFile outline, Path caseFile, boolean declined, Settings settings, Path out) {}

    /**
     * What was measured.
     *
     * @param caseFile as it was measured
     * @param outline the file that was measured: the command line gives the same from it
     * @param parts the lesion's parts; none of an earlier measurement
     * @param origin when and with which version it was measured; empty if just now
     */
    record Result(
            Path out,
            Path outline,
            CaseFile caseFile,
            List<LesionRow> rows,
            Optional<LesionSegments> parts,
            Standards standards,
            Appraisal appraisal,
            String origin) {
        Result {
            rows = List.copyOf(rows);
        }

        /** The same numbers beside what the reader says by now. */
        Result with(CaseFile now) {
            return new Result(
                    out, outline, now, rows, parts, standards, Appraisal.of(rows, standards, Optional.of(now)), origin);
        }

        /** The same lesion at another prevalence. Takes a moment: not for the event thread. */
        Appraisal at(Prevalence prevalence) {
            return Appraisal.of(
                    rows,
                    new Standards(standards.cards(), standards.lexicon(), standards.patterns(), prevalence),
                    Optional.of(caseFile));
        }
    }

    /**
     * Why a case may not be measured yet; none if it may. The impression comes first, unless the reader has declined to give
     * one or the numbers were shown before.
     */
    static Optional<String> refusal(CaseFile caseFile, boolean declined) {
        if (caseFile.numbersShown().isPresent() || declined) return Optional.empty();
        return isLocked(caseFile)
                ? Optional.empty()
                : Optional.of("The impression comes before the numbers: lock it, or expressly go on without one.");
    }

    /** Whether the first impression is locked. */
    static boolean isLocked(CaseFile caseFile) {
        return caseFile.impression().stream()
                .findFirst()
                .flatMap(CaseFile.Impression::locked)
                .isPresent();
    }

    /**
     * Measures and appraises. Nothing is left half written.
     *
     * @throws InputException if the impression is missing, or something cannot be used
     */
    static Result run(Wish wish, Standards standards, Workers workers, Progress progress)
            throws InputException, IOException {
        CaseFile caseFile = standards.lexicon().read(wish.caseFile);
        Optional<String> refusal = refusal(caseFile, wish.declined);
        if (refusal.isPresent())
            throw new InputException(wish.caseFile, "impression", "none that is locked", refusal.get());
        Path outline = wish.outline.write(workers);
        CaseRequest request = new CaseRequest(
                wish.study,
                outline,
                Optional.empty(),
                Optional.empty(),
                Optional.of(wish.caseFile),
                wish.settings,
                Software.NAME,
                List.of());
        LesionSegments parts = CaseMeasurement.run(request, wish.out, workers, progress);
        List<LesionRow> rows = LesionTable.readTidy(wish.out.resolve("features.csv"));
        return new Result(
                wish.out,
                outline,
                caseFile,
                rows,
                Optional.of(parts),
                standards,
                Appraisal.of(rows, standards, Optional.of(caseFile)),
                "");
    }

    /** The case, of which numbers are shown from now on. */
    static CaseFile shown(CaseFile caseFile, LocalDateTime now) {
        return caseFile.showing(now.truncatedTo(ChronoUnit.MILLIS));
    }
}
