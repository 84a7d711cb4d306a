// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Optional;
import java.util.function.Consumer;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JSlider;
import org.leiogauge.appraise.Prevalence;

/** Where the reader says how common the disease is before the images: a published figure, or one of their own. */
final class PrevalenceControl {
    private static final int STEPS = 740;
    private static final double LEAST = 1e-4;
    private static final double STEPS_PER_DECADE = 200;

    private final JPanel panel = Section.plain(4);
    private final JComboBox<Choice> presets = new JComboBox<>();
    private final JSlider slider = new JSlider(0, STEPS);
    private final Prose words = Prose.text("");
    private final Prose source = Prose.soft("");
    private final Consumer<Prevalence> chosen;
    private Prevalence now;
    private boolean following;

    /** @param chosen told of every change, also while the slider moves */
    PrevalenceControl(Prevalence first, Consumer<Prevalence> chosen) {
        this.chosen = chosen;
        this.now = first;
        Prevalence.presets().forEach(preset -> presets.addItem(new Choice(Optional.of(preset))));
        presets.addItem(new Choice(Optional.empty()));
        presets.setName("prevalence-preset");
        presets.getAccessibleContext().setAccessibleName("Published prevalence");
        // or the longest name would push the panel wide
        presets.setPrototypeDisplayValue(new Choice(Optional.empty()));
        slider.setName("prevalence");
        slider.getAccessibleContext().setAccessibleName("Prevalence before the images");
        presets.addActionListener(event -> preset());
        slider.addChangeListener(event -> own());
        panel.add(Prose.name("How common is it, before the images?"));
        panel.add(words);
        panel.add(presets);
        panel.add(slider);
        panel.add(Prose.soft("From 1 in 10 000, on the left, to 1 in 2."));
        panel.add(source);
        follow();
    }

    JComponent component() {
        return panel;
    }

    /** The prevalence at a place of the slider: 200 steps to each power of ten, from 1 in 10 000 to about a half. */
    static double at(int step) {
        return LEAST * Math.pow(10, step / STEPS_PER_DECADE);
    }

    /** The place of the slider nearest to a prevalence. */
    static int step(double prevalence) {
        long step = Math.round(STEPS_PER_DECADE * Math.log10(prevalence / LEAST));
        return (int) Math.max(0, Math.min(STEPS, step));
    }

    /** A preset, or none: a figure of the reader's own. */
    private record Choice(Optional<Prevalence> preset) {
        @Override
        public String toString() {
            return preset.map(Prevalence::name).orElse("a figure of my own");
        }
    }

    private void preset() {
        if (following || !(presets.getSelectedItem() instanceof Choice choice) || choice.preset.isEmpty()) return;
        take(choice.preset.get());
    }

    private void own() {
        if (following) return;
        take(new Prevalence("", "", "a figure of my own", "the reader", at(slider.getValue())));
    }

    private void take(Prevalence prevalence) {
        now = prevalence;
        follow();
        chosen.accept(prevalence);
    }

    private void follow() {
        following = true;
        presets.setSelectedItem(
                new Choice(Optional.of(now).filter(one -> !one.id().isEmpty())));
        if (!now.id().isEmpty()) slider.setValue(step(now.value()));
        following = false;
        words.setWords((now.disease().isEmpty() ? "" : now.disease() + ": ") + now.text());
        source.setWords("Source: " + now.source());
        slider.getAccessibleContext().setAccessibleDescription(now.text() + ", " + now.name());
        panel.revalidate();
    }
}
