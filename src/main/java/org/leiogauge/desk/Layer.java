// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.leiogauge.image.Volume;
import org.leiogauge.report.ColourRamp;

/**
 * What can be laid see-through over any series.
 *
 * @param title as the reader knows it
 * @param volume NaN where it has nothing to show
 * @param range of a map: values of the ramp's ends; of parts: not used
 * @param unit of a map; empty where it has none
 * @param parts names of the parts that the values 1, 2, … stand for; empty for a map
 */
record Layer(String title, Volume volume, GreyRange range, String unit, List<String> parts) {
    static final int COLOURS = 256;

    // Told apart with common colour blindness too. Source: M. Okabe and K. Ito 2008, Color Universal Design.
    private static final int[] PART_COLOURS = {0xd55e00, 0x56b4e9, 0xf0e442, 0xcc79a7, 0x009e73};
    private static final int[] RAMP = ramp();

    Layer {
        parts = List.copyOf(parts);
        if (parts.size() > PART_COLOURS.length)
            throw new IllegalArgumentException("parts must be " + PART_COLOURS.length + " or fewer, got " + parts);
    }

    static Layer map(String title, Volume volume, double low, double high, String unit) {
        return new Layer(title, volume, new GreyRange(low, high), unit, List.of());
    }

    static Layer parts(String title, Volume volume, List<String> names) {
        return new Layer(title, volume, new GreyRange(0, COLOURS), "", names);
    }

    boolean isParts() {
        return !parts.isEmpty();
    }

    /** Colours of the ramp from its low to its high end, or of parts by their number; RGB, 256 of them. */
    int[] colours() {
        if (!isParts()) return RAMP.clone();
        int[] colours = new int[COLOURS];
        Arrays.fill(colours, PART_COLOURS[0]);
        for (int part = 0; part < parts.size(); part++) colours[part + 1] = PART_COLOURS[part];
        return colours;
    }

    /** A value as the reader is told it; empty where there is none. */
    String words(double value) {
        if (Double.isNaN(value)) return "";
        if (isParts()) {
            int part = (int) Math.round(value);
            return part >= 1 && part <= parts.size() ? parts.get(part - 1) : "";
        }
        return String.format(Locale.ROOT, Math.abs(range.high()) >= 20 ? "%.0f %s" : "%.2f %s", value, unit)
                .strip();
    }

    private static int[] ramp() {
        int[] ramp = new int[COLOURS];
        for (int i = 0; i < COLOURS; i++) ramp[i] = ColourRamp.rgb(i / (COLOURS - 1.0));
        return ramp;
    }
}
