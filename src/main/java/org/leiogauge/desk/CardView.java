// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.CardResult;
import org.leiogauge.appraise.CardResult.Worth;
import org.leiogauge.appraise.Counts;
import org.leiogauge.appraise.CriteriaCard;
import org.leiogauge.appraise.Criterion.Check;

/** One criteria card: how it came out and on what, what that is worth here, and beside these numbers what they leave out. */
final class CardView {
    private static final String MORE = "What it is worth ▸";
    private static final String LESS = "What it is worth ▾";
    private static final int NARROW_BELOW = 640;

    private final JToggleButton open = new JToggleButton(MORE);
    private final JPanel card = Section.ruled(4);
    private final JPanel more = Section.plain(4);
    private final JPanel numbers = Section.plain(6);
    private final List<WorthView> worth = new ArrayList<>();
    private final JPanel cautions = Section.plain(3);
    private CardResult result;
    private double prevalence;

    CardView(CardResult result, double prevalence) {
        CriteriaCard of = result.card();
        this.result = result;
        this.prevalence = prevalence;
        card.setName("card-" + of.id());
        more.setVisible(false);
        open.setName("open-" + of.id());
        open.getAccessibleContext().setAccessibleName(of.name() + ": on what, and what it is worth");
        open.addItemListener(event -> follow());
        JPanel line = new JPanel(WidthFirst.lines(6));
        line.add(open);
        JPanel head = new JPanel(WidthFirst.columns(12, NARROW_BELOW, 0.42, 0.36, 0.22));
        head.add(Prose.name(of.name()));
        head.add(Section.marked(Glyph.of(result.finding().outcome()), Prose.text(AppraisalText.outcome(result))));
        head.add(line);
        card.add(head);
        card.add(more);
    }

    JComponent component() {
        return card;
    }

    /** Shows or hides what the card is worth. */
    void setOpen(boolean isOpen) {
        open.setSelected(isOpen);
    }

    /** The same card at another prevalence. */
    void show(CardResult now, double at) {
        result = now;
        prevalence = at;
        if (more.getComponentCount() > 0) showNumbers();
    }

    private void follow() {
        // made when it is first wanted: most cards are never opened
        if (more.getComponentCount() == 0) {
            addDetails();
            showNumbers();
        }
        more.setVisible(open.isSelected());
        open.setText(open.isSelected() ? LESS : MORE);
        card.revalidate();
    }

    private void showNumbers() {
        for (int i = 0; i < worth.size(); i++) worth.get(i).show(result.worth().get(i), prevalence);
        cautions.removeAll();
        result.cautions().forEach(caution -> cautions.add(Section.marked(Glyph.CARE, Prose.soft(caution))));
        card.revalidate();
    }

    private void addDetails() {
        CriteriaCard of = result.card();
        for (Check check : result.finding().path())
            more.add(Section.marked(Glyph.of(check.outcome()), Prose.text(AppraisalText.check(check))));
        if (!of.standIns().isEmpty()) more.add(Prose.soft("Stands in: " + String.join(" · ", of.standIns())));
        if (!of.leavesOut().isEmpty()) more.add(Prose.soft("Left out: " + String.join(" · ", of.leavesOut())));
        for (Worth one : result.worth()) {
            WorthView view = new WorthView(one);
            worth.add(view);
            numbers.add(view.panel);
        }
        if (worth.isEmpty()) numbers.add(Prose.soft("No counts are known: the criterion stands alone."));
        numbers.add(cautions);
        more.add(numbers);
        more.add(Prose.soft("Source: " + of.source() + " (" + of.mark() + "). In: " + of.population()));
    }

    /** What the criterion is worth by one set of counts. */
    private static final class WorthView {
        private final JPanel panel = Section.plain(3);
        private final Prose ratios = Prose.text("");
        private final Prose after = Prose.text("");
        private final Prose sentence = Prose.text("");
        private final List<ProbabilityBar> bar = new ArrayList<>();

        WorthView(Worth worth) {
            Counts counts = worth.counts().counts();
            panel.add(Prose.soft(
                    "Counts, " + worth.counts().of() + " (" + worth.counts().mark() + "): "
                            + counts.truePositive() + " of " + counts.diseased() + " with and " + counts.falsePositive()
                            + " of "
                            + counts.healthy() + " without the disease meet it"));
            ratios.setWords("sensitivity " + AppraisalText.share(counts.sensitivity()) + ", specificity "
                    + AppraisalText.share(counts.specificity()) + ", likelihood ratio if met "
                    + AppraisalText.ratio(counts.positiveLikelihoodRatio()) + ", if not met "
                    + AppraisalText.ratio(counts.negativeLikelihoodRatio()));
            panel.add(ratios);
            panel.add(after);
            worth.here().ifPresent(here -> {
                bar.add(new ProbabilityBar(0.5, here));
                panel.add(bar.get(0));
            });
            panel.add(sentence);
        }

        void show(Worth worth, double prevalence) {
            after.setWords(worth.here()
                    .map(here -> "probability with this result: " + AppraisalText.probability(here))
                    .orElse("probability if it were met: " + AppraisalText.probability(worth.ifMet())
                            + ", if it were not: " + AppraisalText.probability(worth.ifNotMet())));
            worth.here().ifPresent(here -> bar.forEach(one -> one.show(prevalence, here)));
            sentence.setWords(worth.sentence());
            sentence.setVisible(!worth.sentence().isEmpty());
        }
    }
}
