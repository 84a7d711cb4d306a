// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Prevalence;

/**
 * The criteria cards, live at the prevalence that the reader chooses. Each says met, not met or not measured; they are not
 * added up.
 */
final class CardsPanel {
    private final JPanel panel = Section.plain(10);
    private final List<CardView> cards = new ArrayList<>();
    private final Latest<Appraisal> latest = new Latest<>(this::show);

    /** @param at the same lesion at another prevalence; called off the event thread */
    CardsPanel(Appraisal first, Function<Prevalence, Appraisal> at) {
        panel.setName("cards");
        panel.add(Prose.heading("Published and customary criteria"));
        Appraisal.CAUTIONS.forEach(caution -> panel.add(Section.marked(Glyph.CARE, Prose.soft(caution))));
        panel.add(new PrevalenceControl(first.prevalence(), wish -> latest.ask(() -> at.apply(wish))).component());
        panel.add(key());
        panel.add(openAll());
        first.cards().forEach(result -> {
            CardView card = new CardView(result, first.prevalence().value());
            cards.add(card);
            panel.add(card.component());
        });
    }

    JComponent component() {
        return panel;
    }

    private static JComponent key() {
        return Prose.soft(
                "On each scale the open diamond is the probability before, the upright mark the median after and"
                        + " the bar its 95 % interval, from few counts and from the measurement.");
    }

    private JComponent openAll() {
        JToggleButton all = new JToggleButton("Open all cards");
        all.setName("open-all");
        all.addActionListener(event -> {
            all.setText(all.isSelected() ? "Close all cards" : "Open all cards");
            cards.forEach(card -> card.setOpen(all.isSelected()));
        });
        JPanel line = new JPanel(WidthFirst.lines(6));
        line.add(all);
        return line;
    }

    private void show(Appraisal appraisal) {
        for (int i = 0; i < cards.size(); i++)
            cards.get(i).show(appraisal.cards().get(i), appraisal.prevalence().value());
        panel.repaint();
    }
}
