// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Spacing;
import org.leiogauge.outline.BetweenSlices;
import org.leiogauge.outline.Rough;
import org.leiogauge.study.Outline;
import org.leiogauge.task.Workers;

/**
 * Other regions of the outline's file that lie so near that refinement could take one for the other.
 *
 * <p>A voxel belongs to the region in whose drawn border it lies deeper, or to whose it is nearer; where both are alike, to
 * the one whose name comes first. So refined regions never share a voxel, whichever is asked for.
 *
 * @param theirs voxels that belong to others; on the outline's grid
 * @param decisions what was decided for the reader
 */
record Neighbours(Mask theirs, List<String> decisions) {
    Neighbours {
        decisions = List.copyOf(decisions);
    }

    /**
     * @param filled the outline, filled in between its slices
     * @param others by name, as drawn
     * @param moveMm how far a border may move
     */
    static Neighbours of(Outline outline, Mask filled, Map<String, Mask> others, double moveMm, Workers workers) {
        Box box = near(filled, 2 * moveMm);
        Optional<float[]> own = Optional.empty();
        byte[] theirs = new byte[filled.voxels().length];
        List<String> decisions = new ArrayList<>();
        for (Map.Entry<String, Mask> other : others.entrySet()) {
            Mask whole = BetweenSlices.fill(other.getValue(), BetweenSlices.Settings.standard(), workers);
            Mask there = whole.crop(box);
            if (there.isEmpty()) continue;
            if (own.isEmpty())
                own = Optional.of(
                        DistanceTransform.signed(filled.crop(box), workers).voxels());
            float[] distance = DistanceTransform.signed(there, workers).voxels();
            boolean yields = other.getKey().compareTo(outline.name()) < 0;
            mark(theirs, own.get(), distance, yields, box, filled);
            int shared = shared(filled, whole);
            decisions.add("region " + other.getKey() + " lies next to " + outline.name()
                    + ": a voxel belongs to the one in whose drawn border it lies deeper, or to whose it is nearer"
                    + (shared > 0 ? "; " + shared + " voxels are drawn as both" : ""));
        }
        return new Neighbours(new Mask(filled.grid(), theirs), decisions);
    }

    private static Box near(Mask mask, double mm) {
        Spacing spacing = mask.grid().spacing();
        return mask.boundingBox()
                .orElseThrow()
                .grow((int) Math.ceil(mm / spacing.x()), (int) Math.ceil(mm / spacing.y()), (int)
                        Math.ceil(mm / spacing.z()))
                .clip(mask.grid().size());
    }

    private static void mark(byte[] theirs, float[] own, float[] other, boolean yields, Box box, Mask whole) {
        int i = 0;
        for (int z = box.minZ(); z <= box.maxZ(); z++)
            for (int y = box.minY(); y <= box.maxY(); y++)
                for (int x = box.minX(); x <= box.maxX(); x++, i++)
                    if (other[i] < own[i] || yields && other[i] == own[i])
                        theirs[whole.grid().offset(x, y, z)] = 1;
    }

    private static int shared(Mask one, Mask other) {
        int count = 0;
        for (int i = 0; i < one.voxels().length; i++) count += one.voxels()[i] & other.voxels()[i];
        return count;
    }

    /** What is said of voxels that the file also gives to another region, where the outline is taken as drawn. */
    static List<String> shared(Outline outline, Map<String, Mask> others) {
        List<String> decisions = new ArrayList<>();
        others.forEach((name, mask) -> {
            int shared = shared(outline.mask(), mask);
            if (shared > 0)
                decisions.add(shared + " voxels of " + outline.name() + " are drawn as " + name
                        + ", too; they were measured as " + outline.name());
        });
        return decisions;
    }

    /** The rough outline with what belongs to others settled as outside. */
    Rough apart(Rough rough) {
        if (theirs.isEmpty()) return rough;
        byte[] remove = rough.remove().voxels().clone();
        for (int i = 0; i < remove.length; i++) remove[i] |= theirs.voxels()[i];
        return new Rough(rough.channels(), rough.mask(), rough.add(), new Mask(theirs.grid(), remove));
    }
}
