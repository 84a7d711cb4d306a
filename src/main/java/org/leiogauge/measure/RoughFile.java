// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
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
 * A rough outline in a few gestures, as a YAML file: a click with a diameter, an ellipse on one slice, or areas drawn on slices.
 *
 * @param series the role's key, or the UID or file, of the series it is meant on; without, the study's T2-weighted one
 * @param click one of the three
 * @param ellipse one of the three
 * @param areas one of the three; areas of one slice that lie inside others cut holes
 */
public record RoughFile(
        Optional<String> series, Optional<Click> click, Optional<Ellipse> ellipse, Optional<List<Area>> areas) {
    private static final double MOST_MM = 1000;

    public RoughFile {
        if (Stream.of(click, ellipse, areas).filter(Optional::isPresent).count() != 1)
            throw new IllegalArgumentException("a rough outline needs either a click or an ellipse or areas");
        if (areas.isPresent() && areas.get().isEmpty())
            throw new IllegalArgumentException("areas must be one or more, got none");
        areas = areas.map(List::copyOf);
    }

    /**
     * A ball.
     *
     * @param at its centre in patient space: three numbers, LPS, in mm
     * @param diameter in mm
     */
    public record Click(List<Double> at, double diameter) {
        public Click {
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
    public record Ellipse(List<Double> at, List<Double> radii, Optional<Double> turn) {
        public Ellipse {
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

    /**
     * What a closed line encloses on one slice.
     *
     * @param slice counted from 1
     * @param points three or more, each x and y in voxels; 0, 0 is the centre of the slice's first voxel
     */
    public record Area(int slice, List<List<Double>> points) {
        public Area {
            if (points == null || points.size() < 3)
                throw new IllegalArgumentException("points must be three or more, got " + points);
            for (List<Double> point : points)
                if (point == null
                        || point.size() != 2
                        || point.stream().anyMatch(v -> v == null || !Double.isFinite(v)))
                    throw new IllegalArgumentException("a point must be two numbers, in voxels, got " + point);
            points = points.stream().map(List::copyOf).toList();
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
        return Yaml.PLAIN.read(file, RoughFile.class).on(study, file, workers, progress);
    }

    /**
     * The outline on its series.
     *
     * @param source where it comes from, for messages
     * @throws InputException if its series is not there, or the shape misses every voxel of it
     */
    public Outline on(Study study, Object source, Workers workers, Progress progress) throws InputException {
        Series drawn = series(source, study);
        return on(drawn, drawn.read(workers, progress), source);
    }

    /** The outline on its series, whose voxels have been read. */
    public Outline on(Series drawn, Series.Content content, Object source) throws InputException {
        Grid grid = content.frames().get(0).volume().grid();
        Mask mask = areas.isPresent() ? filled(source, grid) : shaped(source, grid, drawn);
        if (mask.isEmpty())
            throw new InputException(source, words(), "no voxel of " + drawn.label(), "a shape of one voxel or more");
        return new Outline(
                "lesion",
                drawn,
                content,
                mask,
                List.of("the rough outline is " + words() + ", given on " + drawn.label()));
    }

    /** The series that it is meant on. */
    public Series series(Object source, Study study) throws InputException {
        String wanted = series.orElse(Role.T2.key());
        for (Role role : Role.values())
            if (role.key().equals(wanted) && !study.of(role).isEmpty())
                return study.of(role).get(0);
        return study.series().stream()
                .filter(one -> one.id().equals(wanted))
                .findFirst()
                .orElseThrow(() -> new InputException(
                        source,
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

    private Mask shaped(Object source, Grid grid, Series drawn) throws InputException {
        Point centre = centre();
        if (!grid.contains(centre))
            throw new InputException(source, "at", centre.toString(), "a point within " + drawn.label());
        if (click.isPresent()) return RoughShape.ball(grid, centre, click.get().diameter());
        Ellipse e = ellipse.orElseThrow();
        return RoughShape.ellipse(
                grid, centre, e.radii().get(0), e.radii().get(1), e.turn().orElse(0.0));
    }

    private Mask filled(Object source, Grid grid) throws InputException {
        List<Contour> lines = new ArrayList<>();
        for (Area area : areas.orElseThrow()) {
            if (area.slice() < 1 || area.slice() > grid.size().z())
                throw new InputException(
                        source,
                        "areas",
                        "slice " + area.slice(),
                        "1 to " + grid.size().z());
            lines.add(new Contour(area.points().stream()
                    .map(point -> grid.point(point.get(0), point.get(1), area.slice() - 1))
                    .toList()));
        }
        return ContourFill.fill(source, lines, grid).mask();
    }

    private String words() {
        if (areas.isPresent()) return "areas drawn on slices";
        return click.isPresent() ? "a ball about one click" : "an ellipsoid after one ellipse";
    }
}
