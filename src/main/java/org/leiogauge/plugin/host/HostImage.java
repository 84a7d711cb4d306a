// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.gui.Roi;
import ij.measure.Calibration;
import ij.process.ImageProcessor;
import java.util.Locale;
import java.util.Map;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;

/** An image of the host as our volumes, and what is drawn on it as a region. */
final class HostImage {
    private static final Map<String, Double> MM = Map.of(
            "mm", 1.0, "millimeter", 1.0, "millimetre", 1.0, "cm", 10.0, "um", 1e-3, "\u00b5m", 1e-3, "micron", 1e-3);

    private final ImagePlus image;
    private final Grid grid;

    private HostImage(ImagePlus image, Grid grid) {
        this.image = image;
        this.grid = grid;
    }

    /** @throws InputException if the image has no size in mm or colours */
    static HostImage of(ImagePlus image, int slices) throws InputException {
        Calibration size = image.getCalibration();
        Double mm = MM.get(String.valueOf(size.getUnit()).toLowerCase(Locale.ROOT));
        if (mm == null)
            throw new InputException(
                    image.getTitle(),
                    "unit of length",
                    size.getUnit(),
                    "mm: set unit, pixel width and voxel depth in the image's properties, then run this again");
        if (image.getType() == ImagePlus.COLOR_RGB)
            throw new InputException(image.getTitle(), "", "an image in colours", "grey values");
        try {
            Spacing spacing = new Spacing(size.pixelWidth * mm, size.pixelHeight * mm, size.pixelDepth * mm);
            Size voxels = new Size(image.getWidth(), image.getHeight(), slices);
            return new HostImage(image, new Grid(voxels, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0)));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(image.getTitle(), "voxel size", e);
        }
    }

    /** The slices from a place in the host's stack on, each so many places behind the one before. */
    Volume volume(int first, int step) {
        Size size = grid.size();
        float[] voxels = new float[size.voxels()];
        for (int z = 0; z < size.z(); z++) {
            ImageProcessor slice = image.getStack().getProcessor(first + z * step);
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++)
                    voxels[grid.offset(x, y, z)] =
                            (float) image.getCalibration().getCValue((double) slice.getf(x, y));
        }
        return new Volume(grid, voxels);
    }

    /**
     * What is drawn on the slice that is shown.
     *
     * @throws InputException if no area is drawn
     */
    Mask drawn(int z) throws InputException {
        Roi roi = image.getRoi();
        if (roi == null || !roi.isArea())
            throw new InputException(
                    image.getTitle(),
                    "",
                    "no area drawn on it",
                    "a region: draw one round the lesion, then run this again");
        byte[] voxels = new byte[grid.size().voxels()];
        for (int y = 0; y < grid.size().y(); y++)
            for (int x = 0; x < grid.size().x(); x++) if (roi.contains(x, y)) voxels[grid.offset(x, y, z)] = 1;
        return new Mask(grid, voxels);
    }
}
