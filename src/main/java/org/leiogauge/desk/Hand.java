// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

/** What a press of the mouse on an image does. */
enum Hand {
    LOOK("Look", "moves the crosshair"),
    FREEHAND("Draw round", "goes round the lesion on this slice"),
    POLYGON("Draw by points", "a point per click; Enter or a double click joins them"),
    ELLIPSE("Ellipse", "drag from corner to corner"),
    BRUSH("Brush", "paints the lesion"),
    ADD("Surely lesion", "a stroke that refinement holds to"),
    TAKE("Surely not", "a stroke that refinement holds to"),
    REFERENCE("Reference", "a click places a region, a click on one takes it away");

    private final String words;
    private final String does;

    Hand(String words, String does) {
        this.words = words;
        this.does = does;
    }

    String words() {
        return words;
    }

    String does() {
        return does;
    }

    /** Whether a stroke has a width. */
    boolean hasWidth() {
        return this == BRUSH || this == ADD || this == TAKE;
    }
}
