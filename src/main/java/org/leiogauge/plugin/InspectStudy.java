// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Lists the series of a study with the role of each and why, and opens the image of one. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: open a study",
        menuPath = "Plugins>Leiogauge>Open a Study...",
        headless = true)
public final class InspectStudy extends StudyJob {
    private static final String NONE = "none";

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Series",
            choices = {NONE, "t2", "t1", "t1-fat-sat", "pre-contrast", "post-contrast", "dwi", "adc"},
            description = "the role of the series whose image is opened")
    private String role = NONE;

    @Parameter(type = ItemIO.OUTPUT, label = "Series")
    private CsvTable table;

    @Parameter(type = ItemIO.OUTPUT, label = "Image of the series")
    private Volume image;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public InspectStudy() {
        super("looking");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException {
        Study opened = open(workers, progress.part(0, 0.5));
        List<String> decided = new ArrayList<>(opened.decisions());
        if (!role.equals(NONE)) image = image(opened, role(role), decided, workers, progress.part(0.5, 1));
        table = new CsvTable(
                List.of("series", "images", "role", "reason"),
                opened.series().stream().map(InspectStudy::row).toList());
        decisions = String.join("\n", decided);
    }

    private static Volume image(Study opened, Role role, List<String> decided, Workers workers, Progress progress)
            throws InputException {
        Series series = opened.of(role).stream()
                .findFirst()
                .orElseThrow(() -> new InputException(
                        "Series", "", "no series that is " + role.words(), "a role that the study has"));
        Series.Content content = series.read(workers, progress);
        decided.addAll(content.decisions());
        decided.add("the image is " + series.label() + ", volume 1 of "
                + content.frames().size());
        return content.frames().get(0).volume();
    }

    private static List<String> row(Series series) {
        return List.of(
                series.label(),
                Integer.toString(series.images()),
                series.role().map(Role::key).orElse(""),
                series.reason());
    }
}
