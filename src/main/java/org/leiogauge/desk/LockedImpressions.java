// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import java.util.StringJoiner;
import javax.swing.JComponent;
import javax.swing.JPanel;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Lexicon.Sign;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;

/** What the reader has said of the case, entry by entry; it cannot be changed here. */
final class LockedImpressions {
    private final JPanel panel = Section.plain(8);

    LockedImpressions(Lexicon lexicon, CaseFile caseFile, boolean declined) {
        panel.setName("impressions");
        panel.add(Prose.heading("Your impression"));
        List<Impression> entries = caseFile.impression();
        for (int i = 0; i < entries.size(); i++) panel.add(entry(lexicon, entries.get(i), i));
        if (entries.isEmpty()) panel.add(Prose.text(none(caseFile, declined)));
    }

    JComponent component() {
        return panel;
    }

    /** Why there is none. */
    static String none(CaseFile caseFile, boolean declined) {
        return caseFile.numbersShown()
                .map(at -> "None. The numbers were first shown at " + time(at)
                        + ", before an impression was locked; what is seen now is no longer blind.")
                .orElse(declined ? "None: you go on without one. The case file will say so." : "None yet.");
    }

    /** An entry in one line. */
    static String words(Lexicon lexicon, Impression impression) {
        StringJoiner words = new StringJoiner("; ");
        for (Sign sign : lexicon.signs())
            impression.term(sign.key()).ifPresent(term -> words.add(sign.name() + ": " + term));
        impression
                .concern()
                .ifPresent(grade -> words.add("Overall concern: " + grade + " of 5 ("
                        + lexicon.concern().get(grade - 1) + ")"));
        return words.toString();
    }

    private static JComponent entry(Lexicon lexicon, Impression impression, int number) {
        JPanel entry = Section.ruled(3);
        String which = number == 0 ? "Before the numbers" : "Later entry " + number;
        entry.add(Prose.name(
                which + impression.locked().map(at -> ", locked " + time(at)).orElse(", not locked")));
        entry.add(Prose.text(words(lexicon, impression)));
        impression.comment().ifPresent(comment -> entry.add(Prose.text("“" + comment + "”")));
        return entry;
    }

    private static String time(String at) {
        return at.replace('T', ' ').replaceFirst("\\.\\d+$", "");
    }
}
