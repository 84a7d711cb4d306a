// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.KeyboardFocusManager;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Supplier;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JRadioButton;
import javax.swing.JScrollPane;
import javax.swing.JTextArea;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Lexicon.Sign;
import org.leiogauge.appraise.Lexicon.Term;
import org.leiogauge.study.CaseFile.Impression;

/**
 * Where the reader says what is seen, sign by sign, before any number of the case is shown. Locking it hands the impression
 * over; declining is possible, takes a second press, and says what it costs.
 */
final class ImpressionForm {
    private static final String OPEN = "leave open";

    private final ImpressionDraft draft;
    private final Listener listener;
    private final Supplier<LocalDateTime> clock;
    private final boolean isLater;
    private boolean ready;
    private final JPanel form = new JPanel(WidthFirst.column(14));
    private final Prose open = Prose.soft("");
    private final JTextArea area = new JTextArea(3, 20);
    private final JButton lock = new JButton("Lock impression");

    /** Who waits for the reader. */
    interface Listener {
        /** What has been said so far of a first impression; nothing if all is open. */
        void drafted(Optional<Impression> words);

        void locked(Impression impression);

        /** The reader will not give one. */
        void declined();
    }

    /**
     * Of the first impression.
     *
     * @param begun what was said before and not locked
     * @param clock tells the time at which it is locked
     */
    ImpressionForm(Lexicon lexicon, Optional<Impression> begun, Listener listener, Supplier<LocalDateTime> clock) {
        this(lexicon, false, begun, listener, clock);
    }

    /** Of an impression that is kept beside one that is locked already; there is nothing to decline. */
    static ImpressionForm later(Lexicon lexicon, Listener listener, Supplier<LocalDateTime> clock) {
        return new ImpressionForm(lexicon, true, Optional.empty(), listener, clock);
    }

    private ImpressionForm(
            Lexicon lexicon,
            boolean isLater,
            Optional<Impression> begun,
            Listener listener,
            Supplier<LocalDateTime> clock) {
        this.draft = new ImpressionDraft(lexicon, begun);
        this.listener = listener;
        this.clock = clock;
        this.isLater = isLater;
        form.setName("impression");
        form.add(head(isLater));
        lexicon.signs().forEach(sign -> form.add(sign(sign)));
        form.add(concern(lexicon.concern()));
        form.add(comment(begun.flatMap(Impression::comment).orElse("")));
        form.add(foot(isLater));
        show();
        ready = true;
    }

    JComponent component() {
        return form;
    }

    /** What has been entered so far. */
    ImpressionDraft draft() {
        return draft;
    }

    private static JComponent head(boolean isLater) {
        JPanel head = new JPanel(WidthFirst.column(4));
        head.add(Prose.heading(isLater ? "A later impression" : "Your impression, before any number"));
        head.add(Prose.soft(
                isLater
                        ? "It is kept beside the first one, with its time; the first one stays as it is."
                        : "Say what you see; leave open what you cannot tell. Once locked it stays as it is: a change of"
                                + " mind is kept beside it as a later entry. The numbers come after."));
        return head;
    }

    private JComponent sign(Sign sign) {
        return question(
                sign.key(),
                sign.name(),
                sign.asks(),
                sign.terms(),
                draft.term(sign.key()),
                term -> draft.call(sign.key(), term));
    }

    private JComponent concern(List<String> grades) {
        List<Term> terms = new ArrayList<>();
        for (int i = 0; i < grades.size(); i++)
            terms.add(new Term((i + 1) + " " + grades.get(i).split(" - ")[0], grades.get(i)));
        return question(
                "concern",
                "Overall concern",
                "All in all, from 1 (none) to 5 (grave)?",
                terms,
                draft.concern().map(grade -> terms.get(grade - 1).term()),
                grade -> draft.grade(grade.map(term -> term.charAt(0) - '0')));
    }

    private JComponent question(
            String key,
            String name,
            String asks,
            List<Term> terms,
            Optional<String> begun,
            Consumer<Optional<String>> chosen) {
        JPanel choices = new JPanel(WidthFirst.lines(12));
        Prose meaning = Prose.soft(" ");
        ButtonGroup group = new ButtonGroup();
        for (Term term : terms) {
            JRadioButton choice = choice(group, key, name, term.term(), term.means(), () -> {
                chosen.accept(Optional.of(term.term()));
                meaning.setWords(term.means());
            });
            choice.setSelected(begun.equals(Optional.of(term.term())));
            choices.add(choice);
        }
        JRadioButton none = choice(group, key, name, OPEN, "not called", () -> {
            chosen.accept(Optional.empty());
            meaning.setWords(" ");
        });
        none.setSelected(group.getSelection() == null);
        choices.add(none);
        JPanel question = new JPanel(WidthFirst.column(2));
        question.add(Prose.name(name));
        question.add(Prose.text(asks));
        question.add(choices);
        question.add(meaning);
        return question;
    }

    private JRadioButton choice(
            ButtonGroup group, String key, String question, String term, String means, Runnable chosen) {
        JRadioButton choice = new JRadioButton(Plain.of(term));
        choice.setName(key + "=" + term);
        choice.setToolTipText(Plain.of(means));
        choice.getAccessibleContext().setAccessibleName(question + ": " + term);
        choice.getAccessibleContext().setAccessibleDescription(means);
        choice.addItemListener(event -> {
            if (!choice.isSelected()) return;
            chosen.run();
            show();
            changed();
        });
        group.add(choice);
        return choice;
    }

    private JComponent comment(String begun) {
        area.setName("comment");
        area.setText(begun);
        area.getDocument().addDocumentListener(new DocumentListener() {
            @Override
            public void insertUpdate(DocumentEvent event) {
                changed();
            }

            @Override
            public void removeUpdate(DocumentEvent event) {
                changed();
            }

            @Override
            public void changedUpdate(DocumentEvent event) {}
        });
        area.setLineWrap(true);
        area.setWrapStyleWord(true);
        area.getAccessibleContext().setAccessibleName("Comment");
        // tab leads on, as everywhere else in the form
        area.setFocusTraversalKeys(KeyboardFocusManager.FORWARD_TRAVERSAL_KEYS, null);
        area.setFocusTraversalKeys(KeyboardFocusManager.BACKWARD_TRAVERSAL_KEYS, null);
        JPanel comment = new JPanel(WidthFirst.column(4));
        comment.add(Prose.name("Comment"));
        comment.add(new JScrollPane(area));
        return comment;
    }

    private JComponent foot(boolean isLater) {
        lock.setName("lock");
        lock.setMnemonic('L');
        lock.addActionListener(event -> {
            draft.comment(area.getText());
            listener.locked(draft.locked(clock.get()));
        });
        JPanel buttons = new JPanel(WidthFirst.lines(8));
        buttons.add(lock);
        JPanel foot = new JPanel(WidthFirst.column(8));
        foot.add(open);
        foot.add(buttons);
        if (!isLater) addDecline(foot, buttons);
        return foot;
    }

    private void addDecline(JPanel foot, JPanel buttons) {
        JButton decline = new JButton("Go on without …");
        decline.setName("decline");
        JPanel sure = new JPanel(WidthFirst.column(6));
        sure.add(
                Prose.text("Without a locked impression, what you saw can never be set against the numbers: none can be"
                        + " locked for this case once they were shown. The case file will say that they came first."));
        JPanel answers = new JPanel(WidthFirst.lines(8));
        JButton yes = new JButton("Go on without an impression");
        yes.setName("decline-yes");
        yes.addActionListener(event -> listener.declined());
        JButton back = new JButton("Back");
        back.setName("decline-back");
        answers.add(yes);
        answers.add(back);
        sure.add(answers);
        sure.setVisible(false);
        decline.addActionListener(event -> {
            sure.setVisible(true);
            form.revalidate();
            yes.requestFocusInWindow();
        });
        back.addActionListener(event -> {
            sure.setVisible(false);
            form.revalidate();
            decline.requestFocusInWindow();
        });
        buttons.add(decline);
        foot.add(sure);
    }

    // while the form is put together nothing was said yet
    private void changed() {
        if (!ready || isLater) return;
        draft.comment(area.getText());
        listener.drafted(draft.words());
    }

    private void show() {
        List<String> left = draft.open();
        open.setWords(left.isEmpty() ? "Nothing is left open." : "Still open: " + String.join(", ", left) + ".");
        lock.setEnabled(draft.canBeLocked());
        form.revalidate();
    }
}
