// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import org.leiogauge.image.Mask;
import org.leiogauge.lesion.LesionEnhancement.Images;
import org.leiogauge.lesion.LesionEnhancement.Settings;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.NotMeasured;

/**
 * Which share of the enhancing voxels goes on rising, stays, or falls after its initial part.
 *
 * <p>c = 100 (S_last - S_i) / S_i, with S_i the highest signal of the phases up to the end of the initial part. Persistent:
 * c above the cut-off; wash-out: below minus the cut-off; plateau: between. Not measured without a phase on both sides.
 *
 * <p>Source: common practice, no source.
 */
final class CurveShapes {
    private static final List<Definition> SHAPES = List.of(
            LesionDefinitions.PERSISTENT_SHARE, LesionDefinitions.PLATEAU_SHARE, LesionDefinitions.WASH_OUT_SHARE);
    // Beyond this the noise alone carries one voxel in six over the cut-off.
    private static final double LOUD = 1;

    private CurveShapes() {}

    static List<LesionValue> measure(Images images, Mask lesion, Settings settings) {
        int phases = images.phases().size();
        int initial = 0;
        while (initial < phases && images.phases().get(initial).phase().timeSeconds() <= settings.initialSeconds())
            initial++;
        if (initial == 0 || initial == phases)
            return missing((initial == 0 ? "no phase up to " : "no phase after ")
                    + LesionEnhancement.seconds(settings.initialSeconds()));
        long[] counts = new long[3];
        double signal = 0;
        float[] pre = images.pre().voxels();
        float[][] relative =
                images.maps().relative().stream().map(map -> map.voxels()).toArray(float[][]::new);
        for (int i = 0; i < pre.length; i++) {
            if (lesion.voxels()[i] == 0 || images.maps().nonEnhancing().voxels()[i] != 0) continue;
            if (Float.isNaN(relative[0][i])) continue;
            double highest = relative[0][i];
            for (int p = 1; p < initial; p++) highest = Math.max(highest, relative[p][i]);
            if (!(highest > -100)) continue;
            double change = 100 * (relative[phases - 1][i] - highest) / (100 + highest);
            counts[change > settings.curvePercent() ? 0 : change >= -settings.curvePercent() ? 1 : 2]++;
            signal += pre[i] * (1 + highest / 100);
        }
        long all = counts[0] + counts[1] + counts[2];
        if (all == 0) return missing("no voxel of the lesion enhances");
        double spread = 100 * Math.sqrt(2) * settings.noise() * all / signal;
        String caution = spread > LOUD * settings.curvePercent() ? "noise as large as the cut-off" : "";
        return List.of(share(0, counts, all, caution), share(1, counts, all, caution), share(2, counts, all, caution));
    }

    private static LesionValue share(int shape, long[] counts, long all, String caution) {
        return LesionValue.of(SHAPES.get(shape), new Measurement.Measured((double) counts[shape] / all))
                .with(caution);
    }

    private static List<LesionValue> missing(String reason) {
        return SHAPES.stream()
                .map(shape -> LesionValue.of(shape, new NotMeasured(reason)))
                .toList();
    }
}
