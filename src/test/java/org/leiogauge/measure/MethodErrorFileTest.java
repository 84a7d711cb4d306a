// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.leiogauge.lesion.Bounds;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.measure.AccuracyTrial.Comparison;
import org.leiogauge.measure.AccuracyTrial.Protocol;
import org.leiogauge.measure.MethodErrorFile.Entry;
import org.leiogauge.phantom.Preset;
import org.leiogauge.stability.MethodError;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement.Measured;

class MethodErrorFileTest {
    private static final AccuracyTrial TRIAL = new AccuracyTrial(Preset.DEMO, 1, Protocol.STANDARD);

    @Test
    void everyShippedErrorIsOfAFeatureThatIsMeasured() {
        Set<String> known =
                LesionDefinitions.all().stream().map(Definition::feature).collect(Collectors.toSet());
        for (String name : MethodErrorFile.shipped().byName().keySet())
            assertThat(known).anyMatch(feature -> name.equals(feature) || name.startsWith(feature + " "));
        // Oracle: the signs that truth.csv of the phantom has as a number.
        assertThat(MethodErrorFile.shipped().byName().keySet())
                .contains("volume", "margin sharpness", "t2 signal ratio to muscle", "relative enhancement", "adc p50");
    }

    // Oracle: the definitions' bounds, which the generator writes.
    @Test
    void noShippedIntervalLeavesWhatTheFeatureCanBe() {
        MethodErrors shipped = MethodErrorFile.shipped();
        for (Definition definition : LesionDefinitions.all())
            shipped.byName().forEach((name, error) -> {
                if (!name.equals(definition.feature())) return;
                assertThat(new Bounds(error.least(), error.most())).as(name).isEqualTo(Bounds.of(definition));
            });
        MethodError kurtosis = shipped.byName().get("adc kurtosis");
        assertThat(kurtosis.widen(1, new Interval(0.9, 1.1)).low()).isEqualTo(-2);
        List<Comparison> lesions = List.of(comparison("adc kurtosis", 3, 1, 0), comparison("adc kurtosis", -1, 1, 0));
        assertThat(IntervalCalibration.of(lesions, "")
                        .features()
                        .get("adc kurtosis")
                        .least())
                .hasValue(-2.0);
    }

    @Test
    void theErrorOfAnAggregationGoesBeforeThatOfItsFeature() {
        Definition definition = LesionDefinitions.RELATIVE_ENHANCEMENT;
        MethodError any = new MethodErrorFile.Entry(
                        Optional.of(4.0), Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty(), 0)
                .error();
        MethodErrors errors =
                new MethodErrors(Map.of(definition.feature(), any, definition.feature() + " 30 s", MethodError.NONE));
        assertThat(errors.of(value(definition, "60 s"))).isEqualTo(any);
        assertThat(errors.of(value(definition, "30 s"))).isEqualTo(MethodError.NONE);
        assertThat(errors.meaning(value(definition, "60 s"))).contains("not calibrated on patients");
        assertThat(errors.meaning(value(definition, "30 s"))).contains("the error of the method itself is not known");
    }

    // Oracle: counted by hand: of 20 errors of 1 to 20 at the value 100 the 19th, 95 %, is 19; as a share it is as
    // much,
    // so the number is kept. Where errors grow with values, the share is the narrower.
    @Test
    void theErrorIsTheQuantileOfTheErrorsAsANumberOrAShare() {
        List<Comparison> even = IntStream.rangeClosed(1, 20)
                .mapToObj(i -> comparison("volume", 100 - i, 100, 0))
                .toList();
        Entry entry = IntervalCalibration.of(even, "").features().get("volume");
        assertThat(entry.absolute()).hasValue(19.0);
        assertThat(entry.relative()).isEmpty();
        assertThat(entry.range()).isEqualTo(19);
        List<Comparison> growing = IntStream.rangeClosed(1, 20)
                .mapToObj(i -> comparison("volume", 0.9 * (i + 4), i + 4, 0))
                .toList();
        entry = IntervalCalibration.of(growing, "").features().get("volume");
        assertThat(entry.absolute()).isEmpty();
        assertThat(entry.relative().orElseThrow()).isBetween(0.1, 0.101);
        // a value that may be 0 has no share
        List<Comparison> zeros = new ArrayList<>(growing);
        zeros.add(comparison("volume", 0, 0, 0));
        assertThat(IntervalCalibration.of(zeros, "").features().get("volume").relative())
                .isEmpty();
    }

    @Test
    void errorsThatGrowWithTheSpreadOfTheAdcAreAShareOfIt() {
        List<Comparison> lesions = new ArrayList<>();
        for (int i = 1; i <= 20; i++) lesions.add(comparison("adc p50", 1, 1 + 0.05 * i, 0.1 * i));
        MethodErrorFile file = IntervalCalibration.of(lesions, "");
        assertThat(file.features().get("adc p50").ofSpread().orElseThrow()).isBetween(0.5, 0.51);
        // Oracle: by hand, half of a spread of 2 about 1.2, with draws of no width.
        Interval stated = IntervalCalibration.stated(comparison("adc p50", 1, 1.2, 2), file);
        assertThat(stated.low()).isBetween(0.17, 0.2);
        assertThat(stated.high()).isBetween(2.2, 2.23);
        assertThat(IntervalCalibration.covers(comparison("adc p50", 1, 1.2, 2), file))
                .isTrue();
        assertThat(IntervalCalibration.covers(comparison("adc p50", 1, 1.2, 0.2), file))
                .isFalse();
    }

    private static FeatureValue value(Definition definition, String aggregation) {
        return new FeatureValue(definition, new Aggregation(aggregation, ""), new Measured(1));
    }

    private static Comparison comparison(String feature, double truth, double found, double spread) {
        return new Comparison(TRIAL, feature, "", truth, found, Optional.of(new Interval(found, found)), spread);
    }
}
