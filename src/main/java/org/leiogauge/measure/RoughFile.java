// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.outline.RoughShape;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;

/**
 * A rough outline in one gesture, as a YAML file: a click with a diameter, or an ellipse on one slice.
 *
 * @param series the role's key, or the UID or file, of the series it is meant on; without, the study's T2-weighted one
 * @param click one of both
 * @param ellipse one of both
 */
record RoughFile(Optional<String> series, Optional<Click> click, Optional<Ellipse> ellipse) {
    private static final double MOST_MM = 1000;

    RoughFile {
        if (click.isPresent() == ellipse.isPresent())
            throw new IllegalArgumentException("a rough outline needs either a click or an ellipse");
    }

    /**
     * A ball.
     *
     * @param at its centre in patient space: three numbers, LPS, in mm
     * @param diameter in mm
     */
    record Click(List<Double> at, double diameter) {
        Click {
            requirePoint(at);
            requireLength("diameter", diameter);
            at = List.copyOf(at);
        }
    }

    /**
     * An ellipse on the slice nearest to its centre; across the slices it reaches as far as the mean of both radii.
     *
     * @param at its centre in patient space: three numbers, LPS, in mm
     * @param radii half its length along the first direction and across it, in mm
     * @param turn of the first direction from the image's rows towards its columns, in degrees
     */
    record Ellipse(List<Double> at, List<Double> radii, Optional<Double> turn) {
        Ellipse {
            requirePoint(at);
            if (radii == null || radii.size() != 2)
                throw new IllegalArgumentException("radii must be two numbers, in mm, got " + radii);
            for (Double radius : radii) requireLength("radii", radius);
            if (!Double.isFinite(turn.orElse(0.0)))
                throw new IllegalArgumentException("turn must be finite, got " + turn.get());
            at = List.copyOf(at);
            radii = List.copyOf(radii);
        }
    }

    private static void requirePoint(List<Double> at) {
        if (at == null || at.size() != 3 || at.stream().anyMatch(v -> v == null || !Double.isFinite(v)))
            throw new IllegalArgumentException("at must be three numbers, LPS in mm, got " + at);
    }

    private static void requireLength(String key, Double mm) {
        if (mm == null || !(mm > 0 && mm <= MOST_MM))
            throw new IllegalArgumentException(key + " must be above 0, up to " + MOST_MM + " mm, got " + mm);
    }

    static boolean isNamedSo(Path file) {
        String name = file.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.endsWith(".yaml") || name.endsWith(".yml");
    }

    /** @throws InputException if the file is not usable, its series is not there, or the shape misses every voxel of it */
    static Outline read(Path file, Study study, Workers workers, Progress progress) throws InputException {
        RoughFile rough = Yaml.PLAIN.read(file, RoughFile.class);
        Series series = rough.series(file, study);
        Series.Content content = series.read(workers, progress);
        Grid grid = content.frames().get(0).volume().grid();
        Point centre = rough.centre();
        if (!grid.contains(centre))
            throw new InputException(file, "at", centre.toString(), "a point within " + series.label());
        Mask mask = rough.mask(grid, centre);
        if (mask.isEmpty())
            throw new InputException(
                    file, rough.words(), "no voxel of " + series.label(), "a shape of one voxel or more");
        return new Outline(
                "lesion",
                series,
                content,
                mask,
                List.of("the rough outline is " + rough.words() + ", given on " + series.label()));
    }

    private Series series(Path file, Study study) throws InputException {
        String wanted = series.orElse(Role.T2.key());
        for (Role role : Role.values())
            if (role.key().equals(wanted) && !study.of(role).isEmpty())
                return study.of(role).get(0);
        return study.series().stream()
                .filter(one -> one.id().equals(wanted))
                .findFirst()
                .orElseThrow(() -> new InputException(
                        file,
                        "series",
                        series.map(text -> text + ", which is not in the study")
                                .orElse("none, and the study has no t2"),
                        "a role that the study has, or the UID or file of one of its series"));
    }

    private Point centre() {
        List<Double> at =
                click.map(Click::at).orElseGet(() -> ellipse.orElseThrow().at());
        return new Point(at.get(0), at.get(1), at.get(2));
    }

    private Mask mask(Grid grid, Point centre) {
        if (click.isPresent()) return RoughShape.ball(grid, centre, click.get().diameter());
        Ellipse e = ellipse.orElseThrow();
        return RoughShape.ellipse(
                grid, centre, e.radii().get(0), e.radii().get(1), e.turn().orElse(0.0));
    }

    private String words() {
        return click.isPresent() ? "a ball about one click" : "an ellipsoid after one ellipse";
    }
}
