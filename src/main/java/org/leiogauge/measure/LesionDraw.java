// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionDiffusion.HighestB;
import org.leiogauge.lesion.LesionEnhancement;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.signal.AdcFit.Weighted;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.stability.NoiseDraws;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** The lesion's images and masks as they are, or under the noise and misalignment of one draw. */
final class LesionDraw {
    // A median of n normal values scatters by √(π/2) of their mean's.
    private static final double OF_MEDIAN = Math.sqrt(Math.PI / 2);

    private final LesionSources sources;
    private final Optional<Seed> seed;
    private final Workers workers;
    private long next;

    private LesionDraw(LesionSources sources, Optional<Seed> seed, Workers workers) {
        this.sources = sources;
        this.seed = seed;
        this.workers = workers;
    }

    /** The lesion on its images, each mask on its image's grid. */
    record Drawn(LesionImages images, LesionImages.Masks masks) {}

    /** The images as they are, and the outline on them. */
    static Drawn asIs(LesionSources sources, Mask outline, Workers workers) {
        return new LesionDraw(sources, Optional.empty(), workers).on(outline);
    }

    /** One draw, with an outline that was drawn for it. */
    static Drawn of(LesionSources sources, Mask outline, Seed seed) {
        return new LesionDraw(sources, Optional.of(seed), Workers.SINGLE).on(outline);
    }

    private Volume noisy(Volume image, double sigma) {
        return noisy(image, sigma, Optional.empty());
    }

    private Volume noisy(Volume image, double sigma, Optional<Mask> within) {
        return seed.isEmpty() ? image : NoiseDraws.draw(image, sigma, seed.get(), next++, within);
    }

    // A draw's own noise lies on top of the image's.
    private double total(double noise) {
        return seed.isEmpty() ? noise : noise * Math.sqrt(2);
    }

    private Drawn on(Mask outline) {
        Optional<LesionImages.T2> t2 =
                sources.t2().map(p -> new LesionImages.T2(noisy(p.image(), p.noise()), moved(p.references())));
        Optional<LesionImages.T1> t1 = sources.t1().map(p -> t1(p, t2.map(LesionImages.T2::image)));
        Optional<LesionImages.Contrast> contrast = sources.dynamic().map(this::contrast);
        Optional<LesionSources.Weightings> weightings = sources.weightings().map(this::noisy);
        LesionImages.Masks masks = masks(outline);
        Optional<LesionImages.Diffusion> diffusion =
                weightings.map(w -> diffusion(w, masks.diffusion().orElseThrow()));
        return new Drawn(new LesionImages(t2, t1, contrast, diffusion), masks);
    }

    private LesionImages.T1 t1(LesionSources.Plain plain, Optional<Volume> t2) {
        Volume image = noisy(plain.image(), plain.noise());
        return new LesionImages.T1(
                image,
                sources.isFatSuppressed(),
                t2.map(v -> Resampling.onto(
                        v,
                        image.grid(),
                        Resampling.Kernel.LINEAR,
                        new Resampling.Outside.Value(Float.NaN),
                        workers,
                        Progress.NONE)),
                moved(plain.references()));
    }

    private LesionImages.Contrast contrast(LesionSources.Dynamic d) {
        Volume pre = noisy(d.pre(), d.noise(), Optional.of(d.near()));
        List<LesionEnhancement.Reading> readings = new ArrayList<>();
        List<Phase> phases = new ArrayList<>();
        for (int i = 0; i < d.phases().size(); i++) {
            Phase phase = new Phase(
                    d.phases().get(i).timeSeconds(),
                    noisy(d.phases().get(i).image(), d.noise(), Optional.of(d.near())));
            phases.add(phase);
            readings.add(
                    new LesionEnhancement.Reading(phase, moved(d.references().get(i))));
        }
        double noise = total(d.noise());
        Mask region = seed.isEmpty() ? d.region() : d.near();
        Enhancement.Maps maps =
                Enhancement.measure(pre, phases, region, noise, Enhancement.Settings.standard(), workers);
        return new LesionImages.Contrast(
                new LesionEnhancement.Images(pre, moved(d.preReferences()), readings, maps), noise);
    }

    private LesionSources.Weightings noisy(LesionSources.Weightings w) {
        if (w.map().isPresent()) return w;
        List<Weighted> images = new ArrayList<>();
        for (Weighted one : w.images()) images.add(new Weighted(one.bValue(), noisy(one.image(), w.noise())));
        return new LesionSources.Weightings(images, w.map(), total(w.noise()), moved(w.references()), w.residualMm());
    }

    // A picture shows what lies around the lesion; a draw is measured inside it alone.
    private LesionImages.Diffusion diffusion(LesionSources.Weightings w, Mask lesion) {
        if (w.map().isPresent()) return new LesionImages.Diffusion(w.map().get(), Optional.empty(), Optional.empty());
        AdcFit.Fit fit = AdcFit.fit(w.images(), seed.map(drawn -> lesion), sources.adcSettings(w.noise()), workers);
        Weighted highest = w.images().get(w.images().size() - 1);
        return new LesionImages.Diffusion(
                fit.adc(),
                fit.deviation(),
                Optional.of(new HighestB(highest.bValue(), highest.image(), w.noise(), w.references())));
    }

    // A reference region's median is known as well as its voxels and their scatter tell.
    private Map<Tissue, Reference> moved(Map<Tissue, Reference> references) {
        if (seed.isEmpty()) return references;
        Map<Tissue, Reference> moved = new EnumMap<>(Tissue.class);
        SplittableRandom random = seed.get().draw(next++);
        for (Tissue tissue : Tissue.values()) {
            double n = Gaussian.next(random);
            Reference reference = references.get(tissue);
            if (reference instanceof Accepted a)
                moved.put(
                        tissue,
                        new Accepted(
                                a.median() + n * OF_MEDIAN * a.spread() / Math.sqrt(a.voxels()),
                                a.spread(),
                                a.voxels()));
            else if (reference != null) moved.put(tissue, reference);
        }
        return moved;
    }

    // On the grids of the images, each as far off as its series' residual.
    private LesionImages.Masks masks(Mask outline) {
        return new LesionImages.Masks(
                outline,
                sources.t2().map(p -> on(outline, p.image().grid(), p.residualMm())),
                sources.t1().map(p -> on(outline, p.image().grid(), p.residualMm())),
                sources.dynamic().map(d -> on(outline, d.pre().grid(), d.residualMm())),
                sources.weightings().map(w -> on(outline, w.grid(), w.residualMm())));
    }

    private Mask on(Mask outline, Grid grid, double residualMm) {
        if (outline.grid().coincides(grid, 1e-3)) return new Mask(grid, outline.voxels());
        Grid shifted = grid;
        if (seed.isPresent() && residualMm > 0) {
            SplittableRandom random = seed.get().draw(next++);
            double perAxis = residualMm / Math.sqrt(3);
            Vector off = new Vector(Gaussian.next(random), Gaussian.next(random), Gaussian.next(random));
            shifted = new Grid(
                    grid.size(), grid.spacing(), grid.direction(), grid.origin().plus(off.times(perAxis)));
        }
        Mask on = Resampling.onto(outline, shifted, Resampling.Kernel.LINEAR, workers, Progress.NONE);
        return new Mask(grid, on.voxels());
    }
}
