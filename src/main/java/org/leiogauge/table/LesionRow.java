// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.util.Optional;

/**
 * One value of one lesion, with where it comes from and how far it may be trusted.
 *
 * @param caseName the case's pseudonym
 * @param lesion which lesion of the case
 * @param region which part of it, as {@code lesion}
 * @param series the role of the series it was measured on; empty for shape alone
 * @param interval where it was asked for
 * @param caution why the value wants care; empty if it does not
 */
public record LesionRow(
        String caseName,
        String lesion,
        String region,
        String series,
        FeatureValue value,
        Optional<Interval> interval,
        String caution) {

    /** How far a value may be trusted. */
    public enum Status {
        OK("ok"),
        CAUTION("caution"),
        NOT_MEASURED("not measured");

        private final String text;

        Status(String text) {
            this.text = text;
        }

        @Override
        public String toString() {
            return text;
        }
    }

    public Status status() {
        if (value.measurement().number().isEmpty()) return Status.NOT_MEASURED;
        return caution.isEmpty() ? Status.OK : Status.CAUTION;
    }

    /** The reason why there is no value, or why the one there is wants care. */
    public String note() {
        String reason = value.measurement().reason();
        return reason.isEmpty() ? caution : reason;
    }

    /** The name of this value's column in a table with one row per lesion; unique within a lesion. */
    public String column() {
        Definition definition = value.definition();
        String name = String.join(
                "/",
                region,
                series,
                definition.group(),
                definition.feature(),
                value.aggregation().name());
        return name.replaceAll("/+", "/").replaceAll("^/|/$", "").replace(' ', '-');
    }
}
