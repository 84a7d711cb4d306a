// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** One series of images: what its headers say, and its volumes on demand. */
public final class DicomSeries {
    private final List<ImageFrame> frames;
    private final DataSet first;

    DicomSeries(List<ImageFrame> frames) {
        this.frames = List.copyOf(frames);
        this.first = frames.get(0).header().set();
    }

    /**
     * One volume of a series.
     *
     * @param bValue in s/mm²
     * @param seconds after the start of the contrast injection where it is stated, else after the first volume
     * @param sopInstances UID of the object that each slice comes from, in the order of z
     */
    public record Stack(Volume volume, OptionalDouble bValue, OptionalDouble seconds, List<String> sopInstances) {
        public Stack {
            sopInstances = List.copyOf(sopInstances);
        }
    }

    /**
     * The volumes of a series, in the order of time, then b-value.
     *
     * @param decisions what was decided in putting them together
     */
    public record Content(List<Stack> stacks, List<String> decisions) {
        public Content {
            stacks = List.copyOf(stacks);
            decisions = List.copyOf(decisions);
        }
    }

    public String uid() {
        return first.text(Tag.SERIES_INSTANCE_UID).orElse("");
    }

    public String studyUid() {
        return first.text(Tag.STUDY_INSTANCE_UID).orElse("");
    }

    /** UID; empty where none is stated. */
    public String frameOfReference() {
        return first.text(Tag.FRAME_OF_REFERENCE_UID).orElse("");
    }

    /** Number of frames. */
    public int images() {
        return frames.size();
    }

    /** Text values of an attribute of the first image. */
    public List<String> texts(int tag) {
        return first.texts(tag);
    }

    /** First number of an attribute of the first image; none where it is absent or unreadable. */
    public OptionalDouble number(int tag) {
        try {
            return first.number(tag);
        } catch (InputException e) {
            return OptionalDouble.empty();
        }
    }

    /** Echo time of the first frame, in ms. */
    public OptionalDouble echoTime() {
        return frames.get(0).echoTime();
    }

    /** The larger distance between neighbouring pixels of the first frame, in mm. */
    public double pixelMm() {
        return Math.max(frames.get(0).rowSpacing(), frames.get(0).columnSpacing());
    }

    /** From slice to slice, else the slice's thickness, as stated in the first frame; in mm. */
    public OptionalDouble sliceMm() {
        return frames.get(0).thickness();
    }

    /** Time of day of its first frame in time, in s. */
    public OptionalDouble acquired() {
        return acquired(frames);
    }

    /** Time of each of its volumes in s as {@link Stack} has it; empty where times are missing or frames make no volumes. */
    public List<Double> seconds() {
        try {
            List<List<ImageFrame>> groups = StackSorting.volumes(label(), frames, new ArrayList<>());
            OptionalDouble start = injection(groups);
            return groups.stream()
                    .flatMapToDouble(group -> seconds(group, start).stream())
                    .boxed()
                    .toList();
        } catch (InputException e) {
            // what is wrong with it is said when it is read
            return List.of();
        }
    }

    /** In s/mm², each once, ascending. */
    public List<Double> bValues() {
        return frames.stream()
                .flatMap(frame -> frame.bValue().stream())
                .map(BValue::value)
                .collect(Collectors.collectingAndThen(Collectors.toCollection(TreeSet::new), List::copyOf));
    }

    /** Number of time points: as numbered, else how often images come back to the same place, unless for diffusion. */
    public int phases() {
        long numbered = frames.stream()
                .map(ImageFrame::temporalPosition)
                .filter(OptionalDouble::isPresent)
                .distinct()
                .count();
        if (numbered > 1) return (int) numbered;
        return bValues().isEmpty() ? StackSorting.turns(frames) : 1;
    }

    /** What objects made of this volume of the series refer to. */
    public DrawnOn drawnOn(Stack stack) {
        return new DrawnOn(first, stack.volume.grid(), stack.sopInstances);
    }

    /** SOP instance UIDs of its images. */
    public Set<String> sopInstances() {
        return frames.stream()
                .map(frame -> frame.header().set().text(Tag.SOP_INSTANCE_UID).orElse(""))
                .collect(Collectors.toSet());
    }

    /** As messages name it. */
    public String label() {
        return "series " + first.text(Tag.SERIES_DESCRIPTION).map(d -> d + ", ").orElse("") + uid();
    }

    /**
     * Reads the voxels.
     *
     * @throws InputException naming the series and what is wrong with it: mixed sizes or orientations, missing slices,
     *     uneven spacing, two images at one place, pixel data that cannot be decoded
     */
    public Content read(Workers workers, Progress progress) throws InputException {
        Set<String> planes = new TreeSet<>();
        for (ImageFrame frame : frames) planes.add(frame.planeKey());
        if (planes.size() > 1)
            throw new InputException(
                    label(), "", "images of several kinds: " + String.join("; ", planes), "one size and orientation");
        if (first.texts(Tag.IMAGE_TYPE).contains("MOSAIC"))
            throw new InputException(
                    label(), Tag.text(Tag.IMAGE_TYPE), "images that are mosaics of slices", "one slice per image");
        List<String> decisions = new ArrayList<>();
        physicalUnit().ifPresent(decisions::add);
        privateBValues().ifPresent(decisions::add);
        List<List<ImageFrame>> groups = StackSorting.volumes(label(), frames, decisions);
        OptionalDouble start = injection(groups);
        List<Stack> stacks = new ArrayList<>();
        for (int i = 0; i < groups.size(); i++) {
            List<ImageFrame> group = groups.get(i);
            Volume volume = StackSorting.read(
                    label(),
                    group,
                    decisions,
                    workers,
                    progress.part((double) i / groups.size(), (i + 1.0) / groups.size()));
            stacks.add(new Stack(
                    volume,
                    bValue(group),
                    seconds(group, start),
                    group.stream().map(ImageFrame::instanceUid).toList()));
        }
        return new Content(stacks, decisions.stream().distinct().toList());
    }

    private Optional<String> physicalUnit() {
        return frames.stream()
                .map(ImageFrame::unit)
                .filter(unit -> !unit.isEmpty())
                .findFirst()
                .map(unit ->
                        label() + ": values are in " + unit + " by " + Tag.text(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE));
    }

    private Optional<String> privateBValues() {
        return frames.stream()
                .flatMap(frame -> frame.bValue().stream())
                .map(BValue::place)
                .filter(place -> !place.isEmpty())
                .findFirst()
                .map(place -> label() + ": b-values were read from " + place + ", the standard's attribute is missing");
    }

    private static OptionalDouble bValue(List<ImageFrame> group) {
        return group.get(0).bValue().map(b -> OptionalDouble.of(b.value())).orElse(OptionalDouble.empty());
    }

    private OptionalDouble injection(List<List<ImageFrame>> groups) {
        OptionalDouble stated = first.text(Tag.CONTRAST_BOLUS_START_TIME)
                .map(TimeOfDay::seconds)
                .orElse(OptionalDouble.empty());
        return stated.isPresent()
                ? stated
                : groups.stream()
                        .flatMapToDouble(group -> acquired(group).stream())
                        .min();
    }

    private static OptionalDouble seconds(List<ImageFrame> group, OptionalDouble start) {
        OptionalDouble acquired = acquired(group);
        return acquired.isPresent() && start.isPresent()
                ? OptionalDouble.of(acquired.getAsDouble() - start.getAsDouble())
                : OptionalDouble.empty();
    }

    // Its first slice in time, which need not be the lowest.
    private static OptionalDouble acquired(List<ImageFrame> group) {
        return group.stream()
                .flatMapToDouble(frame -> frame.acquired().stream())
                .min();
    }
}
