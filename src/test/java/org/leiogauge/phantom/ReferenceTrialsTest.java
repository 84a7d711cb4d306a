// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.leiogauge.outline.ReferenceProposal.Proposed;
import org.leiogauge.task.Workers;

/** Proposed reference regions of synthetic studies. {@link ReferenceTrials} does all presets. */
class ReferenceTrialsTest {
    // Oracle: the solids that the images were computed from; fat, as calm as myometrium and as near, is the pitfall.
    @Test
    void whatIsProposedLiesInTheTissueItIsNamedFor() {
        for (Preset preset : new Preset[] {Preset.ORDINARY, Preset.SARCOMA}) {
            ReferenceTrials trial = ReferenceTrials.of(preset, PhantomSettings.Matrix.DEMO, 0, Workers.SINGLE);
            trial.propose(Workers.SINGLE).forEach((tissue, proposal) -> {
                assertThat(proposal).as(preset + ", " + tissue).isInstanceOf(Proposed.class);
                assertThat(trial.right(tissue, (Proposed) proposal))
                        .as(preset + ", " + proposal)
                        .isEqualTo(1);
            });
        }
    }
}
