// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.plugin.PlugIn;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.concurrent.CancellationException;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** What all entries share: progress, the Escape key, and a calm message where something is missing. */
abstract class Entry implements PlugIn {
    /** The work; shows its results. */
    abstract void work(String argument, Workers workers, Progress progress) throws InputException, IOException;

    @Override
    public final void run(String argument) {
        Thread thread = Thread.currentThread();
        ClassLoader before = thread.getContextClassLoader();
        // the libraries that lie in our jar look for their parts by way of the thread
        thread.setContextClassLoader(Entry.class.getClassLoader());
        IJ.resetEscape();
        try (Workers workers = Workers.of(Runtime.getRuntime().availableProcessors())) {
            work(argument, workers, Entry::show);
        } catch (InputException e) {
            tell(e.getMessage());
        } catch (IOException | UncheckedIOException e) {
            tell("cannot read or write: " + e.getMessage());
        } catch (CancellationException e) {
            IJ.showStatus("Leiogauge: stopped");
        } finally {
            thread.setContextClassLoader(before);
            IJ.showProgress(1.0);
        }
    }

    private static void show(double fraction) {
        if (IJ.escapePressed()) throw new CancellationException();
        IJ.showProgress(fraction);
    }

    // A window that waits for a click would hang a macro that nobody watches.
    static void tell(String message) {
        if (IJ.macroRunning()) IJ.log("Leiogauge: " + message);
        else IJ.showMessage("Leiogauge", message);
    }
}
