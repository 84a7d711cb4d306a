// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import org.leiogauge.table.LesionRow;

/**
 * Which value of a lesion, without the lesion: what two tables are matched by.
 *
 * @param column its column in the wide table
 * @param unit as UCUM
 */
public record FeatureKey(String column, String unit) {
    static FeatureKey of(LesionRow row) {
        return new FeatureKey(row.column(), row.value().definition().unit());
    }
}
