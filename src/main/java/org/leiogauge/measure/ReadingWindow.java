// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.Optional;

/** The window in which a case is read. Found by {@code ServiceLoader}: front ends do not know each other. */
public interface ReadingWindow {
    /**
     * Opens the window and returns when it is closed.
     *
     * @param study to be opened; none: the reader chooses
     * @param folder where case file, outline and results go; none: beside the study
     * @param reader who reads, as the case file is to say
     * @throws java.awt.HeadlessException if there is no screen
     */
    void read(Optional<Path> study, Optional<Path> folder, Optional<String> reader);
}
