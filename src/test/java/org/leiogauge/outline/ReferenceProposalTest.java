// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceProposal.None;
import org.leiogauge.outline.ReferenceProposal.Proposal;
import org.leiogauge.outline.ReferenceProposal.Proposed;
import org.leiogauge.outline.ReferenceProposal.Settings;
import org.leiogauge.outline.ReferenceProposal.Tissue;
import org.leiogauge.task.Workers;

class ReferenceProposalTest {
    private static final Grid GRID = new Grid(
            new Size(130, 120, 22), new Spacing(1.2, 1.2, 4), DirectionCosines.AXIAL, new Point(-78, -72, -44));
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(0, 0, 0, 18));
    private static final Mask UTERUS = Solids.mask(GRID, Solids.ball(0, 0, 0, 34));
    private static final Mask MUSCLE =
            Solids.mask(GRID, (x, y, z) -> Math.hypot((Math.abs(x) - 58) / 14, (y - 20) / 22) <= 1);
    private static final Mask URINE = Solids.mask(GRID, Solids.ball(0, -52, -18, 17));

    @Test
    void eachTissueIsFoundWhereItWasPut() {
        // Oracle: the solids that the image was computed from.
        Map<Tissue, Proposal> found =
                ReferenceProposal.propose(image(true), LESION, Settings.standard(), Workers.SINGLE);
        assertLiesIn(found.get(Tissue.MUSCLE), MUSCLE);
        assertLiesIn(found.get(Tissue.URINE), URINE);
        assertLiesIn(found.get(Tissue.MYOMETRIUM), UTERUS);
        Proposed myometrium = (Proposed) found.get(Tissue.MYOMETRIUM);
        assertThat(myometrium.centre().distance(new Point(0, 0, 0))).isGreaterThan(18 + myometrium.radiusMm());
    }

    @Test
    void withoutABrightPlaceNoUrineIsProposed() {
        Map<Tissue, Proposal> found =
                ReferenceProposal.propose(image(false), LESION, Settings.standard(), Workers.SINGLE);
        assertThat(found.get(Tissue.URINE)).isInstanceOf(None.class);
        assertThat(((None) found.get(Tissue.URINE)).reason()).contains("no place looks like urine");
        assertLiesIn(found.get(Tissue.MUSCLE), MUSCLE);
    }

    // Oracle: half of the lesion lies beside tissue three times as bright: what is beside it tells of no tissue.
    @Test
    void besideSeveralTissuesNoMyometriumIsProposed() {
        float[] voxels = image(true).voxels().clone();
        for (int i = 0; i < voxels.length; i++)
            if (UTERUS.voxels()[i] != 0
                    && LESION.voxels()[i] == 0
                    && i % GRID.size().x() < 65) voxels[i] *= 3;
        Map<Tissue, Proposal> found =
                ReferenceProposal.propose(new Volume(GRID, voxels), LESION, Settings.standard(), Workers.SINGLE);
        assertThat(found.get(Tissue.MYOMETRIUM)).isInstanceOf(None.class);
        assertThat(((None) found.get(Tissue.MYOMETRIUM)).reason())
                .startsWith("no place looks like myometrium: what lies beside the lesion is not one tissue, ");
    }

    @Test
    void nothingIsProposedInNoise() {
        Volume noise = Solids.noise(GRID, 0, 100, 9);
        ReferenceProposal.propose(noise, LESION, Settings.standard(), Workers.SINGLE)
                .values()
                .forEach(proposal -> assertThat(proposal).isInstanceOf(None.class));
    }

    private static void assertLiesIn(Proposal proposal, Mask truth) {
        assertThat(proposal).isInstanceOf(Proposed.class);
        Proposed ball = (Proposed) proposal;
        assertThat(ball.confidence()).isBetween(0.0, 1.0);
        Mask region = ReferenceRegion.ball(GRID, ball.centre(), ball.radiusMm());
        int outside = 0;
        for (int i = 0; i < region.voxels().length; i++)
            if (region.voxels()[i] != 0 && truth.voxels()[i] == 0) outside++;
        assertThat((double) outside / region.count()).isLessThan(0.1);
    }

    private static Volume image(boolean urine) {
        float[] voxels = Solids.noise(GRID, 0, 12, 3).voxels().clone();
        for (int i = 0; i < voxels.length; i++)
            voxels[i] += MUSCLE.voxels()[i] != 0
                    ? 120
                    : urine && URINE.voxels()[i] != 0
                            ? 1500
                            : LESION.voxels()[i] != 0 ? 220 : UTERUS.voxels()[i] != 0 ? 420 : 520;
        return new Volume(GRID, voxels);
    }
}
