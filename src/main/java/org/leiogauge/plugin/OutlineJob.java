// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;

/** A command about a lesion that was outlined on a series of a study. */
abstract class OutlineJob extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Study",
            style = "directory",
            description = "folder of DICOM files, or of NIfTI files")
    File study;

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
}
