// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.function.Predicate;
import org.leiogauge.dicom.DicomObject;
import org.leiogauge.dicom.Segmentation;
import org.leiogauge.dicom.StructureSet;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.SelfCrossing;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** A region from an RT structure set or a DICOM segmentation, on the series that it belongs to. */
final class DicomOutline {
    private DicomOutline() {}

    static Outline read(Path file, Optional<String> roi, Study study, Workers workers, Progress progress)
            throws InputException {
        try {
            switch (DicomObject.kind(file)) {
                case STRUCTURE_SET:
                    return contours(file, roi, study, workers, progress);
                case SEGMENTATION:
                    return segment(file, roi, study, workers, progress);
                default:
                    throw new InputException(
                            file, "", "another kind of object", "RTSTRUCT, DICOM segmentation or NIfTI mask");
            }
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "an outline");
        }
    }

    static List<String> names(Path file) throws InputException {
        try {
            return switch (DicomObject.kind(file)) {
                case STRUCTURE_SET ->
                    StructureSet.read(file).rois().stream()
                            .map(StructureSet.Roi::name)
                            .toList();
                case SEGMENTATION -> Segmentation.read(file).labels();
                default ->
                    throw new InputException(file, "", "another kind of object", "RTSTRUCT or DICOM segmentation");
            };
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "regions");
        }
    }

    /** Regions of the same frame of reference that the outline's grid holds; one that runs wholly beside it is left out. */
    static Map<String, Mask> others(Path file, Outline outline) throws InputException {
        Map<String, Mask> others = new LinkedHashMap<>();
        Grid grid = outline.mask().grid();
        try {
            if (DicomObject.kind(file) == DicomObject.SEGMENTATION) {
                Segmentation segmentation = Segmentation.read(file);
                for (String label : segmentation.labels())
                    if (!label.equals(outline.name()))
                        segmentation.mask(label, grid).ifPresent(mask -> others.put(label, mask));
            } else
                for (StructureSet.Roi roi : StructureSet.read(file).rois())
                    if (!roi.name().equals(outline.name())
                            && roi.frameOfReference().equals(outline.series().frameOfReference()))
                        onGrid(file, roi, grid).ifPresent(mask -> others.put(roi.name(), mask));
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "regions");
        }
        others.values().removeIf(Mask::isEmpty);
        return others;
    }

    // A region drawn on another series, or broken, is nobody's concern until it is asked for.
    private static Optional<Mask> onGrid(Path file, StructureSet.Roi roi, Grid grid) {
        try {
            return Optional.of(ContourFill.fill(file + ", " + roi.name(), roi.contours(), grid)
                    .mask());
        } catch (InputException e) {
            return Optional.empty();
        }
    }

    private static Outline contours(Path file, Optional<String> name, Study study, Workers workers, Progress progress)
            throws IOException, InputException {
        List<StructureSet.Roi> rois = StructureSet.read(file).rois();
        StructureSet.Roi roi = named(file, name, rois, StructureSet.Roi::name);
        List<String> decisions = new ArrayList<>(roi.decisions());
        Series series = owner(file, roi, study, decisions);
        Series.Content content = series.read(workers, progress);
        Grid grid = content.frames().get(0).volume().grid();
        ContourFill.Filled filled = ContourFill.fill(file + ", " + roi.name(), roi.contours(), grid);
        decisions.addAll(filled.decisions());
        long crossing = roi.contours().stream().filter(SelfCrossing::of).count();
        if (crossing > 0)
            decisions.add(crossing + " contours of " + roi.name()
                    + " cross themselves: what such a line goes round twice counts as outside");
        return new Outline(roi.name(), series, content, filled.mask(), decisions);
    }

    // References decide where they resolve, position where they do not: archives number images anew.
    private static Series owner(Path file, StructureSet.Roi roi, Study study, List<String> decisions)
            throws InputException {
        for (Series series : study.series())
            if (!Collections.disjoint(series.sopInstances(), roi.images())) {
                requireFrame(file, roi, series);
                decisions.add("the outline belongs to " + series.label() + ": its contours name that series' images");
                return series;
            }
        List<Series> same = study.series().stream()
                .filter(series -> !series.frameOfReference().isEmpty()
                        && series.frameOfReference().equals(roi.frameOfReference()))
                .toList();
        if (same.isEmpty())
            throw new InputException(
                    file,
                    "frame of reference of " + roi.name(),
                    roi.frameOfReference().isEmpty() ? "none" : roi.frameOfReference(),
                    "that of a series of the study");
        Series chosen = same.stream()
                .filter(series -> series.role().isPresent())
                .findFirst()
                .orElse(same.get(0));
        decisions.add("the outline belongs to " + chosen.label() + ": "
                + (roi.images().isEmpty()
                        ? "its contours name no image"
                        : "the images that its contours name are not in the study")
                + ", the frame of reference is the same"
                + (same.size() > 1 ? " as that of " + (same.size() - 1) + " more series" : ""));
        return chosen;
    }

    private static void requireFrame(Path file, StructureSet.Roi roi, Series series) throws InputException {
        if (!roi.frameOfReference().isEmpty() && !roi.frameOfReference().equals(series.frameOfReference()))
            throw new InputException(
                    file,
                    "frame of reference of " + roi.name(),
                    roi.frameOfReference(),
                    series.frameOfReference() + ", that of the images its contours name");
    }

    private static Outline segment(Path file, Optional<String> name, Study study, Workers workers, Progress progress)
            throws IOException, InputException {
        Segmentation segmentation = Segmentation.read(file);
        String label = named(file, name, segmentation.labels(), text -> text);
        List<Series> same = study.series().stream()
                .filter(series -> series.frameOfReference().equals(segmentation.frameOfReference()))
                .toList();
        for (int i = 0; i < same.size(); i++) {
            Series.Content content =
                    same.get(i).read(workers, progress.part((double) i / same.size(), (i + 1.0) / same.size()));
            Optional<Mask> mask =
                    segmentation.mask(label, content.frames().get(0).volume().grid());
            if (mask.isPresent())
                return new Outline(
                        label,
                        same.get(i),
                        content,
                        mask.get(),
                        List.of("the outline belongs to " + same.get(i).label()
                                + ": the segmentation has the grid of that series"));
        }
        throw new InputException(
                file,
                "grid",
                "frames that lie on no series of the study",
                "the frame of reference and grid of a series of the study");
    }

    private static <T> T named(Path file, Optional<String> name, List<T> regions, Function<T, String> nameOf)
            throws InputException {
        String all = String.join(", ", regions.stream().map(nameOf).toList());
        Predicate<T> wanted = region -> name.isEmpty() || nameOf.apply(region).equals(name.get());
        List<T> matching = regions.stream().filter(wanted).toList();
        if (matching.size() == 1) return matching.get(0);
        throw new InputException(
                file,
                "regions",
                name.map(text -> matching.size() + " regions named " + text + " among " + all)
                        .orElse(regions.size() + " regions: " + all),
                name.isPresent() ? "one region of that name" : "one region, or its name by --roi");
    }
}
