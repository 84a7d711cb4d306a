// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;

/** A command about a lesion that was outlined on a series of a study. */
abstract class OutlineJob extends StudyJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Outline",
            description = "the lesion: RTSTRUCT, DICOM segmentation, or NIfTI mask",
            attrs = @Attr(name = DRAWN, value = DRAWN_REGION))
    File outline;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Region (its name in the file)",
            required = false,
            description = "which region of the outline's file")
    String region;

    OutlineJob(String doing) {
        super(doing);
    }

    /** The outline on the study. */
    final Outline drawn(Study opened, Workers workers, Progress progress) throws InputException {
        return OutlineFile.read(outline.toPath(), text(region), opened, workers, progress);
    }
}
