// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.Comparator;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Series;

/** The volume of a series that shows most anatomy: the lowest b-value, or the last phase. */
final class AlignmentImage {
    private AlignmentImage() {}

    static Volume of(Series.Content content) {
        return content.frames().stream()
                .min(Comparator.comparingDouble((Frame f) -> f.bValue().orElse(0))
                        .thenComparingDouble(f -> -f.seconds().orElse(0)))
                .orElseThrow()
                .volume();
    }
}
