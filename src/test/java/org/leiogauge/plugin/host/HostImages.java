// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.ImageStack;
import ij.gui.OvalRoi;
import ij.gui.Overlay;
import ij.gui.PolygonRoi;
import ij.gui.Roi;
import ij.io.FileSaver;
import ij.measure.Calibration;
import ij.process.ColorProcessor;
import ij.process.FloatProcessor;
import ij.process.ImageProcessor;
import ij.process.ShortProcessor;
import java.nio.file.Path;
import java.util.Random;

/** Images as a person may have them open in the classic host. */
final class HostImages {
    /** Along x, y and z, in mm; whole in binary and so are 1 / x and 1 / y, so that no header rounds them. */
    static final double[] SPACING_MM = {0.5, 0.25, 4};

    static final double[] B_VALUES = {0, 400, 800};

    private HostImages() {}

    /** One slice of 16 bits with texture, and a region drawn with the polygon; 1 mm thick, as the host's files say. */
    static ImagePlus lesion() {
        ImagePlus image = inMm(new ImagePlus("lesion", noise(72, 60, 7)));
        image.getCalibration().pixelDepth = 1;
        image.setRoi(polygon(image));
        return image;
    }

    /** The same without what is drawn. */
    static ImagePlus withoutRegion() {
        return inMm(new ImagePlus("no-region", noise(72, 60, 7)));
    }

    /** The same with a region, but in pixels. */
    static ImagePlus withoutUnit() {
        ImagePlus image = new ImagePlus("no-unit", noise(72, 60, 7));
        image.setRoi(polygon(image));
        return image;
    }

    static ImagePlus inColours() {
        ImagePlus image = inMm(new ImagePlus("colours", new ColorProcessor(72, 60)));
        image.setRoi(polygon(image));
        return image;
    }

    /** Eight slices, on five of which a circle is marked. */
    static ImagePlus stack() {
        ImageStack stack = new ImageStack(40, 36);
        for (int z = 0; z < 8; z++) stack.addSlice(noise(40, 36, 20 + z));
        ImagePlus image = inMm(new ImagePlus("stack", stack));
        Overlay marks = new Overlay();
        int[] radius = {5, 8, 9, 8, 5};
        for (int i = 0; i < radius.length; i++) {
            Roi circle = new OvalRoi(20 - radius[i], 18 - radius[i], 2 * radius[i], 2 * radius[i]);
            circle.setPosition(i + 2);
            marks.add(circle);
        }
        image.setOverlay(marks);
        return image;
    }

    /** One slice at three b-values: S = S₀ exp(-b D), D in 10⁻³ mm²/s from 0.5 at the left to 2.6 at the right. */
    static ImagePlus diffusion() {
        ImageStack stack = new ImageStack(22, 16);
        for (double b : B_VALUES) {
            FloatProcessor slice = new FloatProcessor(22, 16);
            for (int y = 0; y < 16; y++)
                for (int x = 0; x < 22; x++)
                    slice.setf(x, y, (float) ((1000 + y) * Math.exp(-b / 1000 * diffusivity(x))));
            stack.addSlice("b " + b, slice);
        }
        return inMm(new ImagePlus("diffusion", stack));
    }

    static double diffusivity(int x) {
        return 0.5 + 0.1 * x;
    }

    static void save(ImagePlus image, Path folder, String name) {
        FileSaver saver = new FileSaver(image);
        String file = folder.resolve(name).toString();
        if (!(image.getStackSize() > 1 ? saver.saveAsTiffStack(file) : saver.saveAsTiff(file)))
            throw new IllegalStateException("cannot save " + file);
    }

    private static ImagePlus inMm(ImagePlus image) {
        Calibration size = image.getCalibration();
        size.setUnit("mm");
        size.pixelWidth = SPACING_MM[0];
        size.pixelHeight = SPACING_MM[1];
        size.pixelDepth = SPACING_MM[2];
        return image;
    }

    private static Roi polygon(ImagePlus image) {
        int[] x = {14, 40, 58, 52, 30, 12};
        int[] y = {12, 8, 22, 44, 50, 34};
        Roi region = new PolygonRoi(x, y, x.length, Roi.POLYGON);
        region.setImage(image);
        return region;
    }

    private static ImageProcessor noise(int width, int height, long seed) {
        Random random = new Random(seed);
        ShortProcessor slice = new ShortProcessor(width, height);
        for (int y = 0; y < height; y++)
            for (int x = 0; x < width; x++)
                slice.set(x, y, 300 + 4 * x + (x / 6 + y / 6) % 2 * 120 + random.nextInt(80));
        return slice;
    }
}
