// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.WindowManager;
import ij.gui.PointRoi;
import ij.gui.Roi;
import java.awt.Rectangle;
import java.awt.geom.Rectangle2D;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.plugin.Job;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.InputException;

/**
 * What is drawn on the active image, for a step that asks for an outline, a point or places. The image must be one that a step
 * of ours opened: it knows then where it lies in the patient.
 */
final class Drawn {
    /** Stands in a dialog and in a macro for what is drawn. */
    static final String WORD = "drawn";

    /** The input that is the study's folder, which an image of a study remembers. */
    static final String STUDY = "study";

    private final Optional<ImagePlus> image;
    private final Optional<Grid> grid;

    private Drawn(Optional<ImagePlus> image, Optional<Grid> grid) {
        this.image = image;
        this.grid = grid;
    }

    static Drawn onActiveImage() {
        Optional<ImagePlus> image = Optional.ofNullable(WindowManager.getCurrentImage());
        return new Drawn(image, image.flatMap(PatientSpace::of));
    }

    /** The image, if it lies on that grid. */
    Optional<ImagePlus> imageOn(Grid wanted) {
        return grid.filter(wanted::equals).flatMap(same -> image);
    }

    /** Folder of the study that the active image was opened from. */
    Optional<String> study() {
        return grid.flatMap(known -> image).flatMap(PatientSpace::study);
    }

    /** What a dialog offers for an input: the word for what is drawn, the place of a point, or nothing. */
    Optional<String> offer(String kind) {
        if (kind == null || grid.isEmpty()) return Optional.empty();
        boolean point = image.get().getRoi() instanceof PointRoi;
        if (kind.equals(Job.DRAWN_POINT)) return point ? Optional.of(point()) : Optional.empty();
        return isDrawn(kind) ? Optional.of(WORD) : Optional.empty();
    }

    // What a step left in the overlay is an outline already: to draw one, an area must be selected.
    private boolean isDrawn(String kind) {
        if (kind.equals(Job.DRAWN_PLACES)) return !places().isEmpty();
        Roi selected = image.get().getRoi();
        boolean area = selected != null && selected.isArea();
        return area
                || kind.equals(Job.DRAWN_REGION)
                        && !HostImage.areas(image.get()).isEmpty();
    }

    /** The drawn areas as a temporary file. */
    TemporaryFile region() throws InputException, IOException {
        Mask mask = mask();
        TemporaryFile file = TemporaryFile.named("drawn.nii.gz");
        NiftiWriter.write(file.path(), mask);
        return file;
    }

    /** What is drawn, in the words of the input that asks for it. */
    String words(String kind) throws InputException {
        requirePlace();
        if (kind.equals(Job.DRAWN_POINT)) return point();
        if (kind.equals(Job.DRAWN_AREAS))
            return MaskContours.of(mask()).stream().map(this::words).collect(Collectors.joining("; "));
        List<String> places = places();
        if (places.isEmpty())
            throw new InputException(
                    image.get().getTitle(),
                    "",
                    "no area that bears a tissue's name",
                    "areas in its overlay, as muscle");
        return String.join("; ", places);
    }

    private Mask mask() throws InputException {
        requirePlace();
        return HostImage.on(image.get(), grid.get()).marked();
    }

    private void requirePlace() throws InputException {
        if (image.isEmpty()) HostImage.active();
        if (grid.isEmpty())
            throw new InputException(
                    image.get().getTitle(),
                    "",
                    "an image of which the place in the patient is not known",
                    "a series opened by Open a Study..., whole");
    }

    private String words(Contour line) {
        StringBuilder words = new StringBuilder();
        for (Point point : line.points()) {
            Index at = grid.get().index(point);
            if (words.length() == 0) words.append(Math.round(at.z()) + 1).append(':');
            words.append(String.format(Locale.ROOT, " %.1f %.1f", at.x(), at.y()));
        }
        return words.toString();
    }

    private String point() {
        Roi roi = image.get().getRoi();
        if (!(roi instanceof PointRoi)) return "";
        Rectangle at = roi.getBounds();
        return words(grid.get().point(at.x, at.y, image.get().getCurrentSlice() - 1));
    }

    private List<String> places() {
        List<String> places = new ArrayList<>();
        for (Roi roi : HostImage.marks(image.get()))
            for (Tissue tissue : Tissue.values())
                if (tissue.key().equals(roi.getName())) places.add(place(tissue, roi));
        return places;
    }

    // The ball about the middle of the area's box, as wide as the box on average.
    private String place(Tissue tissue, Roi roi) {
        Rectangle2D box = roi.getFloatBounds();
        Point centre =
                grid.get().point(box.getCenterX() - 0.5, box.getCenterY() - 0.5, HostImage.slice(image.get(), roi));
        double radius = (box.getWidth() * grid.get().spacing().x()
                        + box.getHeight() * grid.get().spacing().y())
                / 4;
        return String.format(Locale.ROOT, "%s %s %.2f", tissue.key(), words(centre), radius);
    }

    private static String words(Point at) {
        return String.format(Locale.ROOT, "%.2f %.2f %.2f", at.x(), at.y(), at.z());
    }
}
