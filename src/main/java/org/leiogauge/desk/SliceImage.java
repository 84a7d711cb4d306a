// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Size;

/** A slice of one series with the maps over it, painted anew only when something else is to be seen. For the event thread. */
final class SliceImage {
    private Optional<Kept> last = Optional.empty();

    private record Kept(Painted what, BufferedImage image) {}

    private record Painted(int frame, int z, int every, GreyRange range, List<Layer> layers, double opacity) {}

    BufferedImage of(Lightbox.Slot shown, View view, Layers layers) {
        Painted what =
                new Painted(shown.frame(), view.slice(), view.every(), shown.range(), layers.shown(), layers.opacity());
        if (last.filter(kept -> kept.what.equals(what)).isEmpty())
            last = Optional.of(new Kept(what, painted(shown.picture().orElseThrow(), what)));
        return last.get().image;
    }

    private BufferedImage painted(Picture picture, Painted what) {
        Size size = picture.grid().size();
        int width = SlicePainter.painted(size.x(), what.every);
        int height = SlicePainter.painted(size.y(), what.every);
        BufferedImage image = last.map(Kept::image)
                .filter(old -> old.getWidth() == width && old.getHeight() == height)
                .orElseGet(() -> new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB));
        int[] pixels = ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
        SlicePainter.paint(
                picture.volume(what.frame), what.z, what.range, what.layers, what.opacity, what.every, pixels);
        return image;
    }
}
