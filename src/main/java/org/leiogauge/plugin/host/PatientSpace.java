// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import java.util.Arrays;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.DoubleStream;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;

/** Where an image of the host lies in the patient and which study it was opened from, kept with the image as properties. */
final class PatientSpace {
    private static final String GRID = "leiogauge.grid";
    private static final String STUDY = "leiogauge.study";

    private PatientSpace() {}

    static void put(ImagePlus image, Grid grid, Optional<String> study) {
        image.setProp(GRID, words(grid));
        study.ifPresent(folder -> image.setProp(STUDY, folder));
    }

    /** The grid, if one was put and the image is still whole. */
    static Optional<Grid> of(ImagePlus image) {
        return Optional.ofNullable(image.getProp(GRID))
                .flatMap(PatientSpace::grid)
                .filter(grid -> grid.size().x() == image.getWidth()
                        && grid.size().y() == image.getHeight()
                        && grid.size().z() == image.getStackSize());
    }

    static Optional<String> study(ImagePlus image) {
        return Optional.ofNullable(image.getProp(STUDY));
    }

    private static String words(Grid grid) {
        DirectionCosines d = grid.direction();
        DoubleStream all = DoubleStream.of(
                grid.size().x(),
                grid.size().y(),
                grid.size().z(),
                grid.spacing().x(),
                grid.spacing().y(),
                grid.spacing().z(),
                d.x().x(),
                d.x().y(),
                d.x().z(),
                d.y().x(),
                d.y().y(),
                d.y().z(),
                d.z().x(),
                d.z().y(),
                d.z().z(),
                grid.origin().x(),
                grid.origin().y(),
                grid.origin().z());
        return all.mapToObj(Double::toString).collect(Collectors.joining(" "));
    }

    // A property that says something else is no place: an image may come from anywhere.
    private static Optional<Grid> grid(String words) {
        try {
            double[] n = Arrays.stream(words.split(" "))
                    .mapToDouble(Double::parseDouble)
                    .toArray();
            if (n.length != 18) return Optional.empty();
            return Optional.of(new Grid(
                    new Size((int) n[0], (int) n[1], (int) n[2]),
                    new Spacing(n[3], n[4], n[5]),
                    new DirectionCosines(
                            new Vector(n[6], n[7], n[8]),
                            new Vector(n[9], n[10], n[11]),
                            new Vector(n[12], n[13], n[14])),
                    new Point(n[15], n[16], n[17])));
        } catch (IllegalArgumentException e) {
            return Optional.empty();
        }
    }
}
