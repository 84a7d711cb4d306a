/**
 * Commands for hosts of the SciJava family, and in {@link org.leiogauge.plugin.host} entries for the classic host. Thin: a
 * command reads its inputs, calls what the command line calls too, and hands the results over as outputs.
 *
 * <p>Uses all packages but the other front ends. Every command runs without a window and by its class's name. It promises
 * no dialogs: those come from the host.
 */
package org.leiogauge.plugin;
