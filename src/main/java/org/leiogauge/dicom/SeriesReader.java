// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Reads the voxels of a series into volumes.
 *
 * <p>A series that holds several volumes is parted by image type, echo time, b-value and temporal position; where these do
 * not tell slices at one place apart, by time of acquisition and instance number. Slices are sorted by where they lie, never
 * by file name. Refused, with the series and what is wrong: several orientations or sizes, missing slices, uneven steps,
 * tilted stacks.
 */
public final class SeriesReader {
    private SeriesReader() {}

    /** What tells the volumes of a series apart. */
    private record Part(String imageType, double echoTime, double bValue, int temporalPosition)
            implements Comparable<Part> {
        private static final Comparator<Part> ORDER = Comparator.comparing(Part::imageType)
                .thenComparing(Part::echoTime)
                .thenComparing(Part::temporalPosition)
                .thenComparing(Part::bValue);

        static Part of(Slice slice) {
            return new Part(
                    slice.imageType(),
                    slice.echoTime().orElse(-1),
                    slice.bValue().map(BValue::value).orElse(-1.0),
                    slice.temporalPosition().orElse(-1));
        }

        @Override
        public int compareTo(Part other) {
            return ORDER.compare(this, other);
        }
    }

    /**
     * The volumes of a series, one or more, in the order of image type, echo time, temporal position and b-value.
     *
     * @throws InputException if its slices make no volume, or a file cannot be read
     */
    public static List<SeriesVolume> read(ImageSeries series, Workers workers, Progress progress)
            throws InputException {
        List<String> decisions = new ArrayList<>();
        List<Slice> slices = withoutCopies(series.slices(), decisions);
        requireOneShape(series, slices);
        List<Stack> stacks = new ArrayList<>();
        for (List<Slice> part : parts(slices).values())
            for (List<Slice> one : byTime(series, part, decisions)) stacks.add(Stack.of(series, one));
        if (stacks.size() > 1) decisions.add("the series holds " + stacks.size() + " volumes");
        noteOrigins(slices, decisions);
        List<float[]> voxels = decode(stacks, workers, progress);
        return volumes(series, stacks, voxels, decisions);
    }

    /** What {@link #read} would refuse the series for, found from its headers alone; nothing if it seems sound. */
    public static java.util.Optional<String> problem(ImageSeries series) {
        try {
            List<String> decisions = new ArrayList<>();
            List<Slice> slices = withoutCopies(series.slices(), decisions);
            requireOneShape(series, slices);
            for (List<Slice> part : parts(slices).values())
                for (List<Slice> one : byTime(series, part, decisions)) Stack.of(series, one);
            return java.util.Optional.empty();
        } catch (InputException e) {
            return java.util.Optional.of(e.getMessage());
        }
    }

    /** Number of time points, where no attribute tells: how often images of one kind come back to the same place. */
    static int turns(List<Slice> slices) {
        return parts(slices).values().stream()
                .flatMap(part -> byPlace(part).values().stream())
                .mapToInt(List::size)
                .min()
                .orElse(1);
    }

    // The same object twice: a file that was copied.
    private static List<Slice> withoutCopies(List<Slice> slices, List<String> decisions) {
        Map<String, Slice> once = new LinkedHashMap<>();
        for (Slice slice : slices) once.putIfAbsent(slice.instanceUid() + " " + slice.frame(), slice);
        int copies = slices.size() - once.size();
        if (copies > 0) decisions.add(copies + " images are there twice under the same UID: each used once");
        return List.copyOf(once.values());
    }

    private static void requireOneShape(ImageSeries series, List<Slice> slices) throws InputException {
        Slice first = slices.get(0);
        if (first.imageType().contains("MOSAIC"))
            throw new InputException(
                    series.firstFile(), series.label(), "images that are mosaics of slices", "one slice per image");
        int directions = 0;
        List<Vector> seen = new ArrayList<>();
        for (Slice slice : slices) {
            if (slice.rows() != first.rows()
                    || slice.columns() != first.columns()
                    || differ(slice.spacingX(), first.spacingX())
                    || differ(slice.spacingY(), first.spacingY()))
                throw new InputException(
                        slice.header().file(),
                        series.label(),
                        "images of " + words(first) + " and of " + words(slice),
                        "one size of image and pixel");
            if (seen.stream().noneMatch(v -> v.dot(slice.normal()) > 1 - 1e-4)) {
                seen.add(slice.normal());
                directions++;
            } else if (directions == 1 && slice.row().dot(first.row()) < 1 - 1e-4)
                throw new InputException(
                        slice.header().file(), series.label(), "images turned in their plane", "one orientation");
        }
        if (directions > 1)
            throw new InputException(
                    series.firstFile(),
                    series.label(),
                    "images in " + directions + " orientations"
                            + (series.imageType().contains("LOCALIZER") ? " (a localiser)" : ""),
                    "one stack of parallel slices");
    }

    private static boolean differ(double a, double b) {
        return Math.abs(a - b) > 1e-4 * Math.abs(b);
    }

    private static String words(Slice slice) {
        return slice.columns() + " × " + slice.rows() + " pixels of " + slice.spacingX() + " × " + slice.spacingY()
                + " mm";
    }

    // Echo times and image types part a series only where they repeat a place: some makers let them vary by slice.
    private static Map<Part, List<Slice>> parts(List<Slice> slices) {
        Map<Part, List<Slice>> parts = new TreeMap<>();
        if (byPlace(slices).values().stream().allMatch(p -> p.size() == 1)) {
            parts.put(Part.of(slices.get(0)), slices);
            return parts;
        }
        for (Slice slice : slices)
            parts.computeIfAbsent(Part.of(slice), p -> new ArrayList<>()).add(slice);
        return parts;
    }

    private static TreeMap<Double, List<Slice>> byPlace(List<Slice> slices) {
        Vector normal = slices.get(0).normal();
        TreeMap<Double, List<Slice>> places = new TreeMap<>();
        for (Slice slice : slices) {
            double at = slice.along(normal);
            Map.Entry<Double, List<Slice>> near = places.ceilingEntry(at - Stack.SAME_PLACE_MM);
            if (near != null && near.getKey() <= at + Stack.SAME_PLACE_MM)
                near.getValue().add(slice);
            else places.put(at, new ArrayList<>(List.of(slice)));
        }
        return places;
    }

    /** Slices that attributes do not tell apart: one volume per turn through all places. */
    private static List<List<Slice>> byTime(ImageSeries series, List<Slice> slices, List<String> decisions)
            throws InputException {
        TreeMap<Double, List<Slice>> places = byPlace(slices);
        int turns = places.firstEntry().getValue().size();
        for (Map.Entry<Double, List<Slice>> place : places.entrySet())
            if (place.getValue().size() != turns)
                throw new InputException(
                        series.firstFile(),
                        series.label(),
                        String.format(
                                java.util.Locale.ROOT,
                                "%d images at %.3f mm and %d at %.3f mm that nothing tells apart",
                                turns,
                                places.firstKey(),
                                place.getValue().size(),
                                place.getKey()),
                        "the same number everywhere");
        if (turns > 1)
            decisions.add(turns + " images at each place that no attribute tells apart:"
                    + " parted by time of acquisition, then instance number");
        List<List<Slice>> volumes = new ArrayList<>();
        for (int turn = 0; turn < turns; turn++) volumes.add(new ArrayList<>());
        Comparator<Slice> order = Comparator.comparingDouble(
                        (Slice s) -> s.offset().orElse(0))
                .thenComparingDouble(s -> s.acquired().orElse(0))
                .thenComparingInt(Slice::instanceNumber)
                .thenComparingInt(Slice::frame)
                .thenComparing(Slice::instanceUid);
        for (List<Slice> place : places.values()) {
            place.sort(order);
            for (int turn = 0; turn < turns; turn++) volumes.get(turn).add(place.get(turn));
        }
        return volumes;
    }

    private static void noteOrigins(List<Slice> slices, List<String> decisions) {
        Set<String> places = new LinkedHashSet<>();
        Set<String> scales = new LinkedHashSet<>();
        for (Slice slice : slices) {
            slice.bValue().ifPresent(b -> places.add(b.place()));
            if (!slice.scale().equals(Scale.NONE)) scales.add(slice.scaleSource());
        }
        if (!places.isEmpty()) decisions.add("b-value from " + String.join(", ", places));
        if (!scales.isEmpty()) decisions.add("values scaled by " + String.join(", ", scales));
    }

    private record Job(Stack stack, int z, float[] target) {}

    /** All slices at once: one frame reader per object, one piece of work per slice. */
    private static List<float[]> decode(List<Stack> stacks, Workers workers, Progress progress) throws InputException {
        List<float[]> voxels = new ArrayList<>();
        List<Job> jobs = new ArrayList<>();
        for (Stack stack : stacks) {
            requirePlausible(stack);
            float[] target = new float[stack.grid().size().voxels()];
            voxels.add(target);
            for (int z = 0; z < stack.slices().size(); z++) jobs.add(new Job(stack, z, target));
        }
        Map<DicomReader.Header, FrameReader> shared = openShared(jobs);
        AtomicInteger done = new AtomicInteger();
        workers.forEach(jobs.size(), i -> {
            decode(jobs.get(i), shared);
            progress.at(done.incrementAndGet() / (double) jobs.size());
        });
        return voxels;
    }

    private static void requirePlausible(Stack stack) throws InputException {
        for (Slice slice : stack.slices()) {
            try {
                FrameReader.requirePlausible(slice.header());
            } catch (IOException e) {
                throw unreadable(slice);
            }
        }
    }

    // Objects of many frames are opened once.
    private static Map<DicomReader.Header, FrameReader> openShared(List<Job> jobs) throws InputException {
        Map<DicomReader.Header, FrameReader> shared = new HashMap<>();
        for (Job job : jobs) {
            Slice slice = job.stack.slices().get(job.z);
            if (PixelFormat.of(slice.header()).frames() > 1 && !shared.containsKey(slice.header()))
                shared.put(slice.header(), open(slice));
        }
        return shared;
    }

    private static void decode(Job job, Map<DicomReader.Header, FrameReader> shared) throws InputException {
        Slice slice = job.stack.slices().get(job.z);
        FrameReader reader = shared.get(slice.header());
        try {
            if (reader == null) reader = FrameReader.open(slice.header());
            reader.read(slice.frame(), job.target, job.z * slice.rows() * slice.columns(), slice.scale());
        } catch (IOException e) {
            throw unreadable(slice);
        }
    }

    private static FrameReader open(Slice slice) throws InputException {
        try {
            return FrameReader.open(slice.header());
        } catch (IOException e) {
            throw unreadable(slice);
        }
    }

    private static InputException unreadable(Slice slice) {
        return new InputException(slice.header().file(), "", "a file that cannot be read", "a readable file");
    }

    private static List<SeriesVolume> volumes(
            ImageSeries series, List<Stack> stacks, List<float[]> voxels, List<String> decisions) {
        double[] times = stacks.stream().mapToDouble(SeriesReader::acquired).toArray();
        boolean timed = stacks.size() > 1 && java.util.Arrays.stream(times).allMatch(Double::isFinite);
        double firstTime = java.util.Arrays.stream(times).min().orElse(0);
        boolean injected = timed && series.contrastStartSeconds().isPresent();
        double zero = injected ? series.contrastStartSeconds().getAsDouble() : firstTime;
        List<String> said = new ArrayList<>(decisions);
        if (timed && series.temporalPositions() > 1)
            said.add(injected ? "times count from the start of injection" : "times count from the first volume");
        List<SeriesVolume> volumes = new ArrayList<>();
        for (int i = 0; i < stacks.size(); i++) {
            Stack stack = stacks.get(i);
            Slice first = stack.slices().get(0);
            List<String> own = new ArrayList<>(said);
            own.addAll(stack.decisions());
            volumes.add(new SeriesVolume(
                    new Volume(stack.grid(), voxels.get(i)),
                    first.bValue().map(b -> OptionalDouble.of(b.value())).orElse(OptionalDouble.empty()),
                    first.temporalPosition(),
                    first.echoTime(),
                    timed ? OptionalDouble.of(times[i] - zero) : first.offset(),
                    first.imageType(),
                    first.unit(),
                    series.frameOfReferenceUid(),
                    stack.slices().stream().map(Slice::instanceUid).toList(),
                    stack.slices().stream().map(s -> s.frame() + 1).toList(),
                    own));
        }
        return volumes;
    }

    // The first slice's time is the volume's; trigger times and offsets count as they are.
    private static double acquired(Stack stack) {
        return stack.slices().stream()
                .mapToDouble(s -> s.acquired().orElse(Double.NaN))
                .min()
                .orElse(Double.NaN);
    }
}
