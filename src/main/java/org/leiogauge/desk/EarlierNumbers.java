// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.ReportFolder;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;

/** The numbers that were measured when the case was last read, if they are of the outline as it is now. */
final class EarlierNumbers {
    private static final double SAME_PLACE_MM = 0.01;
    private static final DateTimeFormatter MINUTE = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

    private EarlierNumbers() {}

    /**
     * Not for the event thread.
     *
     * @param outline as it is now
     * @return none if nothing was measured, or of another outline or case, or the impression is not locked
     * @throws InputException if what was measured cannot be read
     */
    static Optional<MeasureRun.Result> of(ReadingFolder folder, Mask outline, CaseFile caseFile, Standards standards)
            throws InputException, IOException {
        Path table = folder.result().resolve("features.csv");
        Path region = folder.result().resolve("lesion.nii.gz");
        if (!MeasureRun.isLocked(caseFile) || !Files.isRegularFile(table) || !Files.isRegularFile(region))
            return Optional.empty();
        Mask measured = NiftiReader.readMask(region);
        boolean isSame = measured.grid().coincides(outline.grid(), SAME_PLACE_MM)
                && Arrays.equals(measured.voxels(), outline.voxels());
        List<LesionRow> rows = isSame ? LesionTable.readTidy(table) : List.of();
        Optional<Path> drawn = folder.measured();
        if (drawn.isEmpty() || rows.isEmpty() || !rows.get(0).caseName().equals(caseFile.caseName()))
            return Optional.empty();
        String when = LocalDateTime.ofInstant(Files.getLastModifiedTime(table).toInstant(), ZoneId.systemDefault())
                .format(MINUTE);
        return Optional.of(new MeasureRun.Result(
                folder.result(),
                drawn.get(),
                caseFile,
                rows,
                Optional.empty(),
                standards,
                Appraisal.of(rows, standards, Optional.of(caseFile)),
                "These numbers were measured at " + when + " with " + ReportFolder.software(folder.result()) + "."));
    }
}
