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
import org.leiogauge.measure.ReadingWindow;

/** The reading window as the command line finds it. */
public final class Desk implements ReadingWindow {
    @Override
    public void read(Optional<Path> study, Optional<Path> folder) {
        if (GraphicsEnvironment.isHeadless()) throw new HeadlessException("no screen");
        CountDownLatch closed = new CountDownLatch(1);
        SwingUtilities.invokeLater(() -> show(study, folder, closed));
        try {
            closed.await();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private static void show(Optional<Path> study, Optional<Path> folder, CountDownLatch closed) {
        Look.begin();
        DeskWindow window = new DeskWindow(folder);
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
