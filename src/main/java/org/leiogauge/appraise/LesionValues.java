// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.table.Interval;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;

/** The measured values of one lesion, looked up by what a criterion names. */
final class LesionValues {
    private final List<LesionRow> rows;

    LesionValues(List<LesionRow> rows) {
        this.rows = List.copyOf(rows);
    }

    /**
     * A value with what the table says of it.
     *
     * @param row where it stands; none if it stands nowhere
     */
    record Found(Measurement value, Optional<LesionRow> row) {
        Optional<Interval> interval() {
            return value.number().isEmpty() ? Optional.empty() : row.flatMap(LesionRow::interval);
        }

        String caution() {
            return row.map(LesionRow::caution).orElse("");
        }
    }

    Found find(FeatureKey key) {
        List<LesionRow> named = rows.stream().filter(key::names).toList();
        if (named.isEmpty()) return none("the table has no " + key.label());
        if (named.size() > 1) return none("the table has " + named.size() + " values of " + key.label());
        LesionRow row = named.get(0);
        String unit = row.value().definition().unit();
        if (!unit.equals(key.unit())) return none("the table has it in " + unit + ", not in " + key.unit());
        return new Found(row.value().measurement(), Optional.of(row));
    }

    private static Found none(String reason) {
        return new Found(new NotMeasured(reason), Optional.empty());
    }

    /**
     * A value drawn from about the measured one: a normal distribution on either side, with the value as its median and the
     * interval's ends as its 2.5 % and 97.5 % points, which the table's interval is made to be. Common practice, no
     * source.
     *
     * @param draw the draw's own generator
     */
    static Measurement draw(Found found, SplittableRandom draw) {
        double z = draw.nextGaussian() / Proportion.Z;
        if (found.interval().isEmpty()) return found.value();
        double value = found.value().number().orElseThrow();
        Interval interval = found.interval().get();
        double reach = z < 0 ? value - interval.low() : interval.high() - value;
        return new Measured(value + z * Math.max(0, reach));
    }
}
