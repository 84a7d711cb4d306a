// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javax.swing.AbstractButton;
import javax.swing.JSlider;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.CardResult;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;

// The time limit only keeps a hanging test from hanging the build.
@Timeout(120)
class ReadingPanelTest {
    private static final List<String> NUMBERS = List.of("signs", "patterns", "cards", "values");

    private final List<CaseFile> cases = new ArrayList<>(List.of(Sample.CASE));
    private final List<Optional<Impression>> drafts = new ArrayList<>();
    private ReadingPanel panel;
    private int measured;
    private LocalDateTime now = Sample.TIME;

    @BeforeEach
    void make() throws Exception {
        panel = Sample.onEventThread(() -> new ReadingPanel(
                Sample.STANDARDS,
                new ReadingPanel.Host() {
                    @Override
                    public CaseFile caseFile() {
                        return last();
                    }

                    @Override
                    public void changed(CaseFile now) {
                        cases.add(now);
                    }

                    @Override
                    public void drafted(Optional<Impression> words) {
                        drafts.add(words);
                    }

                    @Override
                    public void measure() {
                        measured++;
                    }
                },
                () -> now));
    }

    @Test
    void beforeTheImpressionThereIsNoNumberAndNoWayToShowOne() throws Exception {
        assertThat(Sample.find(panel, "impression")).isPresent();
        assertThat(Sample.find(panel, "measure")).isEmpty();
        for (String name : NUMBERS) assertThat(Sample.find(panel, name)).isEmpty();
        assertThat(panel.refusal()).isPresent();
        assertThatThrownBy(() -> show(Sample.result(last()))).isInstanceOf(IllegalStateException.class);
        assertThat(cases).containsExactly(Sample.CASE);
    }

    @Test
    void onceItIsLockedTheNumbersMayComeAndTheCaseSaysWhenTheyDid() throws Exception {
        lockFirst();
        assertThat(last().impression().get(0).locked()).contains(Sample.TIME.toString());
        assertThat(last().numbersShown()).isEmpty();
        assertThat(Sample.find(panel, "impression")).isEmpty();
        press("measure");
        assertThat(measured).isEqualTo(1);
        now = Sample.TIME.plusMinutes(3);
        show(Sample.result(last()));
        assertThat(last().numbersShown()).contains(now.toString());
        for (String name : NUMBERS) assertThat(Sample.find(panel, name)).isPresent();
    }

    @Test
    void aLaterImpressionIsASecondEntryAndTheFirstStays() throws Exception {
        lockFirst();
        now = Sample.TIME.plusMinutes(3);
        show(Sample.result(last()));
        CaseFile before = last();
        press("later");
        press("border=lobulated");
        now = Sample.TIME.plusMinutes(5);
        press("lock");
        assertThat(last().impression())
                .hasSize(2)
                .startsWith(before.impression().get(0));
        assertThat(last().numbersShown()).isEqualTo(before.numbersShown());
        assertThat(Sample.words(panel)).contains("you: irregular", "Later entry 1");
        while (!Sample.onEventThread(() -> Sample.words(panel).contains("you: impression 2: lobulated")))
            Thread.sleep(20);
    }

    @Test
    void whoDeclinesMayMeasureAndTheCaseRecordsThatTheNumbersCameFirst() throws Exception {
        press("decline");
        press("decline-yes");
        assertThat(panel.hasDeclined()).isTrue();
        assertThat(panel.refusal()).isEmpty();
        show(Sample.result(last()));
        assertThat(last().impression()).isEmpty();
        assertThat(last().numbersShown()).contains(Sample.TIME.toString());
        assertThat(Sample.words(panel)).contains("before an impression was locked", "you: not called");
        // and none can be locked from now on
        assertThat(Sample.find(panel, "later")).isEmpty();
        assertThatThrownBy(() -> last().locking(Sample.impression(Sample.TIME.plusHours(1))))
                .hasMessageContaining("not blind");
        Sample.onEventThread(() -> {
            panel.begin(Optional.empty());
            return null;
        });
        assertThat(Sample.find(panel, "impression")).isEmpty();
        assertThat(Sample.find(panel, "cards")).isEmpty();
    }

    // Oracle: the appraisal of the same values at that prevalence, as the command line prints it.
    @Test
    void theCardsFollowThePrevalenceAndKeepItWhenTheDrawingChanges() throws Exception {
        lockFirst();
        MeasureRun.Result result = Sample.result(last());
        show(result);
        press("open-all");
        int step = PrevalenceControl.step(0.02);
        Sample.onEventThread(() -> {
            Sample.part(panel, "prevalence", JSlider.class).setValue(step);
            return null;
        });
        Prevalence chosen = new Prevalence("", "", "own", "reader", PrevalenceControl.at(step));
        List<String> wanted = new ArrayList<>();
        for (CardResult card : result.at(chosen).cards())
            card.worth().forEach(worth -> worth.here().ifPresent(here -> wanted.add(AppraisalText.probability(here))));
        assertThat(wanted).isNotEmpty();
        while (!Sample.onEventThread(() -> wanted.stream().allMatch(Sample.words(panel)::contains))) Thread.sleep(20);
        Sample.onEventThread(() -> {
            panel.setOutdated(true);
            return null;
        });
        assertThat(Sample.words(panel)).contains("The drawing was changed").contains(wanted);
        assertThat(Sample.part(panel, "prevalence", JSlider.class).getValue()).isEqualTo(step);
    }

    @Test
    void theCautionsStandOnTheCardsThatTheyAreAbout() throws Exception {
        lockFirst();
        MeasureRun.Result result = Sample.result(last());
        show(result);
        press("open-all");
        for (CardResult card : result.appraisal().cards())
            assertThat(Sample.words(Sample.part(panel, "card-" + card.card().id(), javax.swing.JPanel.class)))
                    .contains(card.cautions());
    }

    @Test
    void signsSayAgreesDiffersOrNotMeasuredWithWordsAndShapes() throws Exception {
        lockFirst();
        MeasureRun.Result result = Sample.result(last());
        List<SignsTable.Line> lines = result.appraisal().signs().stream()
                .map(sign -> SignsTable.Line.of(result.appraisal(), sign, result.rows()))
                .toList();
        // Oracle: by hand from the lexicon's cut-offs and the sample's values
        assertThat(lines.get(0).calls()).containsExactly(new SignsTable.Call("irregular", "differs", Glyph.UNEQUAL));
        assertThat(lines.get(0).measured()).isEqualTo("lobulated");
        assertThat(lines.get(5).measured()).isEqualTo("not measured");
        assertThat(lines.get(4).measured()).isEqualTo("like-myometrium (near a cut-off)");
        assertThat(lines.get(4).values().get(0).care()).isEqualTo("wide interval");
        assertThat(lines.get(4).calls()).isEmpty();
    }

    private void lockFirst() throws Exception {
        press("border=irregular");
        press("lock");
    }

    private void press(String name) throws Exception {
        Sample.onEventThread(() -> {
            Sample.part(panel, name, AbstractButton.class).doClick();
            return null;
        });
    }

    private void show(MeasureRun.Result result) throws Exception {
        Sample.onEventThread(() -> {
            panel.show(result);
            return null;
        });
    }

    private CaseFile last() {
        return cases.get(cases.size() - 1);
    }
}
