// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.leiogauge.align.Alignment;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Registration of synthetic series, whose movement is known. Tolerances: issue 4. {@link AlignmentTrials} does all 40. */
class SeriesAlignmentTest {
    // Oracle: the movement that was rendered.
    @Test
    void t2AndPostContrastMeetWithinAMillimetre() {
        for (Preset preset : new Preset[] {Preset.DEMO, Preset.MYXOID}) {
            MovedStudy study = study(preset, SeriesSettings.Kind.DYNAMIC, preset.ordinal());
            Alignment.Result result = align(study, new Alignment.Model.Rigid());
            assertThat(result.outcome()).as(result.decision()).isEqualTo(Alignment.Outcome.IMPROVED);
            double error = study.error(result.correspondence());
            assertThat(error).as(result.decision()).isLessThan(1);
            assertThat(result.residualMm().number().orElseThrow()).isBetween(error / 3, 1.0);
        }
    }

    // Oracle: the movement and the displacement that were rendered.
    @Test
    void t2AndDistortedDwiMeetWithinHalfAVoxel() {
        MovedStudy study = study(Preset.ORDINARY, SeriesSettings.Kind.DWI, 1);
        Vector phaseEncoding = study.other().grid().direction().y();
        Alignment.Result result = align(study, new Alignment.Model.EchoPlanar(phaseEncoding));
        Alignment.Result rigid = align(study, new Alignment.Model.Rigid());
        double error = study.error(result.correspondence());
        assertThat(error)
                .as(result.decision())
                .isLessThan(study.other().grid().spacing().x() / 2)
                .isLessThan(study.error(rigid.correspondence()));
    }

    private static MovedStudy study(Preset preset, SeriesSettings.Kind kind, int trial) {
        return MovedStudy.of(preset, PhantomSettings.Matrix.DEMO, kind, trial, Workers.SINGLE);
    }

    private static Alignment.Result align(MovedStudy study, Alignment.Model model) {
        return Alignment.align(
                study.t2(),
                study.other(),
                study.lesion(),
                Alignment.Settings.standard(model),
                Workers.SINGLE,
                Progress.NONE);
    }
}
