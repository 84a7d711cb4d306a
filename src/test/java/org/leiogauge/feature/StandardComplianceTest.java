// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.Workers;

/** Every agreed value of the standard, and the page that lists them beside ours. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class StandardComplianceTest {
    // Oracle: IBSI, consensus values and tolerances as published; see the reference data's own description.
    private static final List<Standard.Setup> SETUPS =
            List.of(Standard.digital(), Standard.a(), Standard.b(), Standard.c());

    @BeforeAll
    static void assumeData() {
        Standard.assumePresent();
    }

    @Test
    void digitalPhantomMatchesAll482Values() {
        assertAllPass(Standard.digital(), 482);
    }

    @Test
    void configurationAMatchesAll346Values() {
        assertAllPass(Standard.a(), 346);
    }

    @Test
    void configurationBMatchesAll346Values() {
        assertAllPass(Standard.b(), 346);
    }

    @Test
    void configurationCMatchesAll209ValuesThatWereAgreed() {
        assertAllPass(Standard.c(), 209);
    }

    // Oracle: IBSI 2 reference response maps; tolerance as published, 1 % of the map's range in every voxel.
    @Test
    void allResponseMapsAreWithinOnePercentOfTheirRange() throws Exception {
        List<FilterCompliance.MapLine> maps = FilterCompliance.maps();
        assertThat(maps).hasSize(21);
        assertThat(maps.stream().filter(line -> !line.result().passes())).isEmpty();
    }

    // Oracle: IBSI 2 consensus values and tolerances of the filtered CT phantom, as published.
    @Test
    void theFilteredPhantomMatchesAll215Values() {
        List<FilterCompliance.ValueLine> values = FilterCompliance.values();
        assertThat(values).hasSize(215);
        assertThat(values.stream().filter(line -> !line.passes())).isEmpty();
    }

    @Test
    void thePageListsEveryValue() throws Exception {
        StringBuilder totals = new StringBuilder();
        StringBuilder tables = new StringBuilder();
        for (Standard.Setup setup : SETUPS) {
            List<Line> lines = lines(setup);
            totals.append("| ")
                    .append(setup.title())
                    .append(" | ")
                    .append(passed(lines))
                    .append(" of ");
            totals.append(lines.size()).append(" |\n");
            tables.append("\n## ").append(setup.title()).append("\n\n");
            tables.append(
                    "| family | feature | code | aggregation | standard | tolerance | ours | difference | pass |\n");
            tables.append("|---|---|---|---|---|---|---|---|---|\n");
            lines.forEach(line -> tables.append(line.row()));
        }
        totals.append("| Filters, response maps | ")
                .append(FilterCompliance.mapTotal())
                .append(" |\n");
        totals.append("| Filters, CT phantom | ")
                .append(FilterCompliance.valueTotal())
                .append(" |\n");
        tables.append(FilterCompliance.tables());
        String page = PREFACE + "| data | within tolerance |\n|---|---|\n" + totals + tables;
        WholeFile.write(
                Path.of("docs", "standard-compliance.md"), out -> out.write(page.getBytes(StandardCharsets.UTF_8)));
        assertThat(totals.toString()).contains("482 of 482", "346 of 346", "209 of 209", "21 of 21", "215 of 215");
    }

    private static final String PREFACE = """
            # Agreement with the published standard

            Reference values of the Image Biomarker Standardisation Initiative, part 1 (A. Zwanenburg et al., reference
            manual, arXiv:1612.07003; Radiology 295 (2020) 328; values CC BY 4.0) and part 2, filters (reference manual
            arXiv:2006.05470; maps and values CC0 1.0), beside ours. Written by the test
            `StandardComplianceTest` with every build that has the reference data. A value passes if it differs by at most
            the published tolerance, or by half a unit of the third digit where that is more: values are printed to three
            digits. A response map passes if no voxel differs by more than 1 % of the reference map's range.

            """;

    private record Line(Standard.Reference reference, Measurement ours, String aggregation) {
        double value() {
            return ours instanceof Measurement.Measured measured ? measured.value() : Double.NaN;
        }

        boolean passes() {
            // The smallest step of a double must not decide over a value that sits on the limit.
            return Math.abs(value() - reference.value()) <= reference.tolerance() * (1 + 1e-9);
        }

        String row() {
            return String.format(
                            Locale.ROOT,
                            "| %s | %s | %s | %s | %s | %s | %s | %.2g | %s |%n",
                            reference.family(),
                            reference.feature(),
                            reference.code(),
                            aggregation,
                            reference.printed(),
                            number(reference.tolerance()),
                            number(value()),
                            Math.abs(value() - reference.value()),
                            passes() ? "yes" : "**no**")
                    .replace(System.lineSeparator(), "\n");
        }

        private static String number(double value) {
            return String.format(Locale.ROOT, "%.5g", value);
        }
    }

    private static void assertAllPass(Standard.Setup setup, int count) {
        List<Line> lines = lines(setup);
        assertThat(lines).hasSize(count);
        assertThat(lines.stream().filter(line -> !line.passes()).map(Line::row)).isEmpty();
    }

    private static long passed(List<Line> lines) {
        return lines.stream().filter(Line::passes).count();
    }

    private static List<Line> lines(Standard.Setup setup) {
        List<FeatureValue> values = new ArrayList<>();
        for (Settings settings : setup.settings())
            values.addAll(
                    StandardFeatures.measure(setup.image(), setup.mask(), settings, Workers.SINGLE, Progress.NONE));
        return Standard.references(setup).stream().map(r -> line(r, values)).toList();
    }

    private static Line line(Standard.Reference reference, List<FeatureValue> values) {
        List<FeatureValue> found = values.stream()
                .filter(v -> v.definition().group().equals(reference.family())
                        && v.definition().feature().equals(reference.feature())
                        && v.definition().code().equals(reference.code())
                        && v.aggregation().code().equals(reference.aggregationCode()))
                .toList();
        assertThat(found)
                .as("%s %s", reference.feature(), reference.aggregationCode())
                .isNotEmpty();
        return new Line(
                reference,
                found.get(0).measurement(),
                found.get(0).aggregation().name());
    }
}
