// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.gui.GenericDialog;
import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Optional;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.measure.Software;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Measures one lesion of a study from files: the folder with tables and report, and the feature table in the host. */
public final class StudyMeasurement extends Entry {
    /** The table's window. */
    static final String TABLE = "Leiogauge study";

    private static final int WIDTH = 40;

    @Override
    void work(String argument, Workers workers, Progress progress) throws InputException, IOException {
        GenericDialog wish = new GenericDialog("Measure a study");
        wish.addDirectoryField("Study", "", WIDTH);
        wish.addFileField("Outline", "", WIDTH);
        wish.addStringField("Region (name in the outline's file)", "", WIDTH / 2);
        wish.addFileField("References (RTSTRUCT or segmentation)", "", WIDTH);
        wish.addFileField("Case file", "", WIDTH);
        wish.addFileField("Settings", "", WIDTH);
        wish.addDirectoryField("Results", "", WIDTH);
        wish.showDialog();
        if (wish.wasCanceled()) return;
        CaseRequest request = new CaseRequest(
                needed("Study", wish.getNextString()),
                needed("Outline", wish.getNextString()),
                text(wish.getNextString()),
                text(wish.getNextString()).map(Path::of),
                text(wish.getNextString()).map(Path::of),
                SettingsFile.read(text(wish.getNextString()).map(Path::of), List.of()),
                Software.NAME,
                List.of());
        Path out = needed("Results", wish.getNextString());
        BlindReading reading = BlindReading.begin(request.caseFile(), LocalDateTime.now());
        CaseMeasurement.run(request, out, workers, progress);
        HostTable.show(TABLE, CsvTable.read(out.resolve("features.csv")));
        reading.numbersShown(LocalDateTime.now()).ifPresent(note -> IJ.log("Leiogauge: " + note));
        IJ.log("Leiogauge: report in " + out.resolve("report.html"));
    }

    private static Path needed(String field, String given) throws InputException {
        return Path.of(text(given)
                .orElseThrow(() -> new InputException("Measure a study", field, "nothing", "a file or folder")));
    }

    private static Optional<String> text(String given) {
        return Optional.of(given.trim()).filter(text -> !text.isEmpty());
    }
}
