// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Optional;
import java.util.OptionalInt;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.outline.Refined;

/**
 * The lesion on the desk: its drawing, the one series that it is drawn on, and the border that refinement proposes. For one
 * thread.
 */
final class DrawnLesion {
    private final Lightbox lightbox;
    private final Host host;
    private Optional<Drawing> drawing = Optional.empty();
    private OptionalInt drawnOn = OptionalInt.empty();
    private Optional<Refined> preview = Optional.empty();
    private long corrections;

    DrawnLesion(Lightbox lightbox, Host host) {
        this.lightbox = lightbox;
        this.host = host;
    }

    /** Where it tells what happened to it. */
    interface Host {
        /** Something else is to be shown. */
        void changed();

        /** Something else is to be shown and to be saved. */
        void edited();

        /** A word to the reader. */
        void say(String words);
    }

    /** Nothing is drawn of another study yet; who puts it on the desk tells of it. */
    void begin() {
        drawing = Optional.empty();
        drawnOn = OptionalInt.empty();
        preview = Optional.empty();
    }

    Optional<Drawing> drawing() {
        return drawing;
    }

    /** Whether there is a lesion. */
    boolean isDrawn() {
        return drawing.isPresent() && !drawing.get().isEmpty();
    }

    /** The series that the lesion is drawn on. */
    OptionalInt drawnOn() {
        return drawnOn;
    }

    /**
     * The drawing, to be drawn on a series: a new one where there is none.
     *
     * @return none, with a word to the reader, if the lesion is being drawn on another series
     */
    Optional<Drawing> drawOn(int slot) {
        Optional<Picture> picture = lightbox.picture(slot);
        if (picture.isEmpty()) return Optional.empty();
        if (drawing.isEmpty() || drawing.get().isEmpty() && drawnOn.orElse(slot) != slot) {
            drawing = Optional.of(new Drawing(picture.get().grid()));
            drawnOn = OptionalInt.of(slot);
        }
        if (drawnOn.getAsInt() == slot) return drawing;
        host.say("The lesion is drawn on "
                + Picture.title(lightbox.slots().get(drawnOn.getAsInt()).series())
                + ": go on there, or clear it first.");
        return Optional.empty();
    }

    /** A region from a file. */
    void put(int slot, Mask region) {
        Drawing fresh = new Drawing(region.grid());
        fresh.replace(region);
        drawing = Optional.of(fresh);
        drawnOn = OptionalInt.of(slot);
        fresh.largestSlice().ifPresent(z -> {
            Box box = region.boundingBox().orElseThrow();
            lightbox.lookAt(region.grid().point((box.minX() + box.maxX()) / 2.0, (box.minY() + box.maxY()) / 2.0, z));
        });
        edited();
    }

    /** After every change of the drawing, or of what else refinement went by: its proposal holds no longer. */
    void edited() {
        preview = Optional.empty();
        host.edited();
    }

    /** After a stroke that refinement has to hold to. */
    void corrected() {
        corrections++;
        edited();
    }

    /** Another number after every such stroke. */
    long corrections() {
        return corrections;
    }

    void undo() {
        if (drawing.isPresent() && drawing.get().undo()) edited();
        else host.say("There is nothing to take back.");
    }

    void redo() {
        if (drawing.isPresent() && drawing.get().redo()) edited();
        else host.say("There is nothing to do again.");
    }

    /** Takes the whole drawing away; that, too, can be taken back. */
    void clear() {
        drawing.ifPresent(Drawing::clear);
        edited();
    }

    /** Puts the lesion of this slice on the next one, and goes there. */
    void copySlice(int by) {
        if (drawing.isEmpty() || drawnOn.isEmpty()) {
            host.say("There is nothing drawn to copy.");
            return;
        }
        int slot = drawnOn.getAsInt();
        int z = lightbox.slice(slot);
        drawing.get().copy(z, z + by);
        lightbox.scroll(slot, by);
        edited();
    }

    /** What refinement found, until the reader keeps or leaves it. */
    Optional<Refined> preview() {
        return preview;
    }

    void preview(Refined refined) {
        preview = Optional.of(refined);
        host.changed();
    }

    /** @return whether there was one */
    boolean keepPreview() {
        if (preview.isEmpty() || drawing.isEmpty()) return false;
        drawing.get().replace(preview.get().mask());
        edited();
        return true;
    }

    /** @return whether there was one */
    boolean leavePreview() {
        if (preview.isEmpty()) return false;
        preview = Optional.empty();
        host.changed();
        return true;
    }
}
