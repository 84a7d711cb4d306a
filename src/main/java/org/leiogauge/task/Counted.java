// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

/** A number with what it counts, as people say it: 1 case, 2 cases. */
public final class Counted {
    private Counted() {}

    /** @param one the thing's name, whose plural has an s */
    public static String of(int number, String one) {
        return number + " " + one + (number == 1 ? "" : "s");
    }
}
