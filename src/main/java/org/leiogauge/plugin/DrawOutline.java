// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.measure.RoughFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.command.Command;
import org.scijava.command.Previewable;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Draws an outline: a ball about one click, an ellipse on one slice, or areas on slices. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: draw an outline",
        menuPath = "Plugins>Leiogauge>Draw an Outline...",
        headless = true)
public final class DrawOutline extends OutlineSource implements Previewable {
    private static final double MM3_PER_ML = 1000;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Series",
            description = "a role, as t2 or adc, or the UID or file of a series")
    private String role = "t2";

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Centre (LPS, mm)",
            required = false,
            description = "three numbers; blank where areas are given",
            attrs = @Attr(name = DRAWN, value = DRAWN_POINT))
    private String centre;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Diameter (mm)",
            min = "0",
            description = "of the ball, or of the ellipse along its first direction")
    private double diameter;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Across (mm)",
            min = "0",
            description = "diameter of the ellipse across its first direction; 0: a ball")
    private double across;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Turn (degrees)",
            description = "of the ellipse's first direction, from the image's rows towards its columns")
    private double turn;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Areas (slice: x y x y ...)",
            required = false,
            description = "drawn on slices, several between semicolons, as 4: 10 10 30 10 20 25; slices count from 1,"
                    + " x and y are voxels, 0 0 the centre of the first",
            attrs = @Attr(name = DRAWN, value = DRAWN_AREAS))
    private String areas;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Save as",
            style = "save",
            required = false,
            description = ".nii or .nii.gz for NIfTI, else a DICOM segmentation")
    private File out;

    private final Kept<Source, Canvas> canvas = new Kept<>();

    private record Source(Path study, String role) {}

    /** The series that previews draw on. */
    private record Canvas(Series series, Series.Content content) {}

    public DrawOutline() {
        super("drawing");
    }

    @Override
    File out() {
        return out;
    }

    @Override
    Outline outline(Study opened, Workers workers, Progress progress) throws InputException {
        return drawing().on(opened, "outline", workers, progress);
    }

    @Override
    public void preview() {
        foresee(workers -> {
            RoughFile drawing = drawing();
            Canvas on = canvas(drawing, workers);
            Outline outline = drawing.on(on.series(), on.content(), "outline");
            keep(outline);
            return String.format(
                    Locale.ROOT,
                    "%.1f mL on %d slices of %s",
                    outline.mask().volume() / MM3_PER_ML,
                    outline.mask().boundingBox().orElseThrow().size().z(),
                    on.series().label());
        });
    }

    private Canvas canvas(RoughFile drawing, Workers workers) throws InputException {
        return canvas.of(new Source(study(), role), () -> {
            Series drawn = drawing.series("outline", open(workers, Progress.NONE));
            return new Canvas(drawn, drawn.read(workers, Progress.NONE));
        });
    }

    private RoughFile drawing() throws InputException {
        if (text(areas).isPresent() == text(centre).isPresent())
            throw new InputException("outline", "", "neither or both", "a centre with a diameter, or areas");
        Optional<String> on = text(role);
        try {
            if (text(areas).isPresent())
                return new RoughFile(on, Optional.empty(), Optional.empty(), Optional.of(areas()));
            List<Double> at = numbers("Centre", centre);
            return across == 0
                    ? new RoughFile(
                            on, Optional.of(new RoughFile.Click(at, diameter)), Optional.empty(), Optional.empty())
                    : new RoughFile(
                            on,
                            Optional.empty(),
                            Optional.of(
                                    new RoughFile.Ellipse(at, List.of(diameter / 2, across / 2), Optional.of(turn))),
                            Optional.empty());
        } catch (IllegalArgumentException e) {
            throw InputException.refused("outline", "", e);
        }
    }

    private List<RoughFile.Area> areas() throws InputException {
        List<RoughFile.Area> all = new ArrayList<>();
        for (String one : areas.strip().split("\\s*;\\s*")) {
            String[] parts = one.split(":", 2);
            List<Double> slice = numbers("Areas", parts[0]);
            List<Double> line = parts.length == 2 ? numbers("Areas", parts[1]) : List.of();
            if (slice.size() != 1 || slice.get(0) != Math.rint(slice.get(0)) || line.size() % 2 != 0)
                throw new InputException("outline", "Areas", one, "a slice, a colon, and pairs of x and y");
            List<List<Double>> points = new ArrayList<>();
            for (int i = 0; i < line.size(); i += 2) points.add(line.subList(i, i + 2));
            all.add(new RoughFile.Area(slice.get(0).intValue(), points));
        }
        return all;
    }

    private static List<Double> numbers(String field, String text) throws InputException {
        List<Double> numbers = new ArrayList<>();
        for (String part : Arrays.asList(text.strip().split("\\s*,\\s*|\\s+")))
            try {
                numbers.add(Double.parseDouble(part));
            } catch (NumberFormatException e) {
                throw new InputException("outline", field, part, "numbers");
            }
        return numbers;
    }
}
