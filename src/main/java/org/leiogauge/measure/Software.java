// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

/** What this program calls itself in reports. */
public final class Software {
    public static final String VERSION = "0.1.0";
    public static final String NAME = "Leiogauge " + VERSION;

    private Software() {}
}
