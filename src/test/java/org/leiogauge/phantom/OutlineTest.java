// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;

class OutlineTest {
    private static final Movement MOVED = new Movement(Rotation.of(new Vector(4, -3, 6)), new Vector(2, -1.5, 1));
    private static final Lesion BALL = PlainScene.lesion(PlainScene.ellipsoid(24, 24, 24));
    private static final Grid GRID = Preset.DEMO.settings().t2().grid();

    private static double area(Contour contour) {
        Vector sum = new Vector(0, 0, 0);
        Point first = contour.points().get(0);
        for (int i = 1; i < contour.points().size() - 1; i++)
            sum = sum.plus(contour.points()
                    .get(i)
                    .minus(first)
                    .cross(contour.points().get(i + 1).minus(first)));
        return sum.length() / 2;
    }

    @Test
    void slicesOfABallAreCircles() {
        Point centre = MOVED.there(BALL.centre());
        double middle = GRID.index(centre).z();
        int cut = 0;
        for (int slice = 0; slice < GRID.size().z(); slice++) {
            double away = Math.abs(slice - middle) * GRID.spacing().z();
            List<Contour> contours = SliceOutline.of(BALL, GRID, MOVED, slice).contours();
            // Oracle: closed form, π (r² - z²); a polygon with sides of 1 mm or 4 degrees loses less than 0.1 %.
            if (away > 23.9) continue;
            assertThat(contours).hasSize(1);
            double expected = Math.PI * (24 * 24 - away * away);
            assertThat(area(contours.get(0)) / expected).isCloseTo(1, within(0.005));
            assertThat(contours.get(0).points()).hasSizeGreaterThanOrEqualTo(90);
            for (Point p : contours.get(0).points()) {
                assertThat(p.distance(centre)).isCloseTo(24, within(0.01));
                assertThat(GRID.index(p).z()).isCloseTo(slice, within(1e-4));
            }
            cut++;
        }
        // Oracle: 48 mm at 5 mm per slice.
        assertThat(cut).isBetween(9, 10);
        assertThat(SliceOutline.of(BALL, GRID, MOVED, 0).contours()).isEmpty();
    }

    @Test
    void piecesAndHolesOfARuggedSectionMakeItsArea() {
        Lesion lesion = PlainScene.lesion(new LesionSettings(
                "L1",
                new Point(0, 0, 8),
                new Vector(20, 20, 20),
                0,
                Tissue.SARCOMA,
                Map.of(5, 0.12),
                Bumps.NONE,
                new Bumps(25, 0.6, 7),
                0,
                List.of()));
        int pieces = 0;
        for (int slice = 6; slice < 18; slice++) {
            SliceOutline outline = SliceOutline.of(
                    lesion, GRID, Movement.of(Preset.DEMO.settings().t2()), slice);
            double sum =
                    outline.lines().stream().mapToDouble(SliceOutline::area).sum();
            // Oracle: brute force, places of the slice's plane on a lattice of 0.2 mm that lie in the lesion.
            double brute = bruteArea(lesion, slice);
            assertThat(sum).as("slice %d", slice).isCloseTo(brute, within(0.01 * brute + 1.5));
            pieces += outline.lines().size();
        }
        assertThat(pieces).as("tongues make sections of several pieces").isGreaterThan(12);
    }

    private static double bruteArea(Lesion lesion, int slice) {
        double[] look = new double[2];
        int inside = 0;
        for (double y = 40; y < 136; y += 0.2 / GRID.spacing().y())
            for (double x = 40; x < 136; x += 0.2 / GRID.spacing().x()) {
                Vector v = GRID.point(x, y, slice).minus(lesion.centre());
                if (lesion.depth(v.x(), v.y(), v.z(), look) >= 0) inside++;
            }
        return inside * 0.04;
    }

    @Test
    void sloppyReaderIsOffByTheJitterOnFewSlices() {
        PhantomSettings settings = Preset.DEMO.settings();
        List<SliceOutline> outlines = new ArrayList<>();
        for (int slice = 0; slice < GRID.size().z(); slice++)
            outlines.add(SliceOutline.of(BALL, GRID, Movement.of(settings.t2()), slice));
        double square = 0;
        int count = 0;
        int slices = 0;
        for (long seed = 0; seed < 12; seed++)
            for (Contour contour : SloppyReader.draw(outlines, settings.withSeed(seed), 0)) {
                slices++;
                assertThat(contour.points()).hasSizeBetween(16, 24);
                double away = (GRID.index(contour.points().get(0)).z()
                                - GRID.index(BALL.centre()).z())
                        * GRID.spacing().z();
                double radius = Math.sqrt(24 * 24 - away * away);
                Point middle = GRID.point(
                        GRID.index(BALL.centre()).x(),
                        GRID.index(BALL.centre()).y(),
                        GRID.index(contour.points().get(0)).z());
                for (Point p : contour.points()) {
                    square += Math.pow(p.distance(middle) - radius, 2);
                    count++;
                }
            }
        // Oracle: the settings' standard deviation, from the circle's closed form; about 500 points. Every 4th of 9 or
        // 10
        // slices: 2 or 3.
        assertThat(Math.sqrt(square / count))
                .isCloseTo(settings.readerJitterMm(), within(0.2 * settings.readerJitterMm()));
        assertThat(slices).isBetween(24, 36);
    }

    @Test
    void masksHoldTheVolumesOfTheCompartments() {
        Lesion lesion = PlainScene.lesion(PlainScene.ellipsoid(
                28,
                24,
                26,
                LesionSettings.Compartment.of(Tissue.CYSTIC, LesionSettings.Place.CORE, 0.2),
                LesionSettings.Compartment.of(Tissue.NECROTIC, LesionSettings.Place.CLOUD, 0.3)));
        TissueMasks masks = TissueMasks.of(lesion, GRID, MOVED, org.leiogauge.task.Workers.SINGLE);
        double volume = 4 / 3.0 * Math.PI * 28 * 24 * 26;
        // Oracle: closed form and the settings; some 8000 voxels, of which each cuts the border in its own way.
        assertThat(masks.lesion().volume() / volume).isCloseTo(1, within(0.01));
        assertThat(masks.of(Tissue.CYSTIC).volume() / volume).isCloseTo(0.2, within(0.01));
        assertThat(masks.of(Tissue.NECROTIC).volume() / volume).isCloseTo(0.3, within(0.02));
        assertThat(masks.of(Tissue.CYSTIC).count()
                        + masks.of(Tissue.NECROTIC).count()
                        + masks.of(Tissue.LEIOMYOMA).count())
                .isEqualTo(masks.lesion().count());
    }
}
