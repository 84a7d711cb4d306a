// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/** The pictures of one series: the lesion on its slices, and the histogram of its values. */
public final class Pictures {
    private Pictures() {}

    /**
     * @param key the series' role as in file names
     * @param words the series' role as a reader says it
     * @param mask on the volume's grid, not empty, with finite values inside
     */
    public static List<Figure> of(String key, String words, Volume volume, Mask mask) {
        List<Figure> figures = new ArrayList<>();
        int slices = volume.grid().size().z();
        List<Integer> shown = LesionPicture.slices(mask);
        int largest = shown.stream()
                .max((a, b) -> LesionPicture.area(mask, a) - LesionPicture.area(mask, b))
                .orElseThrow();
        for (int z : shown)
            figures.add(new Figure(
                    String.format(Locale.ROOT, "%s-slice-%03d", key, z + 1),
                    words + ", slice " + (z + 1) + " of " + slices
                            + (z == largest ? ", where the lesion is largest" : ""),
                    LesionPicture.draw(volume, mask, z)));
        figures.add(new Figure(
                key + "-histogram",
                words + ": how the lesion's values are spread",
                HistogramPicture.draw(volume, mask, "value, in the series' own unit")));
        return figures;
    }
}
