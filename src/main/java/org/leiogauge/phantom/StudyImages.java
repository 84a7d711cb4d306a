// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.RandomField;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * The images of a study, from its settings and anatomy.
 *
 * <p>Stored value = round(gain · |S · exp(coilBias · field) + noise|), from 0 to 4095. S is the sum of the tissues' signals,
 * each times its share of the voxel; the noise is complex and normal, its standard deviation myometrium's signal in the
 * series' first image over the signal-to-noise ratio; the gain takes the series' largest signal to 1800. Cost: one pass
 * over the places of {@link Mixture}, for all images of a series at once.
 */
final class StudyImages {
    /** Stored value of the largest signal. */
    static final double BRIGHTEST = 1800;

    static final double LARGEST_STORED = 4095;

    static final int WAVES = 64;
    static final long COIL_DRAW = 5;
    private static final long NOISE_DRAWS = 1_000_000;
    private static final int PLACES_DOWN = 2;
    private static final Vector[] NO_BOX = {};

    private final PhantomSettings settings;
    private final Anatomy anatomy;
    private final Textures textures;
    private final RandomField coil;
    private final Distortion distortion;
    private final int number;
    private final SeriesSettings series;
    private final Grid grid;
    private final Grid drawn;
    private final SignalTables tables;

    private StudyImages(PhantomSettings settings, Anatomy anatomy, int number) {
        this.settings = settings;
        this.anatomy = anatomy;
        this.number = number;
        textures = Textures.of(settings);
        coil = new RandomField(
                new Seed(settings.seed()), COIL_DRAW, WAVES, settings.scanner().coilBiasMm());
        distortion = new Distortion(settings);
        series = settings.series().get(number);
        grid = series.grid();
        drawn = isDistorted() ? Distortion.finer(grid) : grid;
        tables = new SignalTables(settings, series);
    }

    /** All series, in the order of the settings. */
    static List<SeriesImages> render(PhantomSettings settings, Anatomy anatomy, Workers workers, Progress progress) {
        List<SeriesImages> all = new ArrayList<>();
        int count = settings.series().size();
        for (int i = 0; i < count; i++)
            all.add(render(settings, anatomy, i, workers, progress.part((double) i / count, (i + 1.0) / count)));
        return all;
    }

    /** One series, counted from 0 in the order of the settings. */
    static SeriesImages render(
            PhantomSettings settings, Anatomy anatomy, int number, Workers workers, Progress progress) {
        return new StudyImages(settings, anatomy, number).render(workers, progress);
    }

    private boolean isDistorted() {
        return series.kind() == SeriesSettings.Kind.DWI && settings.scanner().distortionMm() > 0;
    }

    private SeriesImages render(Workers workers, Progress progress) {
        float[][] images = new float[tables.images()][grid.size().voxels()];
        int slices = grid.size().z();
        AtomicInteger done = new AtomicInteger();
        double brightest = 0;
        for (double slice : workers.map(slices, z -> {
            double largest = signal(z, images);
            progress.at(0.8 * done.incrementAndGet() / slices);
            return largest;
        })) brightest = Math.max(brightest, slice);
        double gain = brightest > 0 ? BRIGHTEST / brightest : 1;
        double sigma =
                gain * TissueSignal.of(settings.of(Tissue.MYOMETRIUM), series, settings.scanner(), 0) / series.snr();
        workers.forEach(images.length * slices, piece -> store(images, piece / slices, piece % slices, gain, sigma));
        progress.at(1);
        List<Volume> volumes = new ArrayList<>();
        for (float[] image : images) volumes.add(new Volume(grid, image));
        return new SeriesImages(series, grid, volumes, gain, sigma);
    }

    // The signal of one slice in all images; returns the largest.
    private double signal(int z, float[][] images) {
        float[][] plane =
                new float[images.length][drawn.size().x() * drawn.size().y()];
        draw(z, plane);
        int pixels = grid.size().x() * grid.size().y();
        double[][] edges = isDistorted() ? distortion.edges(grid, z) : new double[0][];
        for (int i = 0; i < images.length; i++)
            if (isDistorted()) Distortion.apply(grid, edges, plane[i], images[i], z * pixels);
            else System.arraycopy(plane[i], 0, images[i], z * pixels, pixels);
        return throughCoil(z, images);
    }

    private void draw(int z, float[][] plane) {
        int columns = drawn.size().x();
        Mixture mixture = new Mixture(anatomy, drawn, Movement.of(series), isDistorted() ? 1 : PLACES_DOWN);
        double[] density = new double[columns];
        double[] other = new double[columns];
        for (int y = 0; y < drawn.size().y(); y++) {
            mixture.look(y, z);
            if (tables.needsDensity(mixture)) mixture.mean(textures.signal(), y, z, density);
            if (tables.needsOther(mixture))
                mixture.mean(
                        series.kind() == SeriesSettings.Kind.DWI ? textures.adc() : textures.enhancement(),
                        y,
                        z,
                        other);
            for (int t = 0; t < Tissue.count(); t++)
                if (mixture.has(t))
                    for (int i = 0; i < plane.length; i++)
                        tables.add(i, t, mixture.shares(t), density, other, plane[i], y * columns);
        }
    }

    private double throughCoil(int z, float[][] images) {
        int columns = grid.size().x();
        double[] field = new double[columns];
        double largest = 0;
        for (int y = 0; y < grid.size().y(); y++) {
            Point p = grid.point(0, y, z);
            coil.row(new double[] {p.x(), p.y(), p.z()}, grid.stepX(), NO_BOX, field, columns);
            int at = grid.offset(0, y, z);
            for (int x = 0; x < columns; x++) {
                double sensitivity = StrictMath.exp(settings.scanner().coilBias() * field[x]);
                for (float[] image : images) {
                    image[at + x] *= (float) sensitivity;
                    largest = Math.max(largest, image[at + x]);
                }
            }
        }
        return largest;
    }

    private void store(float[][] images, int image, int z, double gain, double sigma) {
        SplittableRandom random = new Seed(settings.seed()).draw(NOISE_DRAWS + (number * 64L + image) * 1024 + z);
        float[] voxels = images[image];
        int from = grid.offset(0, 0, z);
        int to = from + grid.size().x() * grid.size().y();
        for (int i = from; i < to; i++)
            voxels[i] = (float) Math.min(LARGEST_STORED, Math.rint(Gaussian.rician(random, gain * voxels[i], sigma)));
    }
}
