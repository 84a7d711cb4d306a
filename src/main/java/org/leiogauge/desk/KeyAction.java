// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

/**
 * Something the reader can do by a key.
 *
 * @param stroke as Swing reads it, {@code typed d}
 * @param key as the reader reads it
 * @param words what it does
 */
record KeyAction(Group group, String stroke, String key, String words, Runnable action) {
    /** In the order of the list. */
    enum Group {
        STUDY("Study"),
        LOOK("Looking"),
        OUTLINE("Outline"),
        REFINE("Refinement"),
        REFERENCES("Reference regions"),
        MAPS("See-through maps"),
        READING("Reading");

        private final String words;

        Group(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }
}
