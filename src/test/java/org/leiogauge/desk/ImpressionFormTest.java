// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.AWTKeyStroke;
import java.awt.KeyboardFocusManager;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.StringJoiner;
import javax.swing.AbstractButton;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JRadioButton;
import javax.swing.JTextArea;
import org.junit.jupiter.api.Test;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Lexicon.Sign;
import org.leiogauge.appraise.Lexicon.Term;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.task.Yaml;

class ImpressionFormTest {
    private static final Lexicon LEXICON = Sample.STANDARDS.lexicon();

    private final List<Impression> locked = new ArrayList<>();
    private final List<Optional<Impression>> drafts = new ArrayList<>();
    private int declined;

    // Oracle: the keys of the case file are those of the lexicon; one line each, by hand.
    @Test
    void whatIsChosenIsWhatIsLockedUnderTheCaseFilesKeys() throws Exception {
        JComponent form = form(false);
        StringJoiner expected = new StringJoiner("\n", "", "\n");
        Sample.onEventThread(() -> {
            for (int i = 0; i < LEXICON.signs().size(); i++) {
                Sign sign = LEXICON.signs().get(i);
                Term term = sign.terms().get(i % sign.terms().size());
                choose(form, sign.key() + "=" + term.term());
                expected.add(sign.key() + ": " + term.term());
            }
            choose(form, "concern=4 serious");
            Sample.part(form, "comment", JTextArea.class).setText(" two  spots ");
            return Sample.part(form, "lock", JButton.class);
        });
        assertThat(Sample.words(form)).contains("Nothing is left open.");
        Sample.onEventThread(() -> {
            Sample.part(form, "lock", JButton.class).doClick();
            return null;
        });
        assertThat(locked).hasSize(1);
        assertThat(Yaml.PLAIN.text(locked.get(0)))
                .isEqualTo(expected + "concern: 4\ncomment: two  spots\nlocked: 2026-03-02T10:20\n");
    }

    @Test
    void whatIsLeftOpenIsNamedAndStaysOpenAndAnEmptyFormCannotBeLocked() throws Exception {
        JComponent form = form(false);
        JButton lock = Sample.part(form, "lock", JButton.class);
        assertThat(lock.isEnabled()).isFalse();
        Sample.onEventThread(() -> {
            choose(form, "border=irregular");
            return null;
        });
        assertThat(lock.isEnabled()).isTrue();
        assertThat(Sample.words(form)).contains("Still open: T2 signal,").doesNotContain("open: Border");
        Sample.onEventThread(() -> {
            choose(form, "border=leave open");
            return null;
        });
        assertThat(lock.isEnabled()).isFalse();
        Sample.onEventThread(() -> {
            choose(form, "concern=2 slight");
            lock.doClick();
            return null;
        });
        assertThat(locked.get(0).border()).isEmpty();
        assertThat(locked.get(0).concern()).contains(2);
    }

    @Test
    void decliningTakesASecondPressAndCanBeTakenBack() throws Exception {
        JComponent form = form(false);
        Sample.onEventThread(() -> {
            Sample.part(form, "decline", JButton.class).doClick();
            return null;
        });
        assertThat(declined).isZero();
        JComponent yes = Sample.part(form, "decline-yes", JButton.class);
        assertThat(yes.getParent().getParent().isVisible()).isTrue();
        Sample.onEventThread(() -> {
            Sample.part(form, "decline-back", JButton.class).doClick();
            return null;
        });
        assertThat(yes.getParent().getParent().isVisible()).isFalse();
        Sample.onEventThread(() -> {
            Sample.part(form, "decline", JButton.class).doClick();
            Sample.part(form, "decline-yes", JButton.class).doClick();
            return null;
        });
        assertThat(declined).isEqualTo(1);
        assertThat(locked).isEmpty();
    }

    @Test
    void aLaterImpressionHasNothingToDecline() throws Exception {
        assertThat(Sample.find(form(true), "decline")).isEmpty();
    }

    @Test
    void everyChoiceSaysWhatItMeansAndTabLeavesTheComment() throws Exception {
        JComponent form = form(false);
        List<JRadioButton> choices = Sample.all(form).stream()
                .filter(JRadioButton.class::isInstance)
                .map(JRadioButton.class::cast)
                .toList();
        assertThat(choices)
                .hasSize(LEXICON.signs().stream()
                                .mapToInt(sign -> sign.terms().size() + 1)
                                .sum()
                        + 6)
                .allSatisfy(choice -> {
                    assertThat(choice.getAccessibleContext().getAccessibleName())
                            .contains(": ");
                    assertThat(choice.getAccessibleContext().getAccessibleDescription())
                            .isNotBlank();
                });
        assertThat(Sample.part(form, "comment", JTextArea.class)
                        .getFocusTraversalKeys(KeyboardFocusManager.FORWARD_TRAVERSAL_KEYS))
                .contains(AWTKeyStroke.getAWTKeyStroke("pressed TAB"));
    }

    @Test
    void aTermThatTheLexiconDoesNotHaveIsRefused() {
        ImpressionDraft draft = new ImpressionDraft(LEXICON, Optional.empty());
        assertThatThrownBy(() -> draft.call("border", Optional.of("fuzzy"))).hasMessageContaining("fuzzy");
        assertThatThrownBy(() -> draft.call("colour", Optional.of("none"))).hasMessageContaining("colour");
        assertThatThrownBy(() -> draft.grade(Optional.of(6))).hasMessageContaining("6");
        assertThatThrownBy(() -> draft.locked(Sample.TIME)).isInstanceOf(IllegalStateException.class);
    }

    @Test
    void whatIsSaidIsHandedOverAtOnceAndComesBackInAnotherForm() throws Exception {
        JComponent first = form(false);
        assertThat(drafts).isEmpty();
        Sample.onEventThread(() -> {
            choose(first, "border=irregular");
            choose(first, "concern=4 serious");
            Sample.part(first, "comment", javax.swing.JTextArea.class).setText("odd");
            return true;
        });
        Impression last = drafts.get(drafts.size() - 1).orElseThrow();
        assertThat(last.border()).contains("irregular");
        assertThat(last.concern()).contains(4);
        assertThat(last.comment()).contains("odd");
        assertThat(last.locked()).isEmpty();
        JComponent again = form(false, Optional.of(last));
        assertThat(Sample.part(again, "border=irregular", AbstractButton.class).isSelected())
                .isTrue();
        assertThat(Sample.part(again, "t2-signal=leave open", AbstractButton.class)
                        .isSelected())
                .isTrue();
        Sample.onEventThread(() -> {
            choose(again, "lock");
            return true;
        });
        assertThat(locked.get(0).border()).contains("irregular");
        assertThat(locked.get(0).comment()).contains("odd");
        int before = drafts.size();
        JComponent later = form(true);
        Sample.onEventThread(() -> {
            choose(later, "border=irregular");
            return true;
        });
        assertThat(drafts).hasSize(before);
    }

    private JComponent form(boolean isLater) throws Exception {
        return form(isLater, Optional.empty());
    }

    private JComponent form(boolean isLater, Optional<Impression> begun) throws Exception {
        ImpressionForm.Listener listener = new ImpressionForm.Listener() {
            @Override
            public void drafted(Optional<Impression> words) {
                drafts.add(words);
            }

            @Override
            public void locked(Impression impression) {
                locked.add(impression);
            }

            @Override
            public void declined() {
                declined++;
            }
        };
        return Sample.onEventThread(() -> (isLater
                        ? ImpressionForm.later(LEXICON, listener, () -> Sample.TIME)
                        : new ImpressionForm(LEXICON, begun, listener, () -> Sample.TIME))
                .component());
    }

    private static void choose(JComponent form, String name) {
        Sample.part(form, name, AbstractButton.class).doClick();
    }
}
