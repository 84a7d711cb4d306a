// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/**
 * How a value was put together from slices or directions.
 *
 * @param name as the standard says it, lower case
 * @param code the standard's four-character code; empty where there is none
 */
public record Aggregation(String name, String code) {
    /** For what has no aggregation. */
    public static final Aggregation NONE = new Aggregation("", "");
}
