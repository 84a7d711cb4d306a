// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.ImageStack;
import ij.WindowManager;
import ij.gui.Overlay;
import ij.gui.Roi;
import ij.measure.Calibration;
import ij.plugin.ContrastEnhancer;
import ij.plugin.filter.ThresholdToSelection;
import ij.process.ByteProcessor;
import ij.process.ImageProcessor;
import java.awt.Color;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.InputException;

/** An image of the host as our volumes, and what is drawn on it as a region. Nothing in the image is changed but its overlay. */
final class HostImage {
    private static final Map<String, Double> MM = Map.of(
            "mm", 1.0, "millimeter", 1.0, "millimetre", 1.0, "cm", 10.0, "um", 1e-3, "\u00b5m", 1e-3, "micron", 1e-3);
    private static final Set<String> TISSUES =
            Arrays.stream(Tissue.values()).map(Tissue::key).collect(Collectors.toSet());
    // Of the grey values, on both ends together; only of the display.
    private static final double SATURATED_PERCENT = 0.35;
    private static final Color MARK = new Color(0x2A, 0x9D, 0x8F);

    private final ImagePlus image;
    private final Grid grid;

    private HostImage(ImagePlus image, Grid grid) {
        this.image = image;
        this.grid = grid;
    }

    /** @throws InputException if none is open */
    static ImagePlus active() throws InputException {
        ImagePlus image = WindowManager.getCurrentImage();
        if (image == null)
            throw new InputException(
                    "active image", "", "none", "an image that is open: open one, then run this again");
        return image;
    }

    /** @throws InputException if the image has no size in mm, or colours */
    static HostImage of(ImagePlus image, int slices) throws InputException {
        if (image.getType() == ImagePlus.COLOR_RGB || image.getType() == ImagePlus.COLOR_256)
            throw new InputException(image.getTitle(), "", "an image in colours", "grey values: 8, 16 or 32 bits");
        Calibration size = image.getCalibration();
        Double mm = MM.get(String.valueOf(size.getUnit()).toLowerCase(Locale.ROOT));
        if (mm == null)
            throw new InputException(
                    image.getTitle(),
                    "unit of length",
                    size.getUnit(),
                    "mm: set unit, pixel width and voxel depth in the image's properties, then run this again");
        try {
            Spacing spacing = new Spacing(size.pixelWidth * mm, size.pixelHeight * mm, size.pixelDepth * mm);
            Size voxels = new Size(image.getWidth(), image.getHeight(), slices);
            return new HostImage(image, new Grid(voxels, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0)));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(image.getTitle(), "voxel size", e);
        }
    }

    /** An image that lies on a known grid. */
    static HostImage on(ImagePlus image, Grid grid) {
        return new HostImage(image, grid);
    }

    /** An image of ours as one of the host, with its size in mm, on its middle slice. */
    static ImagePlus of(String title, Volume volume) {
        Size size = volume.grid().size();
        ImageStack stack = new ImageStack(size.x(), size.y());
        int plane = size.x() * size.y();
        for (int z = 0; z < size.z(); z++)
            stack.addSlice("", Arrays.copyOfRange(volume.voxels(), z * plane, (z + 1) * plane));
        ImagePlus image = new ImagePlus(title, stack);
        Calibration scale = image.getCalibration();
        scale.setUnit("mm");
        scale.pixelWidth = volume.grid().spacing().x();
        scale.pixelHeight = volume.grid().spacing().y();
        scale.pixelDepth = volume.grid().spacing().z();
        image.setSlice(size.z() / 2 + 1);
        ContrastEnhancer grey = new ContrastEnhancer();
        grey.setUseStackHistogram(true);
        grey.stretchHistogram(image, SATURATED_PERCENT);
        return image;
    }

    /** The slices from a place in the host's stack on, counted from 1, each so many places behind the one before. */
    Volume volume(int first, int step) {
        Size size = grid.size();
        float[] voxels = new float[size.voxels()];
        Calibration grey = image.getCalibration();
        for (int z = 0; z < size.z(); z++) {
            ImageProcessor slice = image.getStack().getProcessor(first + z * step);
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++)
                    voxels[grid.offset(x, y, z)] = (float) grey.getCValue((double) slice.getf(x, y));
        }
        return new Volume(grid, voxels);
    }

    /**
     * What is drawn on the slice that is shown.
     *
     * @param z which slice of the grid that is
     * @throws InputException if no area is drawn
     */
    Mask drawn(int z) throws InputException {
        byte[] voxels = new byte[grid.size().voxels()];
        fill(area(image), z, voxels);
        return mask(voxels);
    }

    /**
     * What is drawn on the slice that is shown, with all that is marked in the overlay, each on its own slice.
     *
     * @throws InputException if no area is drawn
     */
    Mask marked() throws InputException {
        byte[] voxels = new byte[grid.size().voxels()];
        int slices = 0;
        if (image.getRoi() != null) area(image);
        for (Roi roi : areas(image)) {
            int z = slice(image, roi);
            if (z >= grid.size().z()) continue;
            fill(roi, z, voxels);
            slices++;
        }
        if (slices == 0) area(image);
        return mask(voxels);
    }

    private Mask mask(byte[] voxels) throws InputException {
        Mask mask = new Mask(grid, voxels);
        if (mask.isEmpty())
            throw new InputException(image.getTitle(), "region", "no voxel in it", "a region of one voxel or more");
        return mask;
    }

    private static Roi area(ImagePlus image) throws InputException {
        Roi roi = image.getRoi();
        if (roi == null || !roi.isArea())
            throw new InputException(
                    image.getTitle(),
                    "",
                    "no area drawn on it",
                    "a region: draw one round the lesion, then run this again");
        return roi;
    }

    private void fill(Roi roi, int z, byte[] voxels) {
        for (int y = 0; y < grid.size().y(); y++)
            for (int x = 0; x < grid.size().x(); x++) if (roi.contains(x, y)) voxels[grid.offset(x, y, z)] = 1;
    }

    /** The area that is selected, and those of the overlay that bear no tissue's name and lie on one slice. */
    static List<Roi> areas(ImagePlus image) {
        List<Roi> areas = new ArrayList<>();
        if (image.getRoi() != null && image.getRoi().isArea()) areas.add(image.getRoi());
        for (Roi mark : marks(image))
            if (mark.isArea() && mark.getPosition() > 0 && !TISSUES.contains(String.valueOf(mark.getName())))
                areas.add(mark);
        return areas;
    }

    /** On which slice something is drawn, counted from 0. */
    static int slice(ImagePlus image, Roi drawn) {
        return (drawn == image.getRoi() ? image.getCurrentSlice() : Math.max(1, drawn.getPosition())) - 1;
    }

    /** What the overlay holds. */
    static List<Roi> marks(ImagePlus image) {
        List<Roi> marks = new ArrayList<>();
        if (image.getOverlay() != null) image.getOverlay().iterator().forEachRemaining(marks::add);
        return marks;
    }

    /** Leaves the drawn region as an overlay on its slice. */
    static void mark(ImagePlus image) {
        Roi drawn = image.getRoi();
        if (drawn == null) return;
        Roi measured = (Roi) drawn.clone();
        measured.setStrokeColor(MARK);
        measured.setPosition(image.getCurrentSlice());
        if (marks(image).stream().anyMatch(one -> one.getPosition() == measured.getPosition() && one.equals(measured)))
            return;
        Overlay overlay = image.getOverlay() == null ? new Overlay() : image.getOverlay();
        overlay.add(measured);
        image.setOverlay(overlay);
    }

    /** Puts a region in place of what the overlay held, slice by slice; areas that bear a tissue's name stay. */
    static void mark(ImagePlus image, Mask mask) {
        Overlay overlay = new Overlay();
        for (Roi old : marks(image)) if (TISSUES.contains(String.valueOf(old.getName()))) overlay.add(old);
        Size size = mask.grid().size();
        int plane = size.x() * size.y();
        for (int z = 0; z < size.z(); z++) {
            ByteProcessor slice = new ByteProcessor(
                    size.x(), size.y(), Arrays.copyOfRange(mask.voxels(), z * plane, (z + 1) * plane));
            slice.setThreshold(1, 1, ImageProcessor.NO_LUT_UPDATE);
            Roi border = new ThresholdToSelection().convert(slice);
            if (border == null) continue;
            border.setStrokeColor(MARK);
            border.setPosition(z + 1);
            overlay.add(border);
        }
        image.setOverlay(overlay);
    }
}
