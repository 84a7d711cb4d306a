// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Point;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.phantom.LesionSettings.Place;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.task.Workers;

class SignalTruthTest {
    private static final Lesion HALVES =
            PlainScene.lesion(PlainScene.ellipsoid(15, 15, 15, Compartment.of(Tissue.CELLULAR, Place.CORE, 0.5)));
    private static final Lesion MIXED =
            PlainScene.lesion(PlainScene.ellipsoid(15, 15, 15, Compartment.of(Tissue.CELLULAR, Place.CORE, 0.3)));

    private static List<TruthRow> rows(PhantomSettings settings, Lesion lesion, Tissue... references) {
        Textures textures = Textures.of(settings);
        Map<Tissue, SampledTissue> at = new EnumMap<>(Tissue.class);
        List<SampledTissue.Place> ball = List.of(new SampledTissue.Place(new Point(0, 80, 0), 5));
        for (Tissue tissue : references) at.put(tissue, SampledTissue.of(tissue, ball, textures, settings));
        return SignalTruth.of(
                settings, SampledTissue.of(lesion, textures, settings, Workers.SINGLE), at, Workers.SINGLE);
    }

    private static SeriesSettings series(
            Kind kind, double tr, double te, double flip, List<Double> bs, List<Double> t) {
        return new SeriesSettings(
                kind, null, 128, 128, 30, 2, 5, null, null, tr, te, flip, false, 50, null, null, bs, t);
    }

    private static final List<SeriesSettings> SERIES = List.of(
            series(Kind.T2, 4000, 100, 90, List.of(), List.of()),
            series(Kind.DWI, 4000, 100, 90, List.of(0.0, 1000.0), List.of()),
            series(Kind.DYNAMIC, 4, 0.1, 12, List.of(), List.of(30.0, 60.0, 120.0)));

    private static PhantomSettings settings(Map<Tissue, TissueProperties> tissues) {
        ScannerSettings scanner = new ScannerSettings(1.5, 4.5, 0, 150, 0, 60, 1e6);
        return PlainScene.with(tissues).with(scanner, SERIES);
    }

    @Test
    void relativeEnhancementMatchesTheHandCalculation() {
        // Oracle: by hand, spoiled gradient echo TR 4, 12 degrees, T1 1514, r1 4.5: 129, 223 and 352 % at 0.25, 0.5 and
        // 1 mmol/L.
        double[] concentrations = {0.25, 0.5, 1};
        double[] enhancements = {129, 223, 352};
        for (int i = 0; i < 3; i++) {
            TissueProperties tissue = PlainScene.tissue(1514, 80, 1, concentrations[i]);
            List<TruthRow> rows = rows(
                    settings(Map.of(Tissue.LEIOMYOMA, tissue, Tissue.CELLULAR, tissue)), HALVES, Tissue.MYOMETRIUM);
            assertThat(PlainScene.value(rows, "relative enhancement", "60 s")).isCloseTo(enhancements[i], within(0.6));
            assertThat(PlainScene.value(rows, "enhancement heterogeneity")).isCloseTo(0, within(1e-9));
        }
    }

    @Test
    void enhancementOfHalvesIsThatOfTheMeanSignal() {
        TissueProperties half = PlainScene.tissue(1514, 80, 1, 0.5);
        TissueProperties dead = PlainScene.tissue(1514, 80, 1, 0);
        List<TruthRow> rows = rows(
                settings(Map.of(Tissue.LEIOMYOMA, half, Tissue.CELLULAR, dead, Tissue.MYOMETRIUM, half)),
                HALVES,
                Tissue.MYOMETRIUM);
        // Oracle: by hand, half of 223 %; 0 and 223 in equal parts have a standard deviation of their mean; the same
        // from
        // the first phase on, so the peak is the first one, with 111.5 % in 30 s.
        assertThat(PlainScene.value(rows, "relative enhancement", "120 s")).isCloseTo(111.5, within(0.4));
        assertThat(PlainScene.value(rows, "early enhancement ratio")).isCloseTo(0.5, within(1e-4));
        assertThat(PlainScene.value(rows, "enhancement heterogeneity")).isCloseTo(1, within(1e-4));
        assertThat(PlainScene.value(rows, "time to peak")).isEqualTo(30);
        assertThat(PlainScene.value(rows, "wash-in slope")).isCloseTo(111.5 / 30, within(0.02));
        assertThat(PlainScene.value(rows, "wash-out slope")).isCloseTo(0, within(1e-9));
    }

    @Test
    void t2RatiosMatchTheHandCalculation() {
        TissueProperties dark = PlainScene.tissue(856, 51, 1, 0);
        TissueProperties bright = PlainScene.tissue(1309, 79, 1, 0);
        List<TruthRow> rows = rows(
                settings(Map.of(
                        Tissue.LEIOMYOMA, dark,
                        Tissue.CELLULAR, bright,
                        Tissue.MUSCLE, dark,
                        Tissue.MYOMETRIUM, bright)),
                HALVES,
                Tissue.MUSCLE,
                Tissue.MYOMETRIUM);
        // Oracle: by hand, TR 4000, TE 100: 0.1394 and 0.2687 in equal parts.
        assertThat(PlainScene.value(rows, "t2 signal ratio to muscle")).isCloseTo(0.20405 / 0.1394, within(1e-3));
        assertThat(PlainScene.value(rows, "t2 signal ratio to myometrium")).isCloseTo(0.20405 / 0.2687, within(1e-3));
        assertThat(PlainScene.value(rows, "t2 coefficient of variation")).isCloseTo(0.06465 / 0.20405, within(1e-3));
    }

    @Test
    void diffusionRatioMatchesTheHandCalculation() {
        TissueProperties slow = PlainScene.tissue(1000, 80, 0.8, 0);
        TissueProperties fast = PlainScene.tissue(1000, 80, 1.6, 0);
        List<TruthRow> rows = rows(
                settings(Map.of(Tissue.LEIOMYOMA, slow, Tissue.CELLULAR, slow, Tissue.ENDOMETRIUM, fast)),
                HALVES,
                Tissue.ENDOMETRIUM);
        // Oracle: by hand, exp(-1000 (0.8 - 1.6) 10⁻³) = 2.2255.
        assertThat(PlainScene.value(rows, "dwi signal ratio to reference", "endometrium"))
                .isCloseTo(Math.exp(0.8), within(1e-6));
        assertThat(rows)
                .filteredOn(row -> row.aggregation().equals("urine"))
                .singleElement()
                .satisfies(
                        row -> assertThat(row.measurement().reason()).isEqualTo("no place for a reference of urine"));
    }

    @Test
    void adcOfTwoTissuesMatchesTheHandCalculation() {
        PhantomSettings settings = settings(Map.of(
                Tissue.LEIOMYOMA, PlainScene.tissue(1000, 80, 0.8, 0.4),
                Tissue.CELLULAR, PlainScene.tissue(1000, 80, 1.5, 0)));
        SampledTissue sampled = SampledTissue.of(MIXED, Textures.of(settings), settings, Workers.SINGLE);
        List<TruthRow> rows = AdcTruth.of(sampled, new PointLattice(MIXED), Workers.SINGLE);
        // Oracle: by hand, 0.8 on 70 % and 1.5 on 30 %: mean 1.01; skewness (1 - 2p) / √(pq), excess kurtosis (1 - 6pq)
        // /
        // (pq) with p 0.3; 30 % of the ball of 15 mm reach 10.04 mm from its centre, so that a ball of 5 mm must touch
        // them.
        assertThat(PlainScene.value(rows, "adc mean")).isCloseTo(1.01, within(3e-4));
        assertThat(PlainScene.value(rows, "adc p05")).isCloseTo(0.8, within(1e-12));
        assertThat(PlainScene.value(rows, "adc p50")).isCloseTo(0.8, within(1e-12));
        assertThat(PlainScene.value(rows, "adc p75")).isCloseTo(1.5, within(1e-12));
        assertThat(PlainScene.value(rows, "adc skewness")).isCloseTo(0.4 / Math.sqrt(0.21), within(2e-3));
        assertThat(PlainScene.value(rows, "adc kurtosis")).isCloseTo(-0.26 / 0.21, within(5e-3));
        assertThat(PlainScene.value(rows, "restricted fraction")).isCloseTo(0.7, within(3e-4));
        assertThat(PlainScene.value(rows, "adc minimum region", "any tissue")).isBetween(0.8, 1.5);
        assertThat(rows)
                .filteredOn(row -> row.feature().equals("adc minimum region")
                        && row.aggregation().isEmpty())
                .singleElement()
                .satisfies(row -> assertThat(row.measurement().reason())
                        .isEqualTo("no ball of 5 mm radius lies wholly in tissue that enhances"));
    }

    @Test
    void percentilesAreLinearBetweenOrderStatistics() {
        // Oracle: numpy 1.26, percentile([1, 2, 4, 8], [5, 25, 50, 95]), method linear.
        double[] sorted = {1, 2, 4, 8};
        assertThat(AdcTruth.percentile(sorted, 0.05)).isCloseTo(1.15, within(1e-12));
        assertThat(AdcTruth.percentile(sorted, 0.25)).isCloseTo(1.75, within(1e-12));
        assertThat(AdcTruth.percentile(sorted, 0.5)).isCloseTo(3, within(1e-12));
        assertThat(AdcTruth.percentile(sorted, 0.95)).isCloseTo(7.4, within(1e-12));
    }

    @Test
    void textureIsThatOfTheFieldsAtEachPlace() {
        PhantomSettings settings = Preset.DEMO.settings();
        Textures textures = Textures.of(settings);
        SampledTissue sampled = SampledTissue.of(MIXED, textures, settings, Workers.SINGLE);
        double[] adc = sampled.adc();
        double[] t2 = sampled.signal(settings.t2(), 0, Workers.SINGLE);
        // Oracle: the fields evaluated at the place itself, not along a row; drift of a row's pointers 1e-12.
        for (int p = 17; p < adc.length; p += 9973) {
            double[] at = MIXED.points().get(p);
            Point c = MIXED.centre();
            TissueProperties tissue = sampled.properties(p);
            double field = textures.adc().at(at[0] + c.x(), at[1] + c.y(), at[2] + c.z());
            assertThat(adc[p]).isCloseTo(tissue.adc() * (1 + tissue.adcTexture() * field), within(1e-10));
            double density = textures.signal().at(at[0] + c.x(), at[1] + c.y(), at[2] + c.z());
            double plain = TissueSignal.of(tissue, settings.t2(), settings.scanner(), 0);
            assertThat(t2[p]).isCloseTo(plain * (1 + tissue.signalTexture() * density), within(1e-10));
        }
    }
}
