// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/** One slice of a series around the lesion, in grey, with the lesion's outline and the patient's directions at the edges. */
final class LesionPicture {
    private LesionPicture() {}

    /** The slice with most of the lesion, and those a quarter and three quarters of the way through it; in order. */
    static List<Integer> slices(Mask mask) {
        Box box = mask.boundingBox().orElseThrow();
        int extent = box.maxZ() - box.minZ();
        return IntStream.of(box.minZ() + extent / 4, largest(mask), box.minZ() + (3 * extent + 2) / 4)
                .sorted()
                .distinct()
                .boxed()
                .toList();
    }

    /** The slice with most of the lesion. */
    static int largest(Mask mask) {
        Box box = mask.boundingBox().orElseThrow();
        return IntStream.rangeClosed(box.minZ(), box.maxZ())
                .boxed()
                .max(Comparator.comparingInt(z -> area(mask, z)))
                .orElseThrow();
    }

    private static int area(Mask mask, int z) {
        int pixels = mask.grid().size().x() * mask.grid().size().y();
        int count = 0;
        for (int i = z * pixels; i < (z + 1) * pixels; i++) count += mask.voxels()[i];
        return count;
    }

    /** @param mask on the volume's grid */
    static BufferedImage draw(Volume volume, Mask mask, int z) {
        Box box = SliceView.around(volume.grid(), mask, z);
        Volume slice = volume.crop(box);
        SliceView view = new SliceView(slice.grid());
        BufferedImage picture = view.picture(0);
        Graphics2D g = SliceView.smooth(picture);
        view.draw(g, SliceView.grey(slice));
        view.outline(g, mask.crop(box));
        view.directions(g);
        g.dispose();
        return picture;
    }
}
