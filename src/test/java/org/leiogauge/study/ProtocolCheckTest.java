// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.study.ProtocolCheck.Shortfall;
import org.leiogauge.table.Definition;

// Oracle: each study lacks one thing, by construction; limits as in ProtocolCheck.Settings.standard().
class ProtocolCheckTest {
    private static final Series T2 = series(Role.T2, 0.7, 4, 1, List.of(), List.of());
    private static final Series FAT_SAT = series(Role.T1_FAT_SAT, 1, 3, 1, List.of(), List.of());
    private static final Series DYNAMIC =
            series(Role.POST_CONTRAST, 1, 2, 5, List.of(-10.0, 30.0, 60.0, 90.0, 180.0), List.of());
    private static final Series DWI = series(Role.DWI, 1.6, 4, 1, List.of(), List.of(0.0, 400.0, 1000.0));

    @Test
    void aWholeProtocolLacksNothing() {
        assertThat(check(T2, FAT_SAT, DYNAMIC, DWI)).isEmpty();
    }

    @Test
    void missingSeriesAreNamedWithWhatTheyCost() {
        assertOnly("no T2-weighted series", "t2 entropy", FAT_SAT, DYNAMIC, DWI);
        assertOnly("no T1-weighted series with fat suppression", "t1 bright fraction", T2, DYNAMIC, DWI);
        assertOnly("no series after contrast", "relative enhancement", T2, FAT_SAT, DWI);
        assertOnly("no diffusion-weighted series", "adc p10", T2, FAT_SAT, DYNAMIC);
        assertThat(check()).hasSize(4);
    }

    @Test
    void anAdcMapWithoutItsImagesCostsOnlyWhatNeedsThem() {
        List<Shortfall> found = check(T2, FAT_SAT, DYNAMIC, series(Role.ADC, 1.6, 4, 1, List.of(), List.of()));
        assertThat(found).hasSize(1);
        assertThat(found.get(0).costs())
                .containsExactly("dwi signal ratio to reference", "t2 shine-through", "t2 blackout");
    }

    @Test
    void phasesAreCountedAndTimed() {
        assertOnly(
                "one phase after contrast",
                "time to peak",
                T2,
                FAT_SAT,
                DWI,
                series(Role.POST_CONTRAST, 1, 2, 2, List.of(0.0, 45.0), List.of()));
        assertOnly(
                "no phase up to 60 s after injection, the first is at 75.5 s",
                "early enhancement ratio",
                T2,
                FAT_SAT,
                DWI,
                series(Role.POST_CONTRAST, 1, 2, 3, List.of(0.0, 75.5, 180.0), List.of()));
        assertOnly(
                "no series before contrast",
                "non-enhancing fraction",
                T2,
                FAT_SAT,
                DWI,
                series(Role.POST_CONTRAST, 1, 2, 2, List.of(30.0, 90.0), List.of()));
    }

    @Test
    void oneImageAfterContrastIsOnePhaseOfUnknownTime() {
        List<Shortfall> found = check(
                T2,
                FAT_SAT,
                DWI,
                series(Role.PRE_CONTRAST, 1, 2, 1, List.of(0.0), List.of()),
                series(Role.POST_CONTRAST, 1, 2, 1, List.of(0.0), List.of()));
        assertThat(found)
                .extracting(Shortfall::what)
                .containsExactly("one phase after contrast", "the phases' times after injection are not stated");
    }

    @Test
    void swappedSeriesBeforeAndAfterContrastAreSeen() {
        List<Shortfall> found = check(
                T2,
                FAT_SAT,
                DWI,
                at(36_300, series(Role.PRE_CONTRAST, 1, 2, 1, List.of(), List.of())),
                at(36_000, series(Role.POST_CONTRAST, 1, 2, 2, List.of(30.0, 90.0), List.of())));
        assertThat(found)
                .extracting(Shortfall::what)
                .containsExactly(
                        "the series after contrast was acquired 300 s earlier than the one before contrast: their"
                                + " roles may be swapped");
    }

    @Test
    void bValuesMustDifferAndReachFar() {
        Series one = series(Role.DWI, 1.6, 4, 1, List.of(), List.of(1000.0));
        assertOnly("all b-values are 1000 s/mm2", "adc mean", T2, FAT_SAT, DYNAMIC, one);
        Series low = series(Role.DWI, 1.6, 4, 1, List.of(), List.of(0.0, 600.0));
        assertOnly("the highest b-value is 600 s/mm2, under 800", "restricted fraction", T2, FAT_SAT, DYNAMIC, low);
        Series none = series(Role.DWI, 1.6, 4, 1, List.of(), List.of());
        assertOnly("the b-values are not stated", "adc mean", T2, FAT_SAT, DYNAMIC, none);
    }

    @Test
    void coarseSeriesAreNamedUnlessAFinerOneHasTheRole() {
        Series thick = series(Role.T2, 0.7, 7.2, 1, List.of(), List.of());
        assertOnly("T2-weighted: slices 7.2 mm apart, over 6 mm", "lobulation count", thick, FAT_SAT, DYNAMIC, DWI);
        assertThat(check(thick, T2, FAT_SAT, DYNAMIC, DWI)).isEmpty();
        Series coarse = series(Role.DWI, 3.5, 4, 1, List.of(), List.of(0.0, 1000.0));
        assertOnly("diffusion-weighted: pixels of 3.5 mm", "adc minimum region", T2, FAT_SAT, DYNAMIC, coarse);
    }

    @Test
    void anotherFrameOfReferenceIsNamed() {
        Series elsewhere = new Series(
                "9", "dwi", DWI.facts(), DWI.acquisition(), DWI.role(), "", 1, "1.2.9", Set.of(), DWI.source());
        assertOnly("dwi has another frame of reference than t2", "adc mean", T2, FAT_SAT, DYNAMIC, elsewhere);
    }

    @Test
    void everyFeatureThatSomethingCostsIsInTheRegistry() {
        List<String> registered = Stream.of(
                        Stream.of(
                                LesionDefinitions.MARGIN_ROUGHNESS,
                                LesionDefinitions.MARGIN_SHARPNESS,
                                LesionDefinitions.LOBULATION_COUNT),
                        LesionDefinitions.t2().stream(),
                        LesionDefinitions.t1().stream(),
                        LesionDefinitions.enhancement().stream(),
                        LesionDefinitions.dwi().stream(),
                        LesionDefinitions.adc().stream())
                .flatMap(definitions -> definitions)
                .map(Definition::feature)
                .toList();
        for (Shortfall shortfall : check()) assertThat(registered).containsAll(shortfall.costs());
    }

    @Test
    void theTextAndTheJsonSayIt() {
        Study study = new Study("case", List.of(FAT_SAT, DYNAMIC, DWI), List.of());
        assertThat(StudyText.table(study))
                .contains("protocol check\n  no T2-weighted series\n    costs: t2 signal ratio to muscle, ");
        assertThat(StudyText.json(study))
                .contains("\"what\" : \"no T2-weighted series\"", "\"source\" : \"common practice, no source\"");
        assertThat(StudyText.table(new Study("case", List.of(T2, FAT_SAT, DYNAMIC, DWI), List.of())))
                .contains("nothing missing");
    }

    private static void assertOnly(String what, String cost, Series... series) {
        List<Shortfall> found = check(series);
        assertThat(found).hasSize(1);
        assertThat(found.get(0).what()).startsWith(what);
        assertThat(found.get(0).costs()).contains(cost);
        assertThat(found.get(0).source()).isNotBlank();
    }

    private static List<Shortfall> check(Series... series) {
        return ProtocolCheck.of(new Study("case", Arrays.asList(series), List.of()), ProtocolCheck.Settings.standard());
    }

    private static Series series(
            Role role, double pixel, double slice, int phases, List<Double> seconds, List<Double> bValues) {
        OptionalDouble none = OptionalDouble.empty();
        SeriesFacts facts = new SeriesFacts(
                "MR",
                role.key(),
                List.of(),
                List.of(),
                List.of(),
                none,
                none,
                none,
                new ArrayList<>(new TreeSet<>(bValues)),
                false,
                phases);
        Acquisition acquisition = new Acquisition(OptionalDouble.of(pixel), OptionalDouble.of(slice), none, seconds);
        return new Series(
                role.key(), role.key(), facts, acquisition, Optional.of(role), "", 1, "1.2.3", Set.of(), (w, p) -> {
                    throw new AssertionError("the protocol check reads no voxels");
                });
    }

    private static Series at(double seconds, Series series) {
        Acquisition before = series.acquisition();
        Acquisition acquisition =
                new Acquisition(before.pixelMm(), before.sliceMm(), OptionalDouble.of(seconds), before.seconds());
        return new Series(
                series.id(),
                series.name(),
                series.facts(),
                acquisition,
                series.role(),
                "",
                1,
                series.frameOfReference(),
                Set.of(),
                series.source());
    }
}
