// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Shipped;
import org.leiogauge.task.Yaml;

/**
 * How common the disease is, before anything was measured, among women like this one.
 *
 * @param id a preset's name; empty for a number that the user gave
 * @param disease what is counted; empty for a number that the user gave
 * @param source where it comes from
 * @param value strictly between 0 and 1
 */
public record Prevalence(String id, String disease, String name, String source, double value) {
    private static final String STANDARD = "regulator-2020-high";

    public Prevalence {
        if (!(value > 0 && value < 1))
            throw new IllegalArgumentException("prevalence must lie between 0 and 1, both excluded, got " + value);
    }

    /** The presets, from published series of operations for presumed leiomyoma. */
    public static List<Prevalence> presets() {
        return Shipped.read("prevalence.yaml", text -> Yaml.PLAIN.parse(text, "prevalence.yaml", File.class))
                .presets
                .stream()
                .map(PresetNode::prevalence)
                .toList();
    }

    /** The one that is used where none is chosen: the upper end of the current range of the US regulator's text. */
    public static Prevalence standard() {
        return presets().stream()
                .filter(preset -> preset.id.equals(STANDARD))
                .findFirst()
                .orElseThrow();
    }

    /**
     * What the user asks for.
     *
     * @param wish a number strictly between 0 and 1, or a preset's name
     * @throws InputException if it is neither
     */
    public static Prevalence of(String wish) throws InputException {
        Optional<Prevalence> preset =
                presets().stream().filter(p -> p.id.equals(wish)).findFirst();
        if (preset.isPresent()) return preset.get();
        try {
            double value = new BigDecimal(wish.strip()).doubleValue();
            if (value > 0 && value < 1) return new Prevalence("", "", "as given", "the user", value);
        } catch (NumberFormatException e) {
            // said below
        }
        throw new InputException(
                "--prevalence",
                "",
                wish,
                "a number between 0 and 1, both excluded, or a preset as " + STANDARD + " (appraise --help lists all)");
    }

    /** As percent, and where it is rare as one of so many: {@code 0.2 %, 1 in 498}. */
    public String text() {
        return Figures.percent(value) + (value < 0.1 ? ", 1 in " + Figures.whole(Math.round(1 / value)) : "");
    }

    /** The YAML form. */
    record File(List<PresetNode> presets) {}

    /** One preset: either one in so many, or so many per thousand. */
    record PresetNode(
            String id,
            String name,
            String disease,
            String source,
            Mark mark,
            Optional<Double> oneIn,
            Optional<Double> perThousand,
            Optional<String> caution) {
        PresetNode {
            if (oneIn.isPresent() == perThousand.isPresent())
                throw new IllegalArgumentException("a preset has either one-in or per-thousand");
        }

        Prevalence prevalence() {
            String said = source + " (" + mark + caution.map(c -> "; " + c).orElse("") + ")";
            double value = oneIn.map(n -> 1 / n).orElseGet(() -> perThousand.get() / 1000);
            return new Prevalence(id, disease, name, said, value);
        }
    }
}
