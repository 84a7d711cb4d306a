// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Supplier;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.lesion.LesionEnhancement;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.report.ChartPicture.Curve;
import org.leiogauge.report.Figure;
import org.leiogauge.report.Pictures;
import org.leiogauge.report.ReportContent.Group;
import org.leiogauge.study.Role;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The pictures of one case: what is there is drawn, what is not is left out. */
final class CaseFigures {
    // Fixed, so that reports can be laid side by side: free water at body temperature has about 3.
    private static final double HIGHEST_ADC = 3;
    private static final double HIGHEST_PERCENT = 200;
    private static final String ADC_AXIS = "ADC (10⁻³ mm²/s)";

    private final List<SeriesMeasurement> measured;
    private final LesionImages images;
    private final LesionImages.Masks masks;
    private final LesionParts parts;
    private final List<SteadyValue> lesion;
    private final Settings settings;
    private final Workers workers;
    private final List<Planned> planned = new ArrayList<>();

    private CaseFigures(
            List<SeriesMeasurement> measured,
            LesionImages images,
            LesionImages.Masks masks,
            LesionParts parts,
            List<SteadyValue> lesion,
            Settings settings,
            Workers workers) {
        this.measured = measured;
        this.images = images;
        this.masks = masks;
        this.parts = parts;
        this.lesion = lesion;
        this.settings = settings;
        this.workers = workers;
    }

    private record Planned(Heading heading, Supplier<Figure> figure) {}

    private enum Heading {
        LESION(
                "The lesion on its slices",
                "The orange line is the outline as it was measured, along the voxels' edges. Letters give the patient's side: "
                        + "R right, L left, A front, P back, H head, F feet."),
        PARTS(
                "Parts of the lesion",
                "Where the measured shares come from, on the slice with most of the lesion. Each part has its own pattern; "
                        + "parts may overlap. They were found on their own series and carried here by the alignment."),
        MAPS(
                "Maps",
                "Colour shows the value; lighter is higher. The ranges are the same in all reports. Black has no value. A "
                        + "colour has no meaning of its own: what counts as low or high stands with the criteria."),
        VALUES("How the values are spread", "Share of the lesion's voxels, in 64 equal steps."),
        COURSE(
                "Signal after contrast",
                "The lesion's mean signal and the reference tissues', against the image before contrast. The lesion's "
                        + "intervals stand in the table of measured values."),
        ALIGNMENT(
                "Does the outline fit the other series?",
                "Squares by turns from the outline's series and the other one, after alignment. Where borders run on from "
                        + "square to square the two lie on each other; where they jump, values of that series want care."),
        OTHERS("The lesion on the other series", "As measured, on the slice with most of the lesion.");

        private final String heading;
        private final String words;

        Heading(String heading, String words) {
            this.heading = heading;
            this.words = words;
        }
    }

    /** @param measured with the outline's own series first */
    static List<Group> of(
            List<SeriesMeasurement> measured,
            LesionImages images,
            LesionImages.Masks masks,
            LesionParts parts,
            List<SteadyValue> lesion,
            Settings settings,
            Workers workers) {
        CaseFigures all = new CaseFigures(measured, images, masks, parts, lesion, settings, workers);
        all.lesion();
        all.parts();
        all.maps();
        all.course();
        all.alignment();
        return all.drawn();
    }

    private List<Group> drawn() {
        List<Figure> figures =
                workers.map(planned.size(), i -> planned.get(i).figure().get());
        List<Group> groups = new ArrayList<>();
        for (Heading heading : Heading.values()) {
            List<Figure> own = new ArrayList<>();
            for (int i = 0; i < figures.size(); i++) if (planned.get(i).heading() == heading) own.add(figures.get(i));
            if (!own.isEmpty()) groups.add(new Group(heading.heading, heading.words, own));
        }
        return List.copyOf(groups);
    }

    private void add(Heading heading, Supplier<Figure> figure) {
        planned.add(new Planned(heading, figure));
    }

    private SeriesMeasurement own() {
        return measured.get(0);
    }

    private static String words(SeriesMeasurement one) {
        return one.role().map(Role::words).orElse("outlined series");
    }

    private void lesion() {
        for (SeriesMeasurement one : measured) {
            boolean isOwn = one == own();
            for (int slice : isOwn ? Pictures.slices(one.mask()) : List.of(Pictures.largest(one.mask())))
                add(
                        isOwn ? Heading.LESION : Heading.OTHERS,
                        () -> Pictures.outline(one.key(), words(one), one.volume(), one.mask(), slice));
        }
        add(
                Heading.VALUES,
                () -> Pictures.histogram(
                        own().key(), words(own()), own().volume(), own().mask(), "value, in the series' own unit"));
    }

    private void parts() {
        Box box = Pictures.view(own().mask());
        Volume slice = own().volume().crop(box);
        Mask outline = own().mask().crop(box);
        Pictures.Parts dead = new Pictures.Parts();
        parts.of(Kind.NON_ENHANCING).ifPresent(part -> dead.nonEnhancing(on(part.mask(), slice)));
        parts.of(Kind.HAEMORRHAGIC).ifPresent(part -> dead.t1Bright(on(part.mask(), slice)));
        parts.of(Kind.CYSTIC).ifPresent(part -> dead.cystic(on(part.mask(), slice)));
        Pictures.Parts signal = new Pictures.Parts();
        parts.t2Bright().ifPresent(mask -> signal.t2Bright(on(mask, slice)));
        parts.of(Kind.RESTRICTED).ifPresent(part -> signal.restricted(on(part.mask(), slice)));
        String words = words(own());
        if (!dead.isEmpty()) add(Heading.PARTS, () -> dead.figure("parts-contrast-and-t1", words, slice, outline));
        if (!signal.isEmpty()) add(Heading.PARTS, () -> signal.figure("parts-t2-and-diffusion", words, slice, outline));
    }

    private Mask on(Mask part, Volume slice) {
        return Resampling.onto(part, slice.grid(), Resampling.Kernel.LINEAR, workers, Progress.NONE);
    }

    private void maps() {
        images.diffusion()
                .ifPresent(d -> masks.diffusion().filter(m -> !m.isEmpty()).ifPresent(mask -> {
                    String cutOff = "apparent diffusion coefficient; the cut-off for restricted is "
                            + settings.lesion().diffusion().restricted();
                    add(Heading.MAPS, () -> Pictures.map("adc", cutOff, d.adc(), mask, 0, HIGHEST_ADC, ADC_AXIS));
                    Mask valued = valued(d.adc(), mask);
                    if (!valued.isEmpty())
                        add(
                                Heading.VALUES,
                                () -> Pictures.histogram(
                                        "adc", "apparent diffusion coefficient", d.adc(), valued, ADC_AXIS));
                }));
        images.contrast()
                .ifPresent(c -> masks.contrast().filter(m -> !m.isEmpty()).ifPresent(mask -> {
                    List<LesionEnhancement.Reading> phases = c.images().phases();
                    int last = phases.size() - 1;
                    double seconds = phases.get(last).phase().timeSeconds();
                    Volume map = c.images().maps().relative().get(last);
                    add(
                            Heading.MAPS,
                            () -> Pictures.map(
                                    "relative-enhancement",
                                    String.format(Locale.ROOT, "relative enhancement at %.0f s", seconds),
                                    map,
                                    mask,
                                    0,
                                    HIGHEST_PERCENT,
                                    "relative enhancement (%)"));
                }));
    }

    private static Mask valued(Volume map, Mask mask) {
        byte[] inside = mask.voxels().clone();
        for (int i = 0; i < inside.length; i++) if (!Float.isFinite(map.voxels()[i])) inside[i] = 0;
        return new Mask(mask.grid(), inside);
    }

    private void course() {
        if (images.contrast().isEmpty()) return;
        LesionEnhancement.Images c = images.contrast().get().images();
        List<Curve> curves = new ArrayList<>();
        lesionCurve(c).ifPresent(curves::add);
        for (Tissue tissue : List.of(Tissue.MYOMETRIUM, Tissue.MUSCLE))
            tissueCurve(c, tissue).ifPresent(curves::add);
        if (curves.isEmpty()) return;
        String names = String.join(", ", curves.stream().map(Curve::name).toList());
        add(Heading.COURSE, () -> Pictures.courses("relative enhancement over time: " + names, curves));
    }

    // The very values of the table.
    private Optional<Curve> lesionCurve(LesionEnhancement.Images c) {
        List<Double> values = lesion.stream()
                .map(v -> v.placed().value().value())
                .filter(v -> v.definition().equals(LesionDefinitions.RELATIVE_ENHANCEMENT))
                .flatMap(v -> v.measurement().number().stream().boxed())
                .toList();
        return values.size() == c.phases().size() ? curve("lesion", c, values) : Optional.empty();
    }

    private static Optional<Curve> tissueCurve(LesionEnhancement.Images c, Tissue tissue) {
        if (!(c.preReferences().get(tissue) instanceof Accepted before) || !(before.median() > 0))
            return Optional.empty();
        List<Double> values = new ArrayList<>();
        for (LesionEnhancement.Reading reading : c.phases()) {
            Reference reference = reading.references().get(tissue);
            if (!(reference instanceof Accepted after)) return Optional.empty();
            values.add(100 * (after.median() / before.median() - 1));
        }
        return curve(tissue.key(), c, values);
    }

    // From the injection on, where nothing has risen yet.
    private static Optional<Curve> curve(String name, LesionEnhancement.Images c, List<Double> values) {
        if (values.stream().anyMatch(v -> !Double.isFinite(v))) return Optional.empty();
        List<Double> times = new ArrayList<>(List.of(0.0));
        List<Double> all = new ArrayList<>(List.of(0.0));
        c.phases().forEach(reading -> times.add(reading.phase().timeSeconds()));
        all.addAll(values);
        return Optional.of(new Curve(name, times, all));
    }

    private void alignment() {
        Box box = Pictures.view(own().mask());
        Volume fixed = own().volume().crop(box);
        Mask outline = own().mask().crop(box);
        for (SeriesMeasurement one : measured) {
            if (one == own() || !isShown(one)) continue;
            PlacedSeries placed = one.placed();
            String words = String.format(
                    Locale.ROOT, "%s and %s; about %.1f mm may remain", words(own()), words(one), placed.residualMm());
            add(Heading.ALIGNMENT, () -> {
                Volume moved = placed.correspondence()
                        .onFixed(
                                AlignmentImage.of(placed.content()),
                                fixed.grid(),
                                Resampling.Kernel.LINEAR,
                                Workers.SINGLE,
                                Progress.NONE);
                return Pictures.checkerboard(one.key(), words, fixed, moved, outline);
            });
        }
    }

    // The map lies where its images do, and the image before contrast where the ones after do.
    private static boolean isShown(SeriesMeasurement one) {
        return one.role()
                .filter(role -> List.of(Role.T1_FAT_SAT, Role.POST_CONTRAST, Role.DWI, Role.T2)
                        .contains(role))
                .isPresent();
    }
}
