// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.align.Correspondence;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * The T2-weighted series and one other of a synthetic study, between which the patient moved by up to 10 mm and 5°.
 *
 * @param t2 without movement
 * @param other 90 s after contrast agent, or at b = 0, where it is distorted as well
 * @param lesion the true one, on the T2-weighted grid
 * @param places of the lesion, in mm
 * @param shown where the other series shows each of them
 */
record MovedStudy(Volume t2, Volume other, Mask lesion, List<Point> places, List<Point> shown) {
    private static final Vector NONE = new Vector(0, 0, 0);
    private static final double LARGEST_SHIFT_MM = 10;
    private static final double LARGEST_TURN_DEGREES = 5;
    private static final int EVERY = 7;

    static MovedStudy of(
            Preset preset, PhantomSettings.Matrix matrix, SeriesSettings.Kind kind, int trial, Workers workers) {
        SplittableRandom random = new Seed(77).draw(trial);
        Vector shift = within(random, LARGEST_SHIFT_MM);
        Vector turn = within(random, LARGEST_TURN_DEGREES);
        PhantomSettings given = preset.settings().withSeed(1000 + trial).withMatrix(matrix);
        SeriesSettings second = given.series().stream()
                .filter(s -> s.kind() == kind)
                .findFirst()
                .orElseThrow();
        PhantomSettings settings =
                given.with(given.scanner(), List.of(moved(given.t2(), NONE, NONE), moved(second, shift, turn)));
        Anatomy anatomy = Anatomy.of(settings, workers);
        Volume t2 = StudyImages.render(settings, anatomy, 0, workers, Progress.NONE)
                .images()
                .get(0);
        List<Volume> images =
                StudyImages.render(settings, anatomy, 1, workers, Progress.NONE).images();
        Volume other = images.get(kind == SeriesSettings.Kind.DYNAMIC ? 1 : 0);
        Mask lesion = lesion(anatomy.lesions().get(0), t2.grid());
        List<Point> places = places(lesion);
        Movement movement = Movement.of(settings.series().get(1));
        Distortion distortion = new Distortion(settings);
        boolean bends = kind == SeriesSettings.Kind.DWI;
        List<Point> shown = places.stream()
                .map(movement::there)
                .map(q -> bends ? displaced(q, distortion, other.grid()) : q)
                .toList();
        return new MovedStudy(t2, other, lesion, places, shown);
    }

    /** Distance between where a correspondence has each place of the lesion and where it is, mean, in mm. */
    double error(Correspondence found) {
        double sum = 0;
        for (int i = 0; i < places.size(); i++)
            sum += found.apply(places.get(i)).distance(shown.get(i));
        return sum / places.size();
    }

    /** With another second series, and where that shows the places. */
    MovedStudy with(Volume other, List<Point> shown) {
        return new MovedStudy(t2, other, lesion, places, shown);
    }

    private static Vector within(SplittableRandom random, double most) {
        return direction(random).times(most * random.nextDouble());
    }

    static Vector direction(SplittableRandom random) {
        while (true) {
            Vector v =
                    new Vector(2 * random.nextDouble() - 1, 2 * random.nextDouble() - 1, 2 * random.nextDouble() - 1);
            if (v.length() <= 1 && v.length() > 0.1) return v.unit();
        }
    }

    private static SeriesSettings moved(SeriesSettings s, Vector shift, Vector turn) {
        return new SeriesSettings(
                s.kind(),
                s.description(),
                s.columns(),
                s.rows(),
                s.slices(),
                s.pixelMm(),
                s.sliceMm(),
                s.tiltDegrees(),
                s.centre(),
                s.trMs(),
                s.teMs(),
                s.flipDegrees(),
                s.fatSuppressed(),
                s.snr(),
                shift,
                turn,
                s.kind() == SeriesSettings.Kind.DWI ? List.of(0.0, 1000.0) : List.of(),
                s.kind() == SeriesSettings.Kind.DYNAMIC ? List.of(90.0) : List.of());
    }

    private static Mask lesion(Lesion lesion, Grid grid) {
        Size n = grid.size();
        byte[] voxels = new byte[n.voxels()];
        double[] look = new double[2];
        for (int z = 0; z < n.z(); z++)
            for (int y = 0; y < n.y(); y++)
                for (int x = 0; x < n.x(); x++) {
                    Vector r = grid.point(x, y, z).minus(lesion.centre());
                    if (lesion.depth(r.x(), r.y(), r.z(), look) >= 0) voxels[grid.offset(x, y, z)] = 1;
                }
        return new Mask(grid, voxels);
    }

    private static List<Point> places(Mask lesion) {
        List<Point> places = new ArrayList<>();
        Size n = lesion.grid().size();
        int seen = 0;
        for (int z = 0; z < n.z(); z++)
            for (int y = 0; y < n.y(); y++)
                for (int x = 0; x < n.x(); x++)
                    if (lesion.has(x, y, z) && seen++ % EVERY == 0)
                        places.add(lesion.grid().point(x, y, z));
        return places;
    }

    // The image shows at s what is at s + d(s) e: from q to the s that shows it.
    private static Point displaced(Point q, Distortion distortion, Grid grid) {
        Point s = q;
        DirectionCosines directions = grid.direction();
        for (int pass = 0; pass < 10; pass++) {
            Grid one = new Grid(
                    new Size(1, 1, 1),
                    grid.spacing(),
                    directions,
                    s.plus(grid.stepY().times(0.5)));
            s = q.plus(directions.y().times(-distortion.edges(one, 0)[0][0]));
        }
        return s;
    }
}
