// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Size;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Workers;

/**
 * The largest part of the lesion that does not enhance: how large, how deep in the lesion, and how sharply it ends.
 *
 * <p>Centrality: mean over the pocket of the share of the lesion's voxels that lie nearer to the lesion's surface, equals
 * counted half; so 0.5 for a pocket spread evenly. Border width: {@link StepProfile} of the signal's rise over the signed
 * distance to the pocket's surface.
 *
 * <p>Source: common practice, no source.
 */
final class NonEnhancingPocket {
    private static final int RANKS = 2048;
    private static final String NONE = "nothing in the lesion does not enhance";

    private NonEnhancingPocket() {}

    static List<LesionValue> measure(Enhancement.Maps maps, Mask lesion, Workers workers) {
        Mask without = both(maps.nonEnhancing(), lesion);
        if (without.isEmpty()) return values(new Measured(0), new NotMeasured(NONE), new NotMeasured(NONE));
        Box box = lesion.boundingBox().orElseThrow().grow(1, 1, 1);
        Mask part = lesion.crop(box);
        Mask notHere = without.crop(box);
        Mask pocket = ConnectedComponents.label(notHere, Neighbourhood.CORNERS).largest();
        float[] depth = DistanceTransform.signed(part, workers).voxels();
        float[] rise = cropped(maps.rise().voxels(), lesion.grid().size(), box);
        double pixel =
                Math.max(lesion.grid().spacing().x(), lesion.grid().spacing().y());
        StepProfile profile = new StepProfile(pixel / 2);
        float[] away = DistanceTransform.signed(pocket, workers).voxels();
        for (int i = 0; i < rise.length; i++) {
            boolean other = notHere.voxels()[i] != pocket.voxels()[i];
            // The lesion's outermost voxels are partly something else.
            if (!other && depth[i] < -pixel && Float.isFinite(rise[i]))
                profile.add(away[i] - Math.signum(away[i]) * pixel / 2, rise[i]);
        }
        return values(new Measured(pocket.volume()), centrality(depth, pocket), profile.width());
    }

    private static List<LesionValue> values(Measurement volume, Measurement centrality, Measurement border) {
        return List.of(
                LesionValue.of(LesionDefinitions.NON_ENHANCING_POCKET, volume),
                LesionValue.of(LesionDefinitions.POCKET_CENTRALITY, centrality),
                LesionValue.of(LesionDefinitions.POCKET_BORDER, border));
    }

    private static Measurement centrality(float[] depth, Mask pocket) {
        float deepest = 0;
        for (float d : depth) deepest = Math.max(deepest, -d);
        double scale = (RANKS - 1) / deepest;
        long[] all = new long[RANKS];
        long[] own = new long[RANKS];
        long voxels = 0;
        for (int i = 0; i < depth.length; i++) {
            if (!(depth[i] < 0)) continue;
            int at = (int) (-depth[i] * scale);
            all[at]++;
            voxels++;
            own[at] += pocket.voxels()[i];
        }
        double sum = 0;
        long nearer = 0;
        for (int r = 0; r < RANKS; r++) {
            sum += own[r] * (nearer + all[r] / 2.0);
            nearer += all[r];
        }
        return Measurement.of(sum / voxels / pocket.count(), NONE);
    }

    private static Mask both(Mask one, Mask other) {
        byte[] shared = one.voxels().clone();
        for (int i = 0; i < shared.length; i++) shared[i] &= other.voxels()[i];
        return new Mask(other.grid(), shared);
    }

    // The box may reach outside the grid; there is no value there.
    private static float[] cropped(float[] voxels, Size size, Box box) {
        Size part = box.size();
        float[] inside = new float[part.voxels()];
        Arrays.fill(inside, Float.NaN);
        Box shared = box.clip(size);
        for (int z = shared.minZ(); z <= shared.maxZ(); z++)
            for (int y = shared.minY(); y <= shared.maxY(); y++)
                System.arraycopy(
                        voxels,
                        (z * size.y() + y) * size.x() + shared.minX(),
                        inside,
                        ((z - box.minZ()) * part.y() + y - box.minY()) * part.x() + shared.minX() - box.minX(),
                        shared.size().x());
        return inside;
    }
}
