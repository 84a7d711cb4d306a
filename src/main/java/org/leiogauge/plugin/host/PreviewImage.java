// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import java.util.Optional;
import java.util.function.BiConsumer;

/** An image of its own for what a dialog would bring, shown while the dialog is open. For the event thread. */
final class PreviewImage implements AutoCloseable {
    private final BiConsumer<ImagePlus, ImagePlus> renewal;
    private Optional<ImagePlus> shown = Optional.empty();

    /** @param renewal puts into the image that is shown what another holds */
    PreviewImage(BiConsumer<ImagePlus, ImagePlus> renewal) {
        this.renewal = renewal;
    }

    /** Shows what the image holds, in the window that is open already if the reader has left it open. */
    void show(ImagePlus next) {
        if (shown.isPresent() && shown.get().isVisible()) {
            renewal.accept(shown.get(), next);
            return;
        }
        next.setTitle(next.getTitle() + ", preview");
        next.show();
        shown = Optional.of(next);
    }

    /** The image that was shown last; none before the first. */
    Optional<ImagePlus> shown() {
        return shown;
    }

    @Override
    public void close() {
        shown.ifPresent(image -> {
            // else the host asks whether to save it
            image.changes = false;
            image.close();
        });
    }
}
