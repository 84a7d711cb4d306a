// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.GraphicsEnvironment;
import java.awt.HeadlessException;
import java.awt.event.WindowAdapter;
import java.awt.event.WindowEvent;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import javax.swing.SwingUtilities;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.measure.ReadingWindow;
import org.leiogauge.measure.TableAppraisal;
import org.leiogauge.task.InputException;

/** The reading window as the command line finds it. */
public final class Desk implements ReadingWindow {
    @Override
    public void read(Optional<Path> study, Optional<Path> folder, Optional<String> reader) {
        if (GraphicsEnvironment.isHeadless()) throw new HeadlessException("no screen");
        CountDownLatch closed = new CountDownLatch(1);
        // the cards are read while the look is set up
        SwingUtilities.invokeLater(Look::begin);
        Standards standards = standards();
        SwingUtilities.invokeLater(() -> show(study, new DeskWindow(folder, reader, standards), closed));
        try {
            closed.await();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /** The cards, signs and patterns that come with the program. */
    static Standards standards() {
        try {
            return TableAppraisal.standards(Optional.empty(), Optional.empty());
        } catch (InputException e) {
            throw new IllegalStateException("what comes with the program cannot be read", e);
        }
    }

    private static void show(Optional<Path> study, DeskWindow window, CountDownLatch closed) {
        window.addWindowListener(new WindowAdapter() {
            @Override
            public void windowClosed(WindowEvent event) {
                closed.countDown();
            }
        });
        window.setVisible(true);
        study.ifPresent(window::open);
    }
}
