// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.util.Locale;
import org.leiogauge.task.Progress;

/**
 * Progress as one line on standard error that is written over, and gone when the work is done. Long work also tells the time
 * that is left, judged by the pace so far.
 */
final class ProgressLine implements Progress {
    private static final long SECONDS_BEFORE_GUESS = 20;

    private final String work;
    private final long begun = System.nanoTime();
    private int shown = -1;
    private int width;

    ProgressLine(String work) {
        this.work = work;
    }

    @Override
    public synchronized void at(double fraction) {
        int percent = (int) Math.round(100 * Math.max(0, Math.min(1, fraction)));
        if (percent <= shown) return;
        shown = percent;
        String line = String.format(Locale.ROOT, "%s %3d %%%s", work, percent, timeLeft(fraction));
        // blanks over what a longer line before has left
        String padded = line + " ".repeat(Math.max(0, width - line.length()));
        width = line.length();
        System.err.print("\r" + (percent == 100 ? " ".repeat(padded.length()) + "\r" : padded));
        System.err.flush();
    }

    private String timeLeft(double fraction) {
        double seconds = (System.nanoTime() - begun) / 1e9;
        if (seconds < SECONDS_BEFORE_GUESS || fraction <= 0) return "";
        return ", " + words(seconds * (1 - fraction) / fraction) + " left";
    }

    static String words(double seconds) {
        if (seconds < 90) return Math.round(seconds) + " s";
        if (seconds < 90 * 60) return Math.round(seconds / 60) + " min";
        return Math.round(seconds / 3600) + " h";
    }
}
