// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.report.PartsPicture.Look;

/** The pictures of one lesion's report. Volumes and masks that come together lie on one grid; masks are not empty. */
public final class Pictures {
    private Pictures() {}

    /** The slices of a series that show a lesion best: the largest, and those a quarter and three quarters through it. */
    public static List<Integer> slices(Mask mask) {
        return LesionPicture.slices(mask);
    }

    /** The slice with most of the lesion. */
    public static int largest(Mask mask) {
        return LesionPicture.largest(mask);
    }

    /** What a picture shows of the slice with most of the lesion. */
    public static Box view(Mask mask) {
        return SliceView.around(mask.grid(), mask, largest(mask));
    }

    /**
     * The lesion's outline on a slice of a series.
     *
     * @param key the series' role as in file names
     * @param words the series' role as a reader says it
     */
    public static Figure outline(String key, String words, Volume volume, Mask mask, int slice) {
        return new Figure(
                String.format(Locale.ROOT, "%s-slice-%03d", key, slice + 1),
                words + ", slice " + (slice + 1) + " of " + volume.grid().size().z()
                        + (slice == largest(mask) ? ", where the lesion is largest" : ""),
                LesionPicture.draw(volume, mask, slice));
    }

    /** How often each value occurs in the lesion; its values are finite. */
    public static Figure histogram(String key, String words, Volume volume, Mask mask, String axis) {
        return new Figure(
                key + "-histogram",
                words + ": how the lesion's values are spread",
                HistogramPicture.draw(volume, mask, axis));
    }

    /**
     * A map in colour, on the slice with most of the lesion.
     *
     * @param low value of the colour bar's left end
     * @param high value of its right end
     * @param axis quantity and unit
     */
    public static Figure map(String key, String words, Volume map, Mask mask, double low, double high, String axis) {
        return new Figure(key + "-map", words, MapPicture.draw(map, mask, low, high, axis));
    }

    /** Parts of the lesion on one slice; an absent one is not drawn, an empty one is named as such. */
    public static final class Parts {
        private final List<PartsPicture.Part> parts = new ArrayList<>();

        public Parts nonEnhancing(Mask mask) {
            return add(Look.NON_ENHANCING, mask);
        }

        public Parts t1Bright(Mask mask) {
            return add(Look.T1_BRIGHT, mask);
        }

        public Parts cystic(Mask mask) {
            return add(Look.CYSTIC, mask);
        }

        public Parts t2Bright(Mask mask) {
            return add(Look.T2_BRIGHT, mask);
        }

        public Parts restricted(Mask mask) {
            return add(Look.RESTRICTED, mask);
        }

        public boolean isEmpty() {
            return parts.isEmpty();
        }

        private Parts add(Look look, Mask mask) {
            parts.add(new PartsPicture.Part(look, mask));
            return this;
        }

        /**
         * @param slice of one slice, to lay the parts over
         * @param words what the slice is
         */
        public Figure figure(String name, String words, Volume slice, Mask lesion) {
            String what = String.join(
                    ", ", parts.stream().map(part -> part.look().words()).toList());
            return new Figure(name, words + ": " + what, PartsPicture.draw(slice, lesion, parts));
        }
    }

    /**
     * Two images in squares by turns, on one slice.
     *
     * @param moved the other image, brought to the slice's grid
     * @param words what the two are, and how far they may be off
     */
    public static Figure checkerboard(String key, String words, Volume slice, Volume moved, Mask lesion) {
        return new Figure(key + "-alignment", words, CheckerPicture.draw(slice, moved, lesion));
    }

    /** Signal after contrast over time; up to three curves. */
    public static Figure courses(String words, List<ChartPicture.Curve> curves) {
        return new Figure(
                "enhancement-curve",
                words,
                ChartPicture.curves(curves, "time after injection (s)", "relative enhancement (%)"));
    }

    /** What speaks for and against each textbook pattern. */
    public static Figure patterns(Appraisal appraisal) {
        return new Figure(
                "pattern-chart",
                "Measured signs beside textbook patterns; the same as words in the table below",
                PatternPicture.draw(appraisal.chart(), appraisal.signs()));
    }
}
