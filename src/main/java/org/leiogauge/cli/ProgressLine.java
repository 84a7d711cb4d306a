// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.util.Locale;
import org.leiogauge.task.Progress;

/** Progress as one line on standard error that is written over, and gone when the work is done. */
final class ProgressLine implements Progress {
    private final String work;
    private int shown = -1;

    ProgressLine(String work) {
        this.work = work;
    }

    @Override
    public synchronized void at(double fraction) {
        int percent = (int) Math.round(100 * Math.max(0, Math.min(1, fraction)));
        if (percent <= shown) return;
        shown = percent;
        String line = String.format(Locale.ROOT, "%s %3d %%", work, percent);
        System.err.print("\r" + (percent == 100 ? " ".repeat(line.length()) + "\r" : line));
        System.err.flush();
    }
}
