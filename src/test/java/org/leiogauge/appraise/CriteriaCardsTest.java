// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.feature.Definitions;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.table.Definition;
import org.leiogauge.task.InputException;

class CriteriaCardsTest {
    static final List<Definition> KNOWN = Stream.concat(LesionDefinitions.all().stream(), Definitions.all().stream())
            .toList();

    private static final String CARD = """
            id: own
            name: Small and low
            source: common practice, no source
            mark: common-practice
            population: nobody
            target: sarcoma
            criterion:
              all:
                - {sign: small, feature: volume, is: below, value: 5, unit: mm3}
                - {sign: low, feature: adc mean, is: at-most, value: 1.1, unit: 10-3.mm2/s}
            counts:
              - {of: us, mark: calc, true-positive: 3, false-negative: 1, false-positive: 2, true-negative: 6}
            """;

    @TempDir
    Path folder;

    @Test
    void theShippedCardsAreAllOfTheFolderAndUsable() throws IOException {
        try (Stream<Path> files = Files.list(Path.of("src/main/resources/criteria"))) {
            assertThat(files.map(f -> f.getFileName().toString().replace(".yaml", "")))
                    .containsExactlyInAnyOrderElementsOf(CriteriaCards.SHIPPED);
        }
        List<CriteriaCard> cards = CriteriaCards.shipped(KNOWN);
        assertThat(cards).extracting(CriteriaCard::id).containsExactlyElementsOf(CriteriaCards.SHIPPED);
    }

    // Oracle: the percentages that the papers print, as the evidence table gives them (sensitivity, specificity).
    @Test
    void theCountsOfTheCardsReproduceThePublishedPercentages() {
        published("diffusion-flow-2020", "98", "94", "88", "100", "83", "97");
        published("consensus-flow-2022", "75", "95.8", "81.2", "91.7");
        published("four-signs-2017", "100", "95", "95", "100");
        published("central-non-enhancement-2016", "88", "96");
        published("diffusion-adc-1080-2016", "88", "88");
        published("diffusion-by-eye-2016", "100", "36");
        published("t2-contrast-adc-2009", "100", "100");
        published("diffusion-class-adc-2014", "100", "94.0");
        published("t1-bright-area-2018", "78.6", "98.7");
    }

    private static void published(String id, String... percents) {
        CriteriaCard card = CriteriaCards.shipped(KNOWN).stream()
                .filter(c -> c.id().equals(id))
                .findFirst()
                .orElseThrow();
        assertThat(card.counts()).hasSize(percents.length / 2);
        for (int i = 0; i < percents.length; i++) {
            Counts counts = card.counts().get(i / 2).counts();
            double share = (i % 2 == 0 ? counts.sensitivity() : counts.specificity()).value();
            BigDecimal printed = new BigDecimal(percents[i]);
            double halfDigit = 0.5 * Math.pow(10, -printed.scale());
            assertThat(100 * share).isCloseTo(printed.doubleValue(), within(halfDigit + 1e-9));
        }
    }

    @Test
    void aFolderAddsCards() throws IOException, InputException {
        write("b.yaml", CARD);
        write("readme.txt", "not a card");
        assertThat(CriteriaCards.with(folder, KNOWN))
                .hasSize(CriteriaCards.SHIPPED.size() + 1)
                .last()
                .satisfies(card -> {
                    assertThat(card.id()).isEqualTo("own");
                    assertThat(card.criterion().comparisons().map(c -> c.key().feature()))
                            .containsExactly("volume", "adc mean");
                });
    }

    @Test
    void theCardOfTheDocumentationIsRead() throws IOException, InputException {
        String page = Files.readString(Path.of("docs/criteria.md"));
        write("page.yaml", page.split("```yaml\n")[1].split("```")[0]);
        CriteriaCard card = CriteriaCards.with(folder, KNOWN).get(CriteriaCards.SHIPPED.size());
        assertThat(card.name()).isEqualTo("Small mass with restricted diffusion");
        assertThat(card.counts().get(0).counts()).isEqualTo(new Counts(12, 4, 1, 23));
        for (Criterion.Is is : Criterion.Is.values())
            assertThat(page).contains("`" + is.toString().replace(' ', '-') + "`");
    }

    @Test
    void anUnusableCardIsNamedWithKeyAndLine() throws IOException {
        assertWrong(CARD.replace("adc mean", "adc men"), "line 10", "adc men", "none of those measured");
        assertWrong(CARD.replace("10-3.mm2/s", "mm2/s"), "line 10", "unit mm2/s", "measured in 10-3.mm2/s");
        assertWrong(CARD.replace(", unit: mm3", ""), "line 9", "unit 1 for the feature 'volume'");
        assertWrong(CARD.replace("is: below", "is: under"), "line 9", "under");
        assertWrong(CARD.replace("  all:", "  al:"), "line 7", "a criterion is one of all, any");
        assertWrong(CARD.replace("sign: small", "colour: red, sign: small"), "line 9", "unknown key 'colour'");
        assertWrong(CARD.replace("sign: small, ", ""), "line 9", "a criterion is one of all, any");
        assertWrong(CARD.replace("  all:", "  at-least: 3\n  of:"), "line 7", "at least 3 of 2");
        assertWrong(CARD.replace("id: own", "id: Own card"), "small letters");
        assertWrong(CARD.replace("mark: calc", "mark: rumour"), "line 12", "rumour");
        assertWrong(CARD.replace("value: 5", "value: .nan"), "line 9", "criterion.all.[0].value");
        assertWrong(CARD.replace("id: own", "id: four-signs-2017"), "four-signs-2017, as a shipped card has it");
        assertWrong(CARD.replace("population: nobody", "population:"), "population must be given");
    }

    @Test
    void countsThatDoNotAddUpAreRefused() throws IOException {
        // Oracle: by hand, 3 + 1 = 4 and 2 + 6 = 8; 3 of 4 is 75 %, 6 of 8 is 75 %.
        assertRight(CARD.replace("true-negative: 6", "true-negative: 6, diseased: 4, healthy: 8"));
        assertRight(CARD.replace("true-negative: 6", "true-negative: 6, sensitivity-percent: 75.0"));
        assertWrong(
                CARD.replace("true-negative: 6", "true-negative: 6, diseased: 5"),
                "line 12",
                "the counts do not add up: true-positive + false-negative is 4, stated 5");
        assertWrong(
                CARD.replace("true-negative: 6", "true-negative: 6, specificity-percent: 75.1"),
                "the counts do not add up: specificity is 6 of 8, 75 %, stated 75.1 %");
        assertWrong(CARD.replace("true-positive: 3", "true-positive: -3"), "counts must not be negative");
        assertWrong(CARD.replace("true-positive: 3, ", ""), "true-positive");
        assertWrong(CARD.replace("true-positive: 3", "true-positive: 2.5"), "true-positive");
    }

    @Test
    void aFolderWithoutCardsIsNamed() {
        assertThatThrownBy(() -> CriteriaCards.with(folder, KNOWN)).hasMessageContaining("no file *.yaml");
        assertThatThrownBy(() -> CriteriaCards.with(folder.resolve("none"), KNOWN))
                .hasMessageContaining("no such folder");
    }

    private void assertRight(String card) throws IOException {
        write("own.yaml", card);
        assertThatCode(() -> CriteriaCards.with(folder, KNOWN)).doesNotThrowAnyException();
    }

    private void assertWrong(String card, String... messages) throws IOException {
        write("own.yaml", card);
        assertThatThrownBy(() -> CriteriaCards.with(folder, KNOWN))
                .isInstanceOf(InputException.class)
                .satisfies(e -> assertThat(e.getMessage()).contains("own.yaml").contains(messages));
    }

    private void write(String name, String text) throws IOException {
        Files.writeString(folder.resolve(name), text);
    }
}
