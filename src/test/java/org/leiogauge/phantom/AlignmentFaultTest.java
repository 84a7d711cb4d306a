// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.align.Alignment;
import org.leiogauge.phantom.AlignmentTrials.Trial;
import org.leiogauge.task.Workers;

/** A registration that fails says so. {@link AlignmentTrials} does more of them. */
class AlignmentFaultTest {
    private static final List<AlignmentFault> HOPELESS =
            List.of(AlignmentFault.FAR, AlignmentFault.NOISE, AlignmentFault.CUT);

    // Oracle: the movement that was rendered, and the fault that was added.
    @Test
    void noFailureIsSilent() {
        for (SeriesSettings.Kind kind : List.of(SeriesSettings.Kind.DYNAMIC, SeriesSettings.Kind.DWI)) {
            MovedStudy sound = MovedStudy.of(Preset.ORDINARY, PhantomSettings.Matrix.DEMO, kind, 3, Workers.SINGLE);
            for (AlignmentFault fault : AlignmentFault.values()) {
                Trial trial = Trial.of(fault.of(sound, 3, Workers.SINGLE), kind, Workers.SINGLE);
                assertThat(trial.isSilent())
                        .as(kind + ", " + fault + ": " + trial.after() + " mm off, "
                                + trial.result().decision())
                        .isFalse();
                if (HOPELESS.contains(fault)) patientCoordinatesStand(trial);
            }
        }
    }

    private static void patientCoordinatesStand(Trial trial) {
        Alignment.Result result = trial.result();
        assertThat(result.outcome().isImproved()).as(result.decision()).isFalse();
        assertThat(result.decision()).startsWith("Patient coordinates stand: ");
        assertThat(result.residualMm().number()).as(result.decision()).isEmpty();
        assertThat(trial.after()).isEqualTo(trial.before());
    }
}
