// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import org.leiogauge.appraise.Lexicon.Counterpart;
import org.leiogauge.appraise.Lexicon.Sign;

/** The lexicon as the page docs/lexicon.md. */
final class LexiconDocument {
    private LexiconDocument() {}

    static String of(Lexicon lexicon) {
        StringBuilder page = new StringBuilder("""
                # Lexicon

                The words in which a reader says what is seen, and what is measured of the same. Made from
                `src/main/resources/lexicon.yaml` by the test `LexiconTest`. The keys and terms are those of the case file's
                `impression`. A cut-off belongs to the upper side; a term may go with several bands where the feature does not
                tell. The cut-offs put a measured value into words; none of them is a diagnosis.
                """);
        for (Sign sign : lexicon.signs()) add(page, sign);
        page.append("\n## Overall concern\n\nKey `concern`, 1 to 5. Nothing is measured of it.\n\n");
        for (int i = 0; i < lexicon.concern().size(); i++)
            page.append(i + 1).append(". ").append(lexicon.concern().get(i)).append('\n');
        return page.toString();
    }

    private static void add(StringBuilder page, Sign sign) {
        page.append("\n## ")
                .append(sign.name())
                .append("\n\nKey `")
                .append(sign.key())
                .append("`. ")
                .append(sign.asks())
                .append("\n\n| term | means |\n|---|---|\n");
        sign.terms().forEach(t -> page.append("| ")
                .append(t.term())
                .append(" | ")
                .append(t.means())
                .append(" |\n"));
        page.append(
                switch (sign.together()) {
                    case FIRST -> "\nMeasured; the first that there is counts:\n\n";
                    case ALL -> "\nMeasured; each rules terms out, what is left counts:\n\n";
                });
        page.append("| feature | unit | terms by value | source of the cut-offs |\n|---|---|---|---|\n");
        for (Counterpart one : sign.counterparts())
            page.append("| ")
                    .append(one.key().label())
                    .append(" | ")
                    .append(one.key().unit())
                    .append(" | ")
                    .append(one.cutOffs())
                    .append(" | ")
                    .append(one.source())
                    .append(" |\n");
    }
}
