// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Sorts the frames of a series into volumes, and each volume's frames by their position along the slice normal, never by
 * file name or instance number.
 *
 * <p>Slices are evenly spaced if each distance is within 1 % or 0.01 mm, whichever is more, of the mean.
 */
final class StackSorting {
    private static final double EVEN_SHARE = 0.01;
    private static final double EVEN_MM = 0.01;
    private static final double SAME_PLACE_MM = 1e-3;

    private StackSorting() {}

    /** The frames of each volume, sorted along the normal; volumes in the order of time, then b-value. */
    static List<List<ImageFrame>> volumes(String label, List<ImageFrame> frames, List<String> decisions)
            throws InputException {
        Map<String, ImageFrame> different = new LinkedHashMap<>();
        for (ImageFrame frame : frames) different.putIfAbsent(frame.sopInstance(), frame);
        if (different.size() < frames.size())
            decisions.add(label + ": " + (frames.size() - different.size()) + " copies of images were passed over");
        List<List<ImageFrame>> volumes = new ArrayList<>();
        for (List<ImageFrame> group : groups(List.copyOf(different.values())))
            volumes.addAll(split(label, group, decisions));
        volumes.sort(Comparator.comparingDouble(
                        (List<ImageFrame> v) -> order(v.get(0).temporalPosition()))
                .thenComparingDouble(v -> order(v.get(0).acquired()))
                .thenComparingDouble(v -> v.get(0).bValue().map(BValue::value).orElse(0.0)));
        return volumes;
    }

    // Attributes part a series only where its images come back to a place: some makers vary the echo time by slice.
    private static List<List<ImageFrame>> groups(List<ImageFrame> frames) {
        if (!hasTwoAtOnePlace(frames)) return List.of(frames);
        return List.copyOf(frames.stream()
                .collect(Collectors.groupingBy(ImageFrame::volumeKey, TreeMap::new, Collectors.toList()))
                .values());
    }

    /** How often images that no attribute tells apart come back to the same place. */
    static int turns(List<ImageFrame> frames) {
        return groups(frames).stream()
                .flatMap(group -> byPlace(group).values().stream())
                .mapToInt(List::size)
                .min()
                .orElse(1);
    }

    private static double order(OptionalDouble value) {
        return value.orElse(0);
    }

    // Repeats that no attribute above tells apart: one volume per turn through all places, in the order of acquisition.
    private static List<List<ImageFrame>> split(String label, List<ImageFrame> group, List<String> decisions)
            throws InputException {
        if (!hasTwoAtOnePlace(group)) return List.of(sorted(group));
        TreeMap<Double, List<ImageFrame>> places = byPlace(group);
        int turns = places.firstEntry().getValue().size();
        List<List<ImageFrame>> volumes = new ArrayList<>();
        for (int turn = 0; turn < turns; turn++) volumes.add(new ArrayList<>());
        for (Map.Entry<Double, List<ImageFrame>> place : places.entrySet()) {
            List<ImageFrame> here = new ArrayList<>(place.getValue());
            if (here.size() != turns)
                throw new InputException(
                        label,
                        Tag.text(Tag.IMAGE_POSITION_PATIENT),
                        "two different images at one place, " + turns + " at " + mm(places.firstKey()) + " and "
                                + here.size() + " at " + mm(place.getKey()),
                        "one per place, or as many everywhere");
            here.sort(Comparator.comparingInt((ImageFrame frame) -> frame.sortingNumber(Tag.ACQUISITION_NUMBER))
                    .thenComparingDouble(frame -> order(frame.acquired()))
                    .thenComparingInt(frame -> frame.sortingNumber(Tag.INSTANCE_NUMBER))
                    .thenComparing(ImageFrame::sopInstance));
            for (int turn = 0; turn < turns; turn++) volumes.get(turn).add(here.get(turn));
        }
        decisions.add(label + ": " + turns + " volumes were told apart by the order of acquisition");
        return volumes;
    }

    private static TreeMap<Double, List<ImageFrame>> byPlace(List<ImageFrame> group) {
        Vector normal = normal(group.get(0));
        TreeMap<Double, List<ImageFrame>> places = new TreeMap<>();
        for (ImageFrame frame : group) {
            double at = frame.along(normal);
            Map.Entry<Double, List<ImageFrame>> near = places.ceilingEntry(at - SAME_PLACE_MM);
            if (near != null && near.getKey() <= at + SAME_PLACE_MM)
                near.getValue().add(frame);
            else places.put(at, new ArrayList<>(List.of(frame)));
        }
        return places;
    }

    private static boolean hasTwoAtOnePlace(List<ImageFrame> group) {
        List<ImageFrame> sorted = sorted(group);
        Vector normal = normal(group.get(0));
        for (int i = 1; i < sorted.size(); i++)
            if (sorted.get(i).along(normal) - sorted.get(i - 1).along(normal) < SAME_PLACE_MM) return true;
        return false;
    }

    private static List<ImageFrame> sorted(List<ImageFrame> group) {
        Vector normal = normal(group.get(0));
        return group.stream()
                .sorted(Comparator.comparingDouble((ImageFrame frame) -> frame.along(normal))
                        .thenComparing(ImageFrame::sopInstance))
                .toList();
    }

    private static Vector normal(ImageFrame frame) {
        return frame.row().cross(frame.column());
    }

    /** Reads the frames of one volume, which are sorted along the normal. */
    static Volume read(
            String label, List<ImageFrame> frames, List<String> decisions, Workers workers, Progress progress)
            throws InputException {
        Grid grid = grid(label, frames, decisions);
        requirePlausible(frames);
        int plane = grid.size().x() * grid.size().y();
        float[] voxels = new float[grid.size().voxels()];
        Map<DicomReader.Header, FrameReader> readers = new HashMap<>();
        workers.forEach(frames.size(), z -> {
            ImageFrame frame = frames.get(z);
            try {
                reader(readers, frame.header()).read(frame.number(), voxels, z * plane, frame.scale());
            } catch (IOException e) {
                throw InputException.unreadable(frame.header().file(), e, "a DICOM image");
            }
            progress.at((z + 1.0) / frames.size());
        });
        return new Volume(grid, voxels);
    }

    // A header may claim more than its file can hold.
    private static void requirePlausible(List<ImageFrame> frames) throws InputException {
        for (ImageFrame frame : frames) {
            try {
                FrameReader.requirePlausible(frame.header());
            } catch (IOException e) {
                throw InputException.unreadable(frame.header().file(), e, "a DICOM image");
            }
        }
    }

    // Enhanced objects hold many frames: they are opened once. Others are let go again, with their code.
    private static FrameReader reader(Map<DicomReader.Header, FrameReader> readers, DicomReader.Header header)
            throws IOException, InputException {
        if (!header.set().has(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE)) return FrameReader.open(header);
        synchronized (readers) {
            FrameReader known = readers.get(header);
            if (known != null) return known;
        }
        FrameReader opened = FrameReader.open(header);
        synchronized (readers) {
            readers.putIfAbsent(header, opened);
        }
        return opened;
    }

    private static Grid grid(String label, List<ImageFrame> frames, List<String> decisions) throws InputException {
        ImageFrame first = frames.get(0);
        DataSet set = first.header().set();
        try {
            return new Grid(
                    new Size(set.needWhole(Tag.COLUMNS, 1, 65535), set.needWhole(Tag.ROWS, 1, 65535), frames.size()),
                    new Spacing(first.columnSpacing(), first.rowSpacing(), spacing(label, frames, decisions)),
                    DirectionCosines.of(first.row(), first.column()),
                    first.position());
        } catch (IllegalArgumentException e) {
            throw InputException.refused(label, "geometry", e);
        }
    }

    private static double spacing(String label, List<ImageFrame> frames, List<String> decisions) throws InputException {
        ImageFrame first = frames.get(0);
        if (frames.size() == 1) {
            decisions.add(label + ": one slice; its thickness "
                    + (first.thickness().isPresent() ? "was taken as stated" : "is not stated and was taken as 1 mm"));
            return first.thickness().orElse(1);
        }
        Vector normal = normal(first);
        double whole = frames.get(frames.size() - 1).along(normal) - first.along(normal);
        double mean = whole / (frames.size() - 1);
        List<Double> steps = new ArrayList<>();
        for (int i = 1; i < frames.size(); i++)
            steps.add(frames.get(i).along(normal) - frames.get(i - 1).along(normal));
        requireEven(label, frames, steps, mean);
        requireStraight(label, frames, normal);
        return mean;
    }

    private static void requireEven(String label, List<ImageFrame> frames, List<Double> steps, double mean)
            throws InputException {
        double tolerance = Math.max(EVEN_MM, EVEN_SHARE * mean);
        if (steps.stream().allMatch(step -> Math.abs(step - mean) <= tolerance)) return;
        double usual = steps.stream().sorted().toList().get((steps.size() - 1) / 2);
        for (int i = 0; i < steps.size(); i++) {
            double ratio = steps.get(i) / usual;
            if (ratio > 1.5 && Math.abs(ratio - Math.rint(ratio)) < 0.05)
                throw new InputException(
                        label,
                        "slices",
                        (int) Math.rint(ratio) - 1 + " missing after slice " + (i + 1) + " of " + frames.size()
                                + ", a gap of " + mm(steps.get(i)),
                        "slices every " + mm(usual));
        }
        throw new InputException(
                label,
                "slices",
                "uneven distances from "
                        + mm(steps.stream().min(Double::compare).orElseThrow()) + " to "
                        + mm(steps.stream().max(Double::compare).orElseThrow()),
                "one distance, within 1 %");
    }

    // Slices that drift sideways are not at right angles to the stack.
    private static void requireStraight(String label, List<ImageFrame> frames, Vector normal) throws InputException {
        Point from = frames.get(0).position();
        for (ImageFrame frame : frames) {
            Vector way = frame.position().minus(from);
            double aside = way.plus(normal.times(-way.dot(normal))).length();
            if (aside > Math.max(EVEN_MM, EVEN_SHARE * way.length()))
                throw new InputException(
                        label, "slices", "slices shifted sideways by " + mm(aside), "a stack at right angles");
        }
    }

    private static String mm(double length) {
        return String.format(Locale.ROOT, "%.3f mm", length);
    }
}
