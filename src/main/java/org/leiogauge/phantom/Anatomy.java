// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** The scene: solids in painting order, and lesions over them. */
final class Anatomy {
    private static final double ENDLESS = 2000;

    private final List<Solid> solids;
    private final List<Lesion> lesions;

    private Anatomy(List<Solid> solids, List<Lesion> lesions) {
        this.solids = List.copyOf(solids);
        this.lesions = List.copyOf(lesions);
    }

    static Anatomy of(PhantomSettings settings, Workers workers) {
        Seed seed = new Seed(settings.seed());
        List<Lesion> lesions = new ArrayList<>();
        for (int i = 0; i < settings.lesions().size(); i++)
            lesions.add(new Lesion(settings.lesions().get(i), seed, 1000 + 100L * i, workers));
        List<Solid> solids = settings.scene() == PhantomSettings.Scene.TUBE ? tube() : pelvis(seed.draw(1));
        return new Anatomy(solids, lesions);
    }

    private static List<Solid> tube() {
        return List.of(
                new Solid(Tissue.MUSCLE, 0, 0, 0, 80, 80, ENDLESS, 0),
                new Solid(Tissue.ICE_WATER, 0, 0, 0, 60, 60, ENDLESS, 0));
    }

    private static List<Solid> pelvis(SplittableRandom random) {
        List<Solid> s = new ArrayList<>();
        s.add(new Solid(Tissue.FAT, 0, 8, 0, 176, 118, ENDLESS, 0));
        s.add(new Solid(Tissue.MUSCLE, 0, 0, 0, 148, 86, ENDLESS, 0));
        s.add(new Solid(Tissue.FAT, 0, 0, 0, 138, 77, ENDLESS, 0));
        for (int side = -1; side <= 1; side += 2) walls(s, side);
        bone(s, 0, 84, 22, 46, 19, 70, -20);
        bowel(s, random);
        s.add(new Solid(Tissue.BOWEL_WALL, 4, 50, -10, 18, 15, 75, 8));
        s.add(new Solid(Tissue.BOWEL_CONTENT, 4, 50, -10, 14, 11, 72, 8));
        s.add(new Solid(Tissue.AIR, 5, 44, -6, 8, 4, 34, 8));
        s.add(new Solid(Tissue.BOWEL_WALL, 0, -46, -42, 41, 25, 30, 0));
        s.add(new Solid(Tissue.URINE, 0, -46, -42, 38, 22, 27, 0));
        s.add(new Solid(Tissue.CERVIX, 0, 16, -42, 17, 15, 26, -15));
        s.add(new Solid(Tissue.MYOMETRIUM, -6, 0, 12, 48, 35, 48, 12));
        s.add(new Solid(Tissue.JUNCTIONAL_ZONE, -16, 4, 8, 17, 9.5, 31, 12));
        s.add(new Solid(Tissue.ENDOMETRIUM, -16, 4, 9, 12, 5, 25, 12));
        return s;
    }

    private static void walls(List<Solid> s, int side) {
        s.add(new Solid(Tissue.MUSCLE, side * 72, 84, -10, 56, 25, 95, 0));
        bone(s, side * 116, 12, 0, 17, 48, 80, 10);
        s.add(new Solid(Tissue.MUSCLE, side * 96, 12, -25, 11, 42, 60, 5));
        s.add(new Solid(Tissue.MUSCLE, side * 80, -44, 10, 21, 18, 90, -8));
        // iliac vessels, dark by flow
        s.add(new Solid(Tissue.CORTICAL_BONE, side * 62, -28, 10, 5, 5, 90, -8));
        s.add(new Solid(Tissue.CORTICAL_BONE, side * 68, -18, 10, 6, 6, 90, -8));
    }

    private static void bone(List<Solid> s, double x, double y, double z, double a, double b, double c, double tilt) {
        s.add(new Solid(Tissue.CORTICAL_BONE, x, y, z, a, b, c, tilt));
        s.add(new Solid(Tissue.MARROW, x, y, z, a - 3, b - 3, c - 3, tilt));
    }

    private static void bowel(List<Solid> s, SplittableRandom random) {
        for (int i = 0; i < 9; i++) {
            double x = -64 + 128 * random.nextDouble();
            double y = -58 + 22 * random.nextDouble();
            double z = 38 + 40 * random.nextDouble();
            double a = 17 + 12 * random.nextDouble();
            double b = 10 + 5 * random.nextDouble();
            double tilt = 50 * random.nextDouble() - 25;
            s.add(new Solid(Tissue.BOWEL_WALL, x, y, z, a, b, b + 2, tilt));
            s.add(new Solid(Tissue.BOWEL_CONTENT, x, y, z, a - 2.5, b - 2.5, b - 0.5, tilt));
            if (i % 3 == 0) s.add(new Solid(Tissue.AIR, x, y - b / 3, z, a / 2, b / 3, b / 2, tilt));
        }
    }

    List<Lesion> lesions() {
        return lesions;
    }

    /** Paints a row of places start + i · step without lesions, as ordinals of tissues. */
    void paint(double[] start, Vector step, byte[] row, int count) {
        for (int i = 0; i < count; i++) row[i] = (byte) Tissue.AIR.ordinal();
        for (Solid solid : solids) solid.paint(start, step, row, count);
    }

    /** Ordinal of the tissue at a place, without lesions. */
    byte tissueAt(double x, double y, double z) {
        for (int i = solids.size() - 1; i >= 0; i--)
            if (solids.get(i).has(x, y, z)) return solids.get(i).tissue();
        return (byte) Tissue.AIR.ordinal();
    }

    /** Whether a lesion so close pushes the tissue aside and brings its own cover of myometrium. */
    static boolean givesWay(byte tissue) {
        return tissue < Tissue.MYOMETRIUM.ordinal() || tissue == Tissue.CERVIX.ordinal();
    }

    /**
     * A ball of one tissue, clear of lesions: the one nearest to the wish, on a lattice of 2 mm; none if there is no room.
     *
     * @param marginMm how far the tissue must reach beyond the ball
     */
    Optional<Point> clearBall(Tissue tissue, Point wish, double radiusMm, double marginMm) {
        Point best = null;
        for (int k = -30; k <= 30; k++)
            for (int j = -30; j <= 30; j++)
                for (int i = -30; i <= 30; i++) {
                    Point p = wish.plus(new Vector(2 * i, 2 * j, 2 * k));
                    if (best != null && p.distance(wish) >= best.distance(wish)) continue;
                    if (isClear(tissue, p, radiusMm + marginMm)) best = p;
                }
        return Optional.ofNullable(best);
    }

    private boolean isClear(Tissue tissue, Point p, double radius) {
        if (tissueAt(p.x(), p.y(), p.z()) != tissue.ordinal()) return false;
        double[] look = new double[2];
        for (double[] u : Directions.spread(60)) {
            double x = p.x() + radius * u[0];
            double y = p.y() + radius * u[1];
            double z = p.z() + radius * u[2];
            if (tissueAt(x, y, z) != tissue.ordinal()) return false;
            for (Lesion lesion : lesions) {
                Point c = lesion.centre();
                double depth = lesion.depth(x - c.x(), y - c.y(), z - c.z(), look);
                if (depth > -2 - 2 * lesion.settings().blurMm()) return false;
            }
        }
        return true;
    }
}
