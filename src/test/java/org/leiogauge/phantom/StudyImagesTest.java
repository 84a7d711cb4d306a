// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class StudyImagesTest {
    private static final ScannerSettings IDEAL = ScannerSettings.ideal();
    private static final Point LESION = LesionSettings.standard().centre();

    private static List<SeriesImages> render(PhantomSettings settings) {
        return StudyImages.render(settings, Anatomy.of(settings, Workers.SINGLE), Workers.SINGLE, Progress.NONE);
    }

    private static Point centroid(Volume volume) {
        double sum = 0;
        Vector weighted = new Vector(0, 0, 0);
        Grid grid = volume.grid();
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++) {
                    double v = volume.at(x, y, z);
                    Point p = grid.point(x, y, z);
                    sum += v;
                    weighted = weighted.plus(new Vector(p.x(), p.y(), p.z()).times(v));
                }
        Vector mean = weighted.times(1 / sum);
        return new Point(mean.x(), mean.y(), mean.z());
    }

    private static double sum(Volume volume) {
        double sum = 0;
        for (float v : volume.voxels()) sum += v;
        return sum;
    }

    private static double[] values(Volume volume, Predicate<Point> where) {
        List<Double> found = new ArrayList<>();
        Grid grid = volume.grid();
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++)
                    if (where.test(grid.point(x, y, z))) found.add((double) volume.at(x, y, z));
        return found.stream().mapToDouble(Double::doubleValue).toArray();
    }

    private static double mean(double[] values) {
        double sum = 0;
        for (double v : values) sum += v;
        return sum / values.length;
    }

    @Test
    void aMovedPatientMovesTheLesionByThat() {
        SeriesSettings still = SmallStudy.series(Kind.T2, 80, 20);
        Vector shift = new Vector(4, -3, 2.5);
        List<SeriesImages> all = render(SmallStudy.lesionAlone(
                SmallStudy.plain(1000, 60, 1),
                IDEAL,
                still,
                SmallStudy.moved(still, shift, SmallStudy.NONE),
                SmallStudy.moved(still, shift, new Vector(0, 0, 10))));
        // Oracle: the centre of an ellipsoid is its centroid; 3 mm voxels of 12 places, about 2000 of them at the edge.
        assertThat(centroid(all.get(0).images().get(0)).distance(LESION)).isLessThan(0.05);
        assertThat(centroid(all.get(1).images().get(0)).distance(LESION.plus(shift)))
                .isLessThan(0.05);
        // Oracle: a turn by 10 degrees about z by hand, x cos − y sin, x sin + y cos.
        double c = Math.cos(Math.toRadians(10));
        double s = Math.sin(Math.toRadians(10));
        Point turned = new Point(c * LESION.x() - s * LESION.y(), s * LESION.x() + c * LESION.y(), LESION.z());
        assertThat(centroid(all.get(2).images().get(0)).distance(turned.plus(shift)))
                .isLessThan(0.05);
    }

    @Test
    void distortionMovesButKeepsTheIntensity() {
        SeriesSettings t2 = SmallStudy.series(Kind.T2, 80, 20);
        SeriesSettings dwi = SmallStudy.series(Kind.DWI, 60, 20);
        ScannerSettings distorting = new ScannerSettings(1.5, 4.78, 0, 150, 3, 40, 1e6);
        TissueProperties tissue = SmallStudy.plain(1000, 90, 1.2);
        SeriesImages still =
                render(SmallStudy.lesionAlone(tissue, IDEAL, t2, dwi)).get(1);
        SeriesImages moved =
                render(SmallStudy.lesionAlone(tissue, distorting, t2, dwi)).get(1);
        for (int i = 0; i < 3; i++) {
            double expected = sum(still.images().get(i)) / still.gain();
            // Oracle: conservation; stored values are rounded to one of 1800 steps.
            assertThat(sum(moved.images().get(i)) / moved.gain() / expected).isCloseTo(1, within(1e-3));
        }
        Point from = centroid(still.images().get(0));
        Point to = centroid(moved.images().get(0));
        Vector phaseEncoding = dwi.grid().direction().y();
        Vector way = to.minus(from);
        assertThat(Math.abs(way.dot(phaseEncoding))).isGreaterThan(0.3);
        // Oracle: it moves along the phase encoding alone; where it is squeezed more it weighs the same.
        assertThat(way.plus(phaseEncoding.times(-way.dot(phaseEncoding))).length())
                .isLessThan(0.02);
    }

    @Test
    void noiseInAirIsRayleigh() {
        PhantomSettings tube = Preset.ICE_WATER
                .settings()
                .with(IDEAL, List.of(SmallStudy.noisy(SmallStudy.series(Kind.T2, 120, 20), 8)));
        SeriesImages images = render(tube).get(0);
        double[] air = values(images.images().get(0), p -> Math.hypot(p.x(), p.y()) > 90);
        double mean = mean(air);
        double variance = 0;
        for (double v : air) variance += (v - mean) * (v - mean) / air.length;
        double sigma = images.noise();
        assertThat(air.length).isGreaterThan(100_000);
        assertThat(sigma).isGreaterThan(20);
        // Oracle: closed form of Rician noise without signal, mean σ √(π/2), variance (2 − π/2) σ², and 1/12 for
        // rounding;
        // 4 standard errors of 10⁵ values.
        assertThat(mean / (sigma * Math.sqrt(Math.PI / 2))).isCloseTo(1, within(0.007));
        assertThat((variance - 1 / 12.0) / ((2 - Math.PI / 2) * sigma * sigma)).isCloseTo(1, within(0.02));
    }

    @Test
    void iceWaterHasItsPublishedAdc() {
        PhantomSettings settings = Preset.ICE_WATER.settings();
        SeriesImages dwi = render(settings).get(3);
        assertThat(dwi.settings().kind()).isEqualTo(Kind.DWI);
        Predicate<Point> water = p -> Math.hypot(p.x(), p.y()) < 45;
        // Oracle: 1.10 · 10⁻³ mm²/s at 0 °C, Holz 2000, doi:10.1039/b005319h; the ratio of means from b 0 and b 1000,
        // and the
        // scanner's own map in 10⁻⁶ mm²/s. At a signal-to-noise ratio above 15 the logarithm's mean is not moved by the
        // noise.
        double first = mean(values(dwi.images().get(0), water));
        double last = mean(values(dwi.images().get(4), water));
        assertThat(Math.log(first / last)).isCloseTo(1.10, within(0.01));
        Volume map = ScannerAdc.of(dwi, settings.scanner(), Workers.SINGLE);
        assertThat(mean(values(map, water))).isCloseTo(1100, within(6.0));
        assertThat(mean(values(map, p -> Math.hypot(p.x(), p.y()) > 90))).isCloseTo(0, within(5.0));
    }

    @Test
    void aLesionEnhancesAsTheEquationsSay() {
        SeriesSettings dynamic = SmallStudy.series(Kind.DYNAMIC, 60, 20);
        // 1 mmol/L from the first moment on
        TissueProperties tissue = new TissueProperties(1514, 60, 50, 0.8, 1, 0, 1, 0, 0.1, 0, 0, 0, 0);
        ScannerSettings scanner = new ScannerSettings(1.5, 4.5, 0, 150, 0, 60, 1e6);
        SeriesImages images = render(
                        SmallStudy.lesionAlone(tissue, scanner, SmallStudy.series(Kind.T2, 60, 20), dynamic))
                .get(1);
        Index c = images.grid().index(LESION);
        double before = images.images().get(0).at((int) c.x(), (int) c.y(), (int) c.z());
        double after = images.images().get(1).at((int) c.x(), (int) c.y(), (int) c.z());
        // Oracle: by hand, spoiled gradient echo TR 4, 12 degrees, T1 1514, r1 4.5: 352 % at 1 mmol/L; whole stored
        // values, 1800
        // and about 400.
        assertThat(100 * (after / before - 1)).isCloseTo(352, within(1.0));
        assertThat(after).isEqualTo(1800);
        assertThat(images.images()).hasSize(3);
    }

    @Test
    void coilBiasMultipliesTheSameInAllSeries() {
        SeriesSettings t2 = SmallStudy.series(Kind.T2, 60, 20);
        TissueProperties tissue = SmallStudy.plain(1000, 90, 1.2);
        ScannerSettings biased = new ScannerSettings(1.5, 4.78, 0.2, 80, 0, 60, 1e6);
        List<SeriesImages> plain =
                render(SmallStudy.lesionAlone(tissue, IDEAL, t2, SmallStudy.series(Kind.T1, 60, 20)));
        List<SeriesImages> found =
                render(SmallStudy.lesionAlone(tissue, biased, t2, SmallStudy.series(Kind.T1, 60, 20)));
        double largest = 0;
        for (int i = 0; i < 60 * 60 * 20; i++) {
            double[] factor = new double[2];
            for (int s = 0; s < 2; s++)
                factor[s] = found.get(s).images().get(0).voxels()[i]
                        / plain.get(s).images().get(0).voxels()[i]
                        * (plain.get(s).gain() / found.get(s).gain());
            if (!(plain.get(0).images().get(0).voxels()[i] > 1000)) continue;
            // Oracle: one receive coil, so one factor; whole stored values above 700.
            assertThat(factor[0] / factor[1]).isCloseTo(1, within(2e-3));
            largest = Math.max(largest, factor[0]);
        }
        assertThat(largest).isGreaterThan(1.05);
    }

    @Test
    void imagesAreTheSameForAnyNumberOfThreads() {
        PhantomSettings settings = Preset.DEMO
                .settings()
                .with(
                        ScannerSettings.standard(),
                        List.of(
                                SmallStudy.noisy(SmallStudy.series(Kind.T2, 40, 7), 20),
                                SmallStudy.noisy(SmallStudy.series(Kind.DWI, 30, 7), 20),
                                SmallStudy.noisy(SmallStudy.series(Kind.DYNAMIC, 30, 7), 20)));
        List<SeriesImages> one = render(settings);
        for (int threads = 2; threads <= 3; threads++) {
            try (Workers workers = Workers.of(threads)) {
                List<SeriesImages> more =
                        StudyImages.render(settings, Anatomy.of(settings, workers), workers, Progress.NONE);
                for (int s = 0; s < one.size(); s++)
                    for (int i = 0; i < one.get(s).images().size(); i++)
                        assertThat(more.get(s).images().get(i).voxels())
                                .containsExactly(one.get(s).images().get(i).voxels());
            }
        }
    }
}
