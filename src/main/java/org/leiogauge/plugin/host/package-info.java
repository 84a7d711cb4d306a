/**
 * Entries for the menu of the classic host, recordable as macros with options {@code key=value}. They read the active image
 * and the region drawn on it and show their results as the host's tables, images and overlays.
 *
 * <p>Needs the host's classes alone, no SciJava context. It promises nothing about images without a size in mm: those get a
 * message.
 */
package org.leiogauge.plugin.host;
