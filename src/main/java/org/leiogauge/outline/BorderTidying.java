// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Size;

/** A region made whole: loose pieces dropped, holes filled; and how well its border sits. */
final class BorderTidying {
    private BorderTidying() {}

    /** In one piece with what is settled, without holes nobody drew. */
    static byte[] tidy(Band band, byte[] inside) {
        return filled(band, anchored(band, inside));
    }

    private static byte[] anchored(Band band, byte[] inside) {
        ConnectedComponents.Components pieces =
                ConnectedComponents.label(new Mask(band.grid, inside), Neighbourhood.FACES);
        boolean[] kept = new boolean[pieces.count() + 1];
        boolean any = false;
        for (int i = 0; i < inside.length; i++)
            if (band.place[i] == Band.INSIDE) {
                kept[pieces.labels()[i]] = true;
                any = true;
            }
        if (!any) return pieces.largest().voxels();
        byte[] anchored = new byte[inside.length];
        for (int i = 0; i < inside.length; i++)
            anchored[i] = (byte) (inside[i] != 0 && kept[pieces.labels()[i]] ? 1 : 0);
        return anchored;
    }

    // A hole stays if it reaches a voxel settled as outside or the block's border, or if all of it was drawn as one.
    private static byte[] filled(Band band, byte[] inside) {
        byte[] rest = new byte[inside.length];
        for (int i = 0; i < rest.length; i++) rest[i] = (byte) (1 - inside[i]);
        ConnectedComponents.Components holes =
                ConnectedComponents.label(new Mask(band.grid, rest), Neighbourhood.FACES);
        boolean[] open = new boolean[holes.count() + 1];
        boolean[] drawnOver = new boolean[holes.count() + 1];
        Size size = band.grid.size();
        for (int i = 0; i < rest.length; i++) {
            if (rest[i] == 0) continue;
            int hole = holes.labels()[i];
            open[hole] |= band.place[i] == Band.OUTSIDE || isAtBorder(size, i);
            drawnOver[hole] |= band.distance[i] <= 0;
        }
        byte[] filled = Arrays.copyOf(inside, inside.length);
        for (int i = 0; i < rest.length; i++) {
            int hole = holes.labels()[i];
            if (rest[i] != 0 && !open[hole] && drawnOver[hole]) filled[i] = 1;
        }
        return filled;
    }

    private static boolean isAtBorder(Size size, int i) {
        int x = i % size.x();
        int y = i / size.x() % size.y();
        int z = i / size.x() / size.y();
        return x == 0 || y == 0 || z == 0 || x == size.x() - 1 || y == size.y() - 1 || z == size.z() - 1;
    }

    /**
     * Mean length of the step of all channels across the border within slices, from the voxel behind the innermost to the
     * one behind the outermost: both free of partial volume.
     */
    static double step(Band band, byte[] inside) {
        Size size = band.grid.size();
        double sum = 0;
        long faces = 0;
        for (int axis = 0; axis < 2; axis++) {
            int step = axis == 0 ? 1 : size.x();
            int extent = axis == 0 ? size.x() : size.y();
            for (int i = 0; i < inside.length; i++) {
                int at = i / step % extent;
                if (at < 1 || at + 2 >= extent || inside[i] == inside[i + step]) continue;
                double square = 0;
                for (float[] channel : band.channels) {
                    float d = channel[i - step] - channel[i + 2 * step];
                    if (!Float.isNaN(d)) square += (double) d * d;
                }
                sum += Math.sqrt(square);
                faces++;
            }
        }
        return faces == 0 ? 0 : sum / faces;
    }
}
