// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;

/**
 * Regions drawn as contours.
 *
 * <p>Source: PS3.3 A.19, C.8.8.5 structure set, C.8.8.6 ROI contour.
 *
 * @param seriesUids of the series that it says it was drawn on; may be none
 */
public record StructureSet(Path file, String label, List<String> seriesUids, List<Roi> regions) {
    private static final int MOST_POINTS = 1 << 22;

    public StructureSet {
        seriesUids = List.copyOf(seriesUids);
        regions = List.copyOf(regions);
    }

    /**
     * One region.
     *
     * @param frameOfReferenceUid empty where none is stated
     * @param decisions what was passed over in reading it
     */
    public record Roi(
            int number, String name, String frameOfReferenceUid, List<Drawn> contours, List<String> decisions) {
        public Roi {
            contours = List.copyOf(contours);
            decisions = List.copyOf(decisions);
        }
    }

    /**
     * One contour.
     *
     * @param sopInstanceUid of the image that it was drawn on, where it is stated
     */
    public record Drawn(Contour contour, Optional<String> sopInstanceUid) {}

    /** A region on the grid of a series. */
    public record Region(String name, Mask mask, List<String> decisions) {
        public Region {
            decisions = List.copyOf(decisions);
        }
    }

    /** Reads an RTSTRUCT object. */
    public static StructureSet read(Path file) throws InputException {
        try {
            return of(file, DicomReader.read(file));
        } catch (IOException e) {
            throw new InputException(file, "", "a file that cannot be read", "a readable file");
        }
    }

    static StructureSet of(Path file, DataSet set) throws InputException {
        if (!set.has(Tag.STRUCTURE_SET_ROI_SEQUENCE))
            throw new InputException(file, Tag.text(Tag.STRUCTURE_SET_ROI_SEQUENCE), "nothing", "a structure set");
        Map<Integer, DataSet> lines = new HashMap<>();
        for (DataSet item : set.items(Tag.ROI_CONTOUR_SEQUENCE))
            lines.put(item.needWhole(Tag.REFERENCED_ROI_NUMBER, 0, Integer.MAX_VALUE), item);
        List<Roi> rois = new ArrayList<>();
        for (DataSet item : set.items(Tag.STRUCTURE_SET_ROI_SEQUENCE)) {
            int number = item.needWhole(Tag.ROI_NUMBER, 0, Integer.MAX_VALUE);
            rois.add(roi(set, item, number, lines.getOrDefault(number, new DataSet())));
        }
        return new StructureSet(file, set.text(Tag.STRUCTURE_SET_LABEL).orElse(""), seriesUids(set), rois);
    }

    private static List<String> seriesUids(DataSet set) {
        return set.items(Tag.REFERENCED_FRAME_OF_REFERENCE_SEQUENCE).stream()
                .flatMap(f -> f.items(Tag.RT_REFERENCED_STUDY_SEQUENCE).stream())
                .flatMap(s -> s.items(Tag.RT_REFERENCED_SERIES_SEQUENCE).stream())
                .flatMap(s -> s.text(Tag.SERIES_INSTANCE_UID).stream())
                .distinct()
                .toList();
    }

    private static Roi roi(DataSet set, DataSet item, int number, DataSet lines) throws InputException {
        List<Drawn> contours = new ArrayList<>();
        List<String> decisions = new ArrayList<>();
        String name = item.text(Tag.ROI_NAME).orElse("ROI " + number);
        for (DataSet line : lines.items(Tag.CONTOUR_SEQUENCE)) {
            String type = line.text(Tag.CONTOUR_GEOMETRIC_TYPE).orElse("");
            double[] data = line.numbers(Tag.CONTOUR_DATA);
            if (data.length % 3 != 0 || data.length > 3 * MOST_POINTS)
                throw line.unusable(
                        Tag.CONTOUR_DATA,
                        data.length + " numbers",
                        "three for each of at most " + MOST_POINTS + " points");
            if (!type.startsWith("CLOSED") || data.length < 9) {
                decisions.add("a contour of " + name + " passed over: " + type + " of " + data.length / 3
                        + " points is no closed line");
                continue;
            }
            contours.add(new Drawn(
                    contour(line, data),
                    line.item(Tag.CONTOUR_IMAGE_SEQUENCE).flatMap(i -> i.text(Tag.REFERENCED_SOP_INSTANCE_UID))));
        }
        String frame = item.text(Tag.REFERENCED_FRAME_OF_REFERENCE_UID)
                .or(() -> set.item(Tag.REFERENCED_FRAME_OF_REFERENCE_SEQUENCE)
                        .flatMap(f -> f.text(Tag.FRAME_OF_REFERENCE_UID)))
                .orElse("");
        return new Roi(number, name, frame, contours, decisions);
    }

    private static Contour contour(DataSet line, double[] data) throws InputException {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < data.length; i += 3) {
            if (!Double.isFinite(data[i] + data[i + 1] + data[i + 2]))
                throw line.unusable(Tag.CONTOUR_DATA, "a point that is not finite", "finite coordinates in mm");
            points.add(new Point(data[i], data[i + 1], data[i + 2]));
        }
        return new Contour(points);
    }

    /** The region of that name; without a name, the only one. */
    public Roi region(Optional<String> name) throws InputException {
        List<Roi> found = regions.stream()
                .filter(r ->
                        name.map(n -> n.equals(r.name())).orElse(!r.contours().isEmpty()))
                .toList();
        if (found.size() == 1) return found.get(0);
        throw new InputException(
                file,
                Tag.text(Tag.ROI_NAME),
                String.join(", ", regions.stream().map(Roi::name).toList()),
                name.map(n -> "one region named " + n).orElse("one region, or the name of one"));
    }

    /**
     * The region on the grid of a volume.
     *
     * @throws InputException if it is drawn in another frame of reference, or not on this grid
     */
    public Region on(Roi roi, SeriesVolume on) throws InputException {
        List<String> decisions = new ArrayList<>(roi.decisions());
        requireFrame(roi, on, decisions);
        if (roi.contours().isEmpty()) throw new InputException(file, roi.name(), "no closed contour", "one or more");
        Grid grid = on.volume().grid();
        Map<Integer, List<Contour>> byUid = byUid(roi, on, decisions);
        List<Contour> all = roi.contours().stream().map(Drawn::contour).toList();
        if (!byUid.isEmpty()) return new Region(roi.name(), ContourFill.fill(grid, byUid), decisions);
        ContourFill.Filled filled = ContourFill.fill(grid, all);
        requireOnGrid(roi, on, filled, all.size());
        note(filled, roi, decisions);
        return new Region(roi.name(), filled.mask(), decisions);
    }

    // A frame of reference that one of the two does not state cannot differ.
    private void requireFrame(Roi roi, SeriesVolume on, List<String> decisions) throws InputException {
        String drawn = roi.frameOfReferenceUid();
        String shown = on.frameOfReferenceUid();
        if (drawn.isEmpty() || shown.isEmpty())
            decisions.add("the frame of reference is not stated: taken as the same");
        else if (!drawn.equals(shown))
            throw new InputException(
                    file,
                    Tag.text(Tag.REFERENCED_FRAME_OF_REFERENCE_UID) + " of " + roi.name(),
                    drawn,
                    "that of the series, " + shown);
    }

    /** Contours by the slice whose image they name, if all do and lie within a slice of it; else none, and why. */
    private static Map<Integer, List<Contour>> byUid(Roi roi, SeriesVolume on, List<String> decisions) {
        Map<Integer, List<Contour>> found = new TreeMap<>();
        Grid grid = on.volume().grid();
        for (Drawn drawn : roi.contours()) {
            int z = drawn.sopInstanceUid().map(on.sopInstanceUids()::indexOf).orElse(-1);
            boolean isOne = z >= 0
                    && on.sopInstanceUids().lastIndexOf(drawn.sopInstanceUid().get()) == z;
            if (!isOne) {
                decisions.add("contours name no image of the series: placed by position");
                return Map.of();
            }
            for (Point point : drawn.contour().points())
                if (Math.abs(grid.index(point).z() - z) > 1) {
                    decisions.add("contours lie more than a slice from the images that they name: placed by position");
                    return Map.of();
                }
            if (!isInPlane(grid, drawn.contour())) {
                decisions.add("a contour lies outside the image that it names: placed by position");
                return Map.of();
            }
            found.computeIfAbsent(z, k -> new ArrayList<>()).add(drawn.contour());
        }
        decisions.add("contours placed on the images that they name");
        return found;
    }

    private static boolean isInPlane(Grid grid, Contour contour) {
        return contour.points().stream()
                .map(grid::index)
                .anyMatch(i -> i.x() > -0.5
                        && i.x() < grid.size().x() - 0.5
                        && i.y() > -0.5
                        && i.y() < grid.size().y() - 0.5);
    }

    private void requireOnGrid(Roi roi, SeriesVolume on, ContourFill.Filled filled, int contours)
            throws InputException {
        if (!filled.tilted().isEmpty())
            throw new InputException(
                    file,
                    roi.name(),
                    filled.tilted().size() + " contours across the slices",
                    "contours in the planes of the series");
        if (!filled.outside().isEmpty())
            throw new InputException(
                    file,
                    roi.name(),
                    filled.outside().size() + " of " + contours + " contours outside the volume",
                    "contours inside the volume of " + on.volume().grid().size() + " voxels of "
                            + on.volume().grid().spacing());
    }

    private static void note(ContourFill.Filled filled, Roi roi, List<String> decisions) {
        if (filled.offPlaneMm() > 0.01)
            decisions.add(String.format(
                    java.util.Locale.ROOT,
                    "contours of %s up to %.2f mm off their slice's plane: filled on the nearest slice",
                    roi.name(),
                    filled.offPlaneMm()));
        if (!filled.crowded().isEmpty())
            decisions.add(filled.crowded().size() + " contours of " + roi.name()
                    + " passed over: others lie nearer to the same slice");
    }
}
