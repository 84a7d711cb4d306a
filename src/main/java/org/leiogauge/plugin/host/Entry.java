// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import ij.Macro;
import ij.WindowManager;
import ij.plugin.PlugIn;
import java.util.concurrent.CancellationException;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** What all entries share: the active image, progress, the Escape key, and a calm message where something is missing. */
abstract class Entry implements PlugIn {
    /** The work on the active image. */
    abstract void run(String argument, ImagePlus image, Workers workers, Progress progress) throws InputException;

    @Override
    public final void run(String argument) {
        IJ.resetEscape();
        try (Workers workers = Workers.of(Runtime.getRuntime().availableProcessors())) {
            ImagePlus image = WindowManager.getCurrentImage();
            if (image == null)
                throw new InputException(
                        "Leiogauge", "", "no image that is open", "an image: open one, then run this again");
            run(argument, image, workers, Entry::show);
        } catch (InputException e) {
            tell(e.getMessage());
        } catch (CancellationException e) {
            IJ.showStatus("Leiogauge: stopped");
        } finally {
            IJ.showProgress(1.0);
        }
    }

    private static void show(double fraction) {
        if (IJ.escapePressed()) throw new CancellationException();
        IJ.showProgress(fraction);
    }

    // A window that waits for a click would hang a macro that nobody watches.
    private static void tell(String message) {
        if (Macro.getOptions() == null) IJ.showMessage("Leiogauge", message);
        else IJ.log("Leiogauge: " + message);
    }
}
