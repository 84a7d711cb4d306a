// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.nio.file.Path;
import java.util.List;
import javax.swing.JComponent;
import javax.swing.JPanel;
import org.leiogauge.study.CaseFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;

/** What is said of the images: impression, then the numbers. */
final class Reading {
    private final JPanel panel = new JPanel();

    Reading(DeskModel model, Session session, Background work, Workers workers) {}

    JComponent component() {
        return panel;
    }

    CaseFile read(Path file) throws InputException {
        return CaseFile.read(file);
    }

    void opened(ReadingFolder folder) {}

    void focus() {}

    void measure() {}

    boolean isMeasured() {
        return false;
    }

    void export(Path to) {}

    List<String> close() {
        return List.of();
    }
}
