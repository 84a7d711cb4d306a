// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.align.Alignment;
import org.leiogauge.align.Correspondence;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.signal.AdcFit.Weighted;
import org.leiogauge.signal.AdcUnit;
import org.leiogauge.signal.BiasField;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.signal.NoiseLevel;
import org.leiogauge.signal.RicianNoise;
import org.leiogauge.stability.OutlineDraws;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The images of one lesion as they came from the scanner, cut out around it and laid over the outline, with what is known of
 * each: noise, reference tissues. From these every draw makes its own maps.
 */
final class LesionSources {
    private static final double NEAR_MM = 6;

    private final Outline outline;
    private final References references;
    private final Settings settings;
    private final Workers workers;
    private final List<String> decisions = new ArrayList<>();

    private Optional<Plain> t2 = Optional.empty();
    private Optional<Plain> t1 = Optional.empty();
    private boolean fatSuppressed;
    private Optional<Dynamic> dynamic = Optional.empty();
    private Optional<Weightings> diffusion = Optional.empty();

    private LesionSources(Outline outline, References references, Settings settings, Workers workers) {
        this.outline = outline;
        this.references = references;
        this.settings = settings;
        this.workers = workers;
    }

    /** One image around the lesion, without bias field. */
    record Plain(Volume image, double noise, Map<Tissue, Reference> references, double residualMm) {}

    /**
     * Images before and after contrast.
     *
     * @param region where all voxels are looked at
     * @param near the part of it that a draw looks at
     */
    record Dynamic(
            Volume pre,
            Map<Tissue, Reference> preReferences,
            List<Phase> phases,
            List<Map<Tissue, Reference>> references,
            double noise,
            Mask region,
            Mask near,
            double residualMm) {}

    /** Diffusion-weighted images, or a map alone. */
    record Weightings(
            List<Weighted> images,
            Optional<Volume> map,
            double noise,
            Map<Tissue, Reference> references,
            double residualMm) {
        Grid grid() {
            return map.orElseGet(() -> images.get(0).image()).grid();
        }
    }

    static LesionSources of(
            List<PlacedSeries> placed,
            Outline outline,
            References references,
            Settings settings,
            Workers workers,
            Progress progress)
            throws InputException {
        LesionSources sources = new LesionSources(outline, references, settings, workers);
        sources.t2 = sources.plain(placed, Role.T2, progress.part(0, 0.4));
        sources.fatSuppressed = find(placed, Role.T1_FAT_SAT).isPresent();
        sources.t1 = sources.plain(placed, sources.fatSuppressed ? Role.T1_FAT_SAT : Role.T1, progress.part(0.4, 0.7));
        sources.dynamic = sources.dynamic(placed, progress.part(0.7, 0.9));
        sources.diffusion = sources.diffusion(placed);
        progress.at(1);
        return sources;
    }

    List<String> decisions() {
        return List.copyOf(decisions);
    }

    Optional<Plain> t2() {
        return t2;
    }

    Optional<Plain> t1() {
        return t1;
    }

    boolean isFatSuppressed() {
        return fatSuppressed;
    }

    Optional<Dynamic> dynamic() {
        return dynamic;
    }

    Optional<Weightings> weightings() {
        return diffusion;
    }

    private static Optional<PlacedSeries> find(List<PlacedSeries> placed, Role role) {
        return placed.stream().filter(p -> p.role().equals(Optional.of(role))).findFirst();
    }

    private Optional<Plain> plain(List<PlacedSeries> placed, Role role, Progress progress) {
        Optional<PlacedSeries> found = find(placed, role);
        if (found.isEmpty()) return Optional.empty();
        PlacedSeries series = found.get();
        Volume raw = AlignmentImage.of(series.content());
        Mask body = BodyMask.of(raw);
        Volume corrected = raw;
        if (settings.bias() && !body.isEmpty()) {
            BiasField.Estimate estimate =
                    BiasField.estimate(raw, body, BiasField.Settings.standard(), workers, progress);
            corrected = estimate.corrected();
            decisions.add(String.format(
                    Locale.ROOT,
                    "%s: a smooth field from %.2f to %.2f of its mean was divided out",
                    series.series().label(),
                    estimate.smallest(),
                    estimate.largest()));
        }
        return Optional.of(new Plain(
                series.straight(corrected, workers),
                noise(corrected, series.mask()),
                measured(corrected, regions(series), series.series().label()),
                series.residualMm()));
    }

    private static double noise(Volume image, Mask lesion) {
        return NoiseLevel.of(image, lesion).number().orElse(0);
    }

    private static double mean(Volume image, Mask lesion) {
        double sum = 0;
        for (int i = 0; i < lesion.voxels().length; i++) if (lesion.voxels()[i] != 0) sum += image.voxels()[i];
        return sum / lesion.count();
    }

    // The regions are placed in the outline's patient space.
    private Map<Tissue, Mask> regions(PlacedSeries series) {
        Grid grid = series.grid();
        Grid straight = series.straight(grid);
        Map<Tissue, Mask> regions = new EnumMap<>(Tissue.class);
        references
                .places()
                .forEach((tissue, place) -> regions.put(
                        tissue, new Mask(grid, place.on(straight, workers).voxels())));
        return regions;
    }

    private static Map<Tissue, Reference> measured(Volume image, Map<Tissue, Mask> regions, String label) {
        Map<Tissue, Reference> measured = new EnumMap<>(Tissue.class);
        regions.forEach((tissue, region) -> measured.put(
                tissue,
                region.isEmpty()
                        ? new ReferenceRegion.Refused("it lies outside " + label)
                        : ReferenceRegion.measure(image, region, ReferenceRegion.Settings.standard())));
        return measured;
    }

    private Optional<Dynamic> dynamic(List<PlacedSeries> placed, Progress progress) throws InputException {
        Optional<PlacedSeries> after = find(placed, Role.POST_CONTRAST);
        if (after.isEmpty()) return Optional.empty();
        PlacedSeries post = after.get();
        List<Frame> before = post.content().frames().stream()
                .filter(f -> f.seconds().isPresent() && f.seconds().getAsDouble() <= 0)
                .toList();
        List<Frame> phases = post.content().frames().stream()
                .filter(f -> !before.contains(f))
                .sorted(Comparator.comparingDouble(f -> f.seconds().orElse(settings.unknownPhaseSeconds())))
                .toList();
        Optional<PlacedSeries> preSeries = find(placed, Role.PRE_CONTRAST);
        if (phases.isEmpty() || before.isEmpty() && preSeries.isEmpty()) {
            decisions.add(post.series().label() + ": no image before contrast, so enhancement is not measured");
            return Optional.empty();
        }
        Volume first = phases.get(0).volume();
        Volume pre = before.isEmpty()
                ? onPhases(preSeries.get(), post, first, progress)
                : before.get(0).volume();
        Map<Tissue, Mask> regions = regions(post);
        List<Phase> around = new ArrayList<>();
        List<Map<Tissue, Reference>> ofPhases = new ArrayList<>();
        for (Frame phase : phases) {
            around.add(new Phase(seconds(phase.seconds(), post), post.straight(phase.volume(), workers)));
            ofPhases.add(measured(phase.volume(), regions, post.series().label()));
        }
        Volume preAround = post.straight(pre, workers);
        Mask region = whole(preAround.grid());
        Mask lesion = new Mask(preAround.grid(), post.mask().crop(post.room()).voxels());
        OptionalDouble noise = Enhancement.noise(preAround, around, lesion).number();
        if (noise.isEmpty()) {
            decisions.add(post.series().label() + ": its noise cannot be measured, so enhancement is not measured");
            return Optional.empty();
        }
        return Optional.of(new Dynamic(
                preAround,
                measured(pre, regions, "the image before contrast"),
                around,
                ofPhases,
                noise.getAsDouble(),
                region,
                near(lesion, post.residualMm()),
                post.residualMm()));
    }

    // As far as nearly every draw moves the border, and what is looked at around each voxel.
    private Mask near(Mask lesion, double residualMm) {
        OutlineDraws.Settings moves = settings.stability().outline();
        double mm = NEAR_MM
                + 4
                        * Math.sqrt(moves.shiftMm() * moves.shiftMm()
                                + moves.growMm() * moves.growMm()
                                + moves.edgeMm() * moves.edgeMm()
                                + residualMm * residualMm);
        float[] away = DistanceTransform.toRegion(lesion, workers).voxels();
        byte[] near = new byte[away.length];
        for (int i = 0; i < near.length; i++) near[i] = (byte) (away[i] <= mm ? 1 : 0);
        return new Mask(lesion.grid(), near);
    }

    private double seconds(OptionalDouble seconds, PlacedSeries post) {
        if (seconds.isPresent()) return seconds.getAsDouble();
        decisions.add(post.series().label() + ": no time after injection is stated; taken as late, "
                + settings.unknownPhaseSeconds() + " s");
        return settings.unknownPhaseSeconds();
    }

    // Subtraction needs both on one grid, and the patient in one place.
    private Volume onPhases(PlacedSeries pre, PlacedSeries post, Volume phase, Progress progress) {
        Volume image = AlignmentImage.of(pre.content());
        Correspondence between = Correspondence.identity(phase.grid().origin());
        if (settings.align()) {
            Alignment.Result result = Alignment.align(
                    phase,
                    image,
                    post.mask(),
                    Alignment.Settings.standard(new Alignment.Model.Rigid()),
                    workers,
                    progress);
            between = result.correspondence();
            decisions.add("before and after contrast: " + result.decision());
        }
        boolean same = image.grid().coincides(phase.grid(), 1e-3)
                && between.equals(Correspondence.identity(phase.grid().origin()));
        return same
                ? new Volume(phase.grid(), image.voxels())
                : between.onFixed(image, phase.grid(), Resampling.Kernel.CUBIC, workers, Progress.NONE);
    }

    private static Mask whole(Grid grid) {
        byte[] all = new byte[grid.size().voxels()];
        Arrays.fill(all, (byte) 1);
        return new Mask(grid, all);
    }

    private Optional<Weightings> diffusion(List<PlacedSeries> placed) throws InputException {
        Optional<PlacedSeries> dwi = find(placed, Role.DWI);
        Optional<PlacedSeries> map = find(placed, Role.ADC);
        List<Frame> frames = dwi.map(d -> d.content().frames().stream()
                        .filter(f -> f.bValue().isPresent())
                        .sorted(Comparator.comparingDouble(f -> f.bValue().getAsDouble()))
                        .toList())
                .orElse(List.of());
        boolean fits = frames.stream()
                        .mapToDouble(f -> f.bValue().getAsDouble())
                        .distinct()
                        .count()
                >= 2;
        if (fits) {
            if (map.isPresent())
                decisions.add(map.get().series().label() + ": the ADC was fitted anew from "
                        + dwi.get().series().label() + " in place of the scanner's map");
            return Optional.of(fitted(dwi.get(), frames));
        }
        if (map.isEmpty()) return Optional.empty();
        Volume scanner = AlignmentImage.of(map.get().content());
        AdcUnit.Found unit =
                AdcUnit.find(map.get().series().label(), scanner, map.get().mask(), settings.adcUnit());
        decisions.add(unit.decision());
        return Optional.of(new Weightings(
                List.of(),
                Optional.of(map.get().straight(unit.unit().convert(scanner), workers)),
                0,
                Map.of(),
                map.get().residualMm()));
    }

    private Weightings fitted(PlacedSeries dwi, List<Frame> frames) {
        List<Weighted> around = new ArrayList<>();
        for (Frame frame : frames)
            around.add(new Weighted(frame.bValue().getAsDouble(), dwi.straight(frame.volume(), workers)));
        Frame highest = frames.get(frames.size() - 1);
        return new Weightings(
                around,
                Optional.empty(),
                RicianNoise.ofMagnitudes(mean(highest.volume(), dwi.mask()), noise(highest.volume(), dwi.mask())),
                measured(highest.volume(), regions(dwi), dwi.series().label()),
                dwi.residualMm());
    }

    /** The part of the outline's grid that the draws may reach. */
    Box outlineRoom() {
        return PlacedSeries.own(outline).room();
    }

    // At the highest b-values the logarithm of a noisy signal, weights that share its noise, and leaving out what noise
    // made
    // small would lower the ADC.
    AdcFit.Settings adcSettings(double noise) {
        AdcFit.Settings s = AdcFit.Settings.standard();
        return new AdcFit.Settings(AdcFit.Method.NON_LINEAR, s.lowestB(), s.highestB(), noise, s.floor());
    }
}
