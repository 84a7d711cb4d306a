/**
 * Entries for the menu of the classic host, recordable as macros with options {@code key=value}. They read the active image
 * and the region drawn on it and show their results as the host's tables, images and overlays.
 *
 * <p>What the menu names needs the host's classes alone. A step of a case is a SciJava command:
 * {@link org.leiogauge.plugin.host.Step} opens the way to it, with SciJava's classes out of our own jar where the host has
 * none, and {@link org.leiogauge.plugin.host.StepEntry} makes its dialog and shows its outputs. It promises nothing about images
 * without a size in mm: those get a message.
 */
package org.leiogauge.plugin.host;
