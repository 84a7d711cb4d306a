// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.outline.ReferenceProposal;
import org.leiogauge.outline.ReferenceProposal.None;
import org.leiogauge.outline.ReferenceProposal.Proposal;
import org.leiogauge.outline.ReferenceProposal.Proposed;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;

/**
 * Reference regions in a YAML file of their own: proposed by software, used only once a reader has confirmed them.
 *
 * @param confirmed whether a reader has looked at each place
 * @param references as in the case file
 */
public record ReferencesFile(boolean confirmed, Map<Tissue, CaseFile.Reference> references) {
    public ReferencesFile {
        if (references == null || references.isEmpty())
            throw new IllegalArgumentException("references must name a tissue, got none");
        references = Map.copyOf(references);
    }

    /** @throws InputException if the file is not usable or nobody has confirmed it */
    static ReferencesFile read(Path file) throws InputException {
        ReferencesFile read = Yaml.PLAIN.read(file, ReferencesFile.class);
        if (!read.confirmed())
            throw new InputException(
                    file,
                    "confirmed",
                    "false",
                    "true, once a reader has looked at each place and taken out what is wrong");
        return read;
    }

    /**
     * A proposal.
     *
     * @param text of the file, which nobody has confirmed yet
     * @param said one line per tissue, with the reason where there is no place for it
     */
    public record Draft(String text, List<String> said) {
        public Draft {
            said = List.copyOf(said);
        }
    }

    /**
     * Looks for places of reference tissues around the lesion.
     *
     * @param lesion on the outline's grid
     * @throws InputException if the outline does not lie on a T2-weighted series, or no place was found at all
     */
    public static Draft propose(Outline outline, Mask lesion, Object file, Workers workers) throws InputException {
        if (!outline.series().role().equals(Optional.of(Role.T2)))
            throw new InputException(
                    file,
                    "references",
                    "an outline on " + outline.series().label(),
                    "one on a T2-weighted series, on which reference tissues are looked for");
        Map<ReferenceProposal.Tissue, Proposal> found = ReferenceProposal.propose(
                AlignmentImage.of(outline.content()), lesion, ReferenceProposal.Settings.standard(), workers);
        List<String> lines = new ArrayList<>(List.of(
                "# Proposed by software on " + outline.series().label().replaceAll("\\p{Cntrl}", " ")
                        + ", confirmed by nobody.",
                "# Look at each place, move or take out what is wrong, then set confirmed to true.",
                "confirmed: false",
                "references:"));
        List<String> said = new ArrayList<>();
        boolean any = false;
        for (ReferenceProposal.Tissue tissue : ReferenceProposal.Tissue.values()) {
            String key = tissue.name().toLowerCase(Locale.ROOT);
            any |= found.get(tissue) instanceof Proposed;
            lines.add(line(key, found.get(tissue)));
            said.add(words(key, found.get(tissue)));
        }
        if (!any) throw new InputException(file, "references", String.join("; ", said), "one place or more");
        return new Draft(String.join("\n", lines) + "\n", said);
    }

    private static String line(String key, Proposal proposal) {
        if (proposal instanceof None none) return "  # " + key + ": " + none.reason();
        Proposed ball = (Proposed) proposal;
        Point at = ball.centre();
        return String.format(
                Locale.ROOT,
                "  %s: {points: [{at: [%.1f, %.1f, %.1f], radius: %.1f}]}  # confidence %.2f",
                key,
                at.x(),
                at.y(),
                at.z(),
                ball.radiusMm(),
                ball.confidence());
    }

    private static String words(String key, Proposal proposal) {
        if (proposal instanceof None none) return "proposed reference: " + none.reason();
        Proposed ball = (Proposed) proposal;
        return String.format(
                Locale.ROOT,
                "proposed reference: %s at %.1f, %.1f, %.1f mm, radius %.1f mm, confidence %.2f",
                key,
                ball.centre().x(),
                ball.centre().y(),
                ball.centre().z(),
                ball.radiusMm(),
                ball.confidence());
    }
}
