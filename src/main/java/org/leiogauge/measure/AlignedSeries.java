// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * One series laid over an outline as a case's measurement lays it, to be looked at.
 *
 * @param series which was taken
 * @param image its volume that shows most anatomy, interpolated on the grid of the outline's series; NaN where it has no voxel
 * @param residualMm how far it may be off, root mean square over the lesion
 * @param decisions what was decided for the reader
 */
public record AlignedSeries(Series series, Volume image, double residualMm, List<String> decisions) {
    public AlignedSeries {
        decisions = List.copyOf(decisions);
    }

    /** @throws InputException if the study has no series of that role, or it cannot be laid over the outline */
    public static AlignedSeries of(
            Study study, Outline outline, Role role, Settings settings, Workers workers, Progress progress)
            throws InputException {
        if (outline.series().role().equals(Optional.of(role)))
            throw new InputException(
                    outline.series().label(), "role", role.words() + ", the outline's own", "another series' role");
        if (study.of(role).isEmpty())
            throw new InputException("study", "role", "no series that is " + role.words(), "one");
        Set<String> decisions = new LinkedHashSet<>();
        List<PlacedSeries> placed =
                CaseMeasurement.placed(settings, only(study, outline, role), outline, decisions, workers, progress);
        PlacedSeries found = placed.stream()
                .filter(one -> one.role().equals(Optional.of(role)))
                .findFirst()
                .orElseThrow(() -> new InputException(
                        "study", "role", String.join("; ", decisions), "a series that shows the lesion"));
        decisions.addAll(found.decisions());
        Volume image = found.correspondence()
                .onFixed(
                        AlignmentImage.of(found.content()),
                        outline.mask().grid(),
                        Resampling.Kernel.LINEAR,
                        workers,
                        Progress.NONE);
        return new AlignedSeries(found.series(), image, found.residualMm(), List.copyOf(decisions));
    }

    // The role's series, and those whose place it may share.
    private static Study only(Study study, Outline outline, Role role) {
        Set<Role> kept = role == Role.ADC
                ? Set.of(Role.ADC, Role.DWI)
                : role == Role.PRE_CONTRAST ? Set.of(Role.PRE_CONTRAST, Role.POST_CONTRAST) : Set.of(role);
        return new Study(
                study.pseudonym(),
                study.series().stream()
                        .filter(series -> series.equals(outline.series())
                                || series.role().filter(kept::contains).isPresent())
                        .toList(),
                study.decisions());
    }
}
