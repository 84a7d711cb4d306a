// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.image.Mask;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;

/** Measures one lesion of one study and writes the folder with all that came of it. */
public final class CaseMeasurement {
    private CaseMeasurement() {}

    /**
     * Measures the case and writes the folder.
     *
     * @return the lesion and its parts on the outline's grid, for who shows them
     * @throws InputException if study, outline, case file or settings are not usable; the folder is as it was then
     * @throws IOException if the folder cannot be written
     */
    public static LesionSegments run(CaseRequest request, Path out, Workers workers, Progress progress)
            throws InputException, IOException {
        try {
            return measure(request, out, workers, progress);
        } catch (InputException | IOException | RuntimeException e) {
            // a report that was written has used all that was made ready for it
            ReportPreparation.end();
            throw e;
        }
    }

    private static LesionSegments measure(CaseRequest request, Path out, Workers workers, Progress progress)
            throws InputException, IOException {
        // what could be refused is refused before the long work
        WritablePlace.requireForFolder(out);
        Standards standards = TableAppraisal.standards(request.criteria(), request.prevalence());
        Study found = Study.open(request.study(), workers, progress.part(0, 0.1));
        CaseFile known = request.caseFile().isPresent()
                ? standards.lexicon().read(request.caseFile().get())
                : CaseFile.named(found.pseudonym());
        LesionRegion region = LesionRegion.of(request, known);
        CaseFile caseFile = region.caseFile();
        Study study = found.with(
                caseFile.series(), request.caseFile().<Object>map(file -> file).orElse(""));
        Outline outline = OutlineFile.read(request.outline(), region.roi(), study, workers, progress.part(0.1, 0.19));
        References references = References.read(
                caseFile, folder(request), request.references(), study, workers, progress.part(0.19, 0.2));
        if (workers.threads() > 1) ReportPreparation.begin(standards);
        Set<String> decisions = new LinkedHashSet<>(study.decisions());
        if (request.caseFile().isEmpty()) decisions.add("no case file: the case is named " + caseFile.caseName());
        decisions.addAll(region.decisions());
        decisions.addAll(outline.decisions());
        decisions.addAll(Neighbours.shared(outline, OutlineFile.others(request.outline(), outline)));
        decisions.addAll(references.decisions());
        List<PlacedSeries> placed =
                placed(request.settings(), study, outline, decisions, workers, progress.part(0.2, 0.5));
        List<SeriesMeasurement> standard = new ArrayList<>();
        for (int i = 0; i < placed.size(); i++)
            standard.add(SeriesMeasurement.of(
                    placed.get(i),
                    request.settings(),
                    workers,
                    progress.part(0.5 + 0.2 * i / placed.size(), 0.5 + 0.2 * (i + 1) / placed.size())));
        standard.forEach(one -> decisions.addAll(one.decisions()));
        LesionSources sources =
                LesionSources.of(placed, outline, references, request.settings(), workers, progress.part(0.7, 0.75));
        decisions.addAll(sources.decisions());
        Mask around = outline.mask().crop(sources.outlineRoom());
        LesionDraw.Drawn asIs = LesionDraw.asIs(sources, around, workers);
        LesionImages images = asIs.images();
        LesionImages.Masks masks = asIs.masks();
        List<SteadyValue> lesion = SteadyValue.of(
                sources,
                images,
                masks,
                around,
                MethodErrorFile.shipped(),
                request.settings(),
                workers,
                progress.part(0.75, 0.95));
        decisions.add(DicomOutput.decision(outline.content().drawnOn(), request.withIdentity()));
        LesionParts parts = LesionParts.of(
                images,
                masks,
                lesion.stream().map(SteadyValue::placed).toList(),
                request.settings().lesion(),
                workers);
        List<SteadyValue> all = new ArrayList<>(lesion);
        parts.parts().forEach(part -> all.add(new SteadyValue(part.value(), Optional.empty())));
        LesionSegments segments = LesionSegments.of(parts, outline.mask(), workers);
        new CaseFolder(
                        request,
                        caseFile,
                        study,
                        outline,
                        parts,
                        segments,
                        standard,
                        images,
                        masks,
                        List.copyOf(all),
                        standards,
                        List.copyOf(decisions))
                .write(out, workers);
        progress.at(1);
        return segments;
    }

    private static Path folder(CaseRequest request) {
        return request.caseFile().map(file -> file.toAbsolutePath().getParent()).orElse(Path.of(""));
    }

    /** The outline's own series and one of each other role, each laid over the outline. */
    static List<PlacedSeries> placed(
            Settings settings, Study study, Outline outline, Set<String> decisions, Workers workers, Progress progress)
            throws InputException {
        List<Series> wanted = wanted(study, outline, decisions);
        List<Series> leaders = wanted.stream()
                .skip(1)
                .filter(series -> leader(series, wanted).isEmpty())
                .toList();
        // Side by side, each on one thread: a registration alone fills two cores badly.
        Map<Series, Over> over = new HashMap<>();
        List<Over> found = workers.map(leaders.size(), i -> {
            progress.at((double) i / wanted.size());
            return Over.of(leaders.get(i), outline, Optional.empty(), settings, Workers.SINGLE);
        });
        for (int i = 0; i < found.size(); i++) over.put(leaders.get(i), found.get(i));
        List<PlacedSeries> placed = new ArrayList<>(List.of(PlacedSeries.own(outline)));
        for (Series series : wanted.subList(1, wanted.size())) {
            Optional<PlacedSeries> like =
                    leader(series, wanted).flatMap(one -> over.get(one).placed());
            Over one = over.containsKey(series) ? over.get(series) : Over.of(series, outline, like, settings, workers);
            one.placed().ifPresent(placed::add);
            decisions.addAll(one.passedOver());
        }
        progress.at(1);
        return placed;
    }

    /** A series laid over the outline, or why it was passed over. */
    private record Over(Optional<PlacedSeries> placed, List<String> passedOver) {
        static Over of(Series series, Outline outline, Optional<PlacedSeries> like, Settings settings, Workers workers)
                throws InputException {
            List<String> passedOver = new ArrayList<>();
            return new Over(
                    PlacedSeries.of(series, outline, like, settings, passedOver, workers, Progress.NONE), passedOver);
        }
    }

    // A map lies where the images do that it was made of, an image before contrast where those after it do.
    private static Optional<Series> leader(Series series, List<Series> wanted) {
        Optional<Role> leads = series.role().equals(Optional.of(Role.ADC))
                ? Optional.of(Role.DWI)
                : series.role().equals(Optional.of(Role.PRE_CONTRAST))
                        ? Optional.of(Role.POST_CONTRAST)
                        : Optional.empty();
        return leads.flatMap(role -> wanted.stream()
                .skip(1)
                .filter(one -> one.role().equals(Optional.of(role)))
                .findFirst());
    }

    /** The outline's own series, then one for each other role. */
    private static List<Series> wanted(Study study, Outline outline, Set<String> decisions) {
        List<Series> wanted = new ArrayList<>(List.of(outline.series()));
        for (Role role : Role.values()) {
            if (outline.series().role().equals(Optional.of(role))) continue;
            List<Series> candidates = study.of(role);
            if (candidates.isEmpty()) continue;
            Series chosen = candidates.stream()
                    .filter(series ->
                            series.frameOfReference().equals(outline.series().frameOfReference()))
                    .findFirst()
                    .orElse(candidates.get(0));
            wanted.add(chosen);
            if (candidates.size() > 1)
                decisions.add("of " + candidates.size() + " series for " + role.words() + ", " + chosen.label()
                        + " was taken: the one with most images in the outline's frame of reference");
        }
        return wanted;
    }
}
