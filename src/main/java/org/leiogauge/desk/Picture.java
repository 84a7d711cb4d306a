// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import java.util.Locale;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;

/** A series as it is shown: its voxels, in the order of time or b-value, and the grey levels it begins with. */
record Picture(Series series, Series.Content content, GreyRange range) {

    static Picture of(Series series, Series.Content content) {
        return new Picture(
                series, content, GreyRange.of(telling(content.frames()).volume()));
    }

    /** The frame that is looked at first. */
    int firstFrame() {
        return content.frames().indexOf(telling(content.frames()));
    }

    // Of diffusion-weighted images the highest b-value, of time points the last but one: both show most.
    private static Frame telling(List<Frame> frames) {
        if (frames.size() == 1) return frames.get(0);
        Frame best = frames.get(0);
        for (Frame frame : frames) if (frame.bValue().orElse(-1) > best.bValue().orElse(-1)) best = frame;
        return best.bValue().isPresent() ? best : frames.get(frames.size() - 2);
    }

    Grid grid() {
        return content.frames().get(0).volume().grid();
    }

    Volume volume(int frame) {
        return content.frames().get(frame).volume();
    }

    int frames() {
        return content.frames().size();
    }

    /** The role in the trade's words, or the series' own name where it has none. */
    String title() {
        return title(series);
    }

    static String title(Series series) {
        return Plain.of(series.role().map(Role::words).orElse(series.label()));
    }

    /** What sets a frame apart from the others. */
    String frameWords(int frame) {
        Frame shown = content.frames().get(frame);
        if (shown.bValue().isPresent())
            return String.format(Locale.ROOT, "b %.0f s/mm²", shown.bValue().getAsDouble());
        if (frames() == 1) return "";
        return shown.seconds().isPresent()
                ? String.format(Locale.ROOT, "%.0f s", shown.seconds().getAsDouble())
                : "volume " + (frame + 1) + " of " + frames();
    }
}
