// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.nio.file.Path;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.plugin.Parameter;

/** A command about a study. */
abstract class StudyJob extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Study",
            style = "directory",
            description = "folder of DICOM files, or of NIfTI files")
    private File study;

    StudyJob(String doing) {
        super(doing);
    }

    /** The study's folder. */
    final Path study() throws InputException {
        return path(study).orElseThrow(() -> new InputException("Study", "", "nothing", "a study's folder"));
    }

    /** The study itself. */
    final Study open(Workers workers, Progress progress) throws InputException {
        return Study.open(study(), workers, progress);
    }
}
