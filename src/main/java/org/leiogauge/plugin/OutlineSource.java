// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.RegionFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.plugin.Parameter;

/** A command that brings an outline on a series of a study, as a mask on that series' grid. */
abstract class OutlineSource extends StudyJob {
    @Parameter(type = ItemIO.OUTPUT, label = "Image of the series")
    private Volume image;

    @Parameter(type = ItemIO.OUTPUT, label = "Mask")
    private Mask mask;

    @Parameter(type = ItemIO.OUTPUT, label = "Series")
    private String series;

    @Parameter(type = ItemIO.OUTPUT, label = "Volume (mm³)")
    private double volume;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    OutlineSource(String doing) {
        super(doing);
    }

    /** The file that the outline is kept in; may be null. */
    abstract File out();

    /** The outline. */
    abstract Outline outline(Study opened, Workers workers, Progress progress) throws InputException;

    @Override
    final void work(Workers workers, Progress progress) throws InputException, IOException {
        Study opened = open(workers, progress.part(0, 0.3));
        Outline outline = outline(opened, workers, progress.part(0.3, 0.9));
        Optional<Path> kept = path(out());
        if (kept.isPresent())
            RegionFile.write(
                    kept.get(),
                    RegionFile.Form.of(kept.get()),
                    outline.mask(),
                    study(),
                    outline.series(),
                    outline.name(),
                    workers);
        progress.at(1);
        keep(outline);
    }

    /** Leaves the outline in the outputs. */
    final void keep(Outline outline) {
        image = outline.content().frames().get(0).volume();
        mask = outline.mask();
        series = outline.series().label();
        volume = mask.volume();
        decisions = String.join("\n", outline.decisions());
    }
}
