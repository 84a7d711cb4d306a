// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import ij.WindowManager;
import ij.gui.GenericDialog;
import ij.gui.OvalRoi;
import ij.gui.Overlay;
import ij.gui.PointRoi;
import ij.gui.Roi;
import ij.plugin.frame.Recorder;
import java.awt.Checkbox;
import java.awt.EventQueue;
import java.awt.TextField;
import java.awt.event.ItemEvent;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;

/** The steps of a case, one after the other, each by its entry; see {@link Walk}. */
public final class StepWalk extends Walk {
    private final String study;
    private final String outline;

    private StepWalk(Path macros, Path given, Path seen) throws Exception {
        super(macros, given, seen);
        study = given.resolve("study").toString();
        outline = given.resolve("outline.dcm").toString();
    }

    public static void main(String[] paths) throws Exception {
        new StepWalk(Path.of(paths[0]), Path.of(paths[1]), Path.of(paths[2])).walk();
    }

    @Override
    void goThrough() throws Exception {
        openStudy();
        drawAreas();
        drawByClick();
        loadAndRefine();
        placeReferences();
        align();
        measureAndAfter();
        files();
        whatIsMissing();
        adcPreview();
        byDialog();
    }

    private void openStudy() throws IOException {
        step("Open a Study...", "study=[" + study + "] series=t2");
        keep("Leiogauge series", "series.txt");
        write("image.txt", IJ.getImage().getTitle() + " " + IJ.getImage().getStackSize());
    }

    // An oval on two slices, one of them only selected, the other in the overlay.
    private void drawAreas() throws IOException {
        ImagePlus image = IJ.getImage();
        int middle = image.getStackSize() / 2;
        Roi first = oval(image, 30, 22);
        first.setPosition(middle);
        image.setOverlay(new Overlay(first));
        image.setSlice(middle + 1);
        image.setRoi(oval(image, 24, 26));
        step(
                "Draw an Outline...",
                "study=[" + study + "] series=t2 areas=drawn save=[" + seen.resolve("areas.nii.gz") + "]");
        closeAll();
    }

    private static Roi oval(ImagePlus image, int width, int height) {
        return new OvalRoi((image.getWidth() - width) / 2, (image.getHeight() - height) / 2, width, height);
    }

    private void drawByClick() throws IOException {
        String ball = "centre=[0 0 0] diameter=40 across=0 turn=0";
        step(
                "Draw an Outline...",
                "study=[" + study + "] series=t2 " + ball + " save=[" + seen.resolve("ball.nii.gz") + "]");
        String ellipse = "centre=[0 0 0] diameter=50 across=30 turn=25";
        step(
                "Draw an Outline...",
                "study=[" + study + "] series=t2 " + ellipse + " save=[" + seen.resolve("ellipse.nii.gz") + "]");
        closeAll();
    }

    private void loadAndRefine() throws Exception {
        step(
                "Load an Outline...",
                "study=[" + study + "] outline=[" + outline + "] region=lesion save=[" + seen.resolve("loaded.nii.gz")
                        + "]");
        ImagePlus image = IJ.getImage();
        write("loaded.txt", image.getTitle() + ", areas: " + image.getOverlay().size());
        step("Refine an Outline...", "study=[" + study + "] rough=drawn save=[" + seen.resolve("refined.nii.gz") + "]");
        write(
                "refined.txt",
                (IJ.getImage() == image) + ", areas: " + image.getOverlay().size());
        for (int i = 0; i < 2; i++) IJ.run(image, "In [+]", "");
        picture("refined");
    }

    private void placeReferences() throws Exception {
        ImagePlus image = IJ.getImage();
        double[] urine = index(image, 0, -20, -45);
        Roi place = new OvalRoi(urine[0] - 8, urine[1] - 8, 17, 17);
        place.setName("urine");
        place.setPosition((int) Math.round(urine[2]) + 1);
        image.getOverlay().add(place);
        step(
                "Place Reference Regions...",
                "study=[" + study + "] outline=drawn places=drawn save=[" + seen.resolve("case.yaml") + "]");
        keep("Leiogauge reference regions", "places.txt");
    }

    // The voxel at a point of the patient, by what the image says of its place.
    private static double[] index(ImagePlus image, double... point) {
        double[] n = Arrays.stream(image.getProp("leiogauge.grid").split(" "))
                .mapToDouble(Double::parseDouble)
                .toArray();
        double[] index = new double[3];
        for (int axis = 0; axis < 3; axis++)
            for (int i = 0; i < 3; i++) index[axis] += (point[i] - n[15 + i]) * n[6 + 3 * axis + i] / n[3 + axis];
        return index;
    }

    private void align() throws IOException {
        step(
                "Align a Series...",
                "study=[" + study + "] outline=drawn series=t1 save=[" + seen.resolve("t1.nii.gz") + "]");
        closeAll();
    }

    private void measureAndAfter() throws Exception {
        Path measured = seen.resolve("measured");
        String settings = " settings=[" + given.resolve("settings.yaml") + "]";
        step(
                "Measure a Study...",
                "study=[" + study + "] outline=[" + outline + "] region=lesion" + settings + " results=[" + measured
                        + "]");
        step("Appraise a Table...", "table=[" + measured.resolve("features.csv") + "] prevalence=0.002");
        step("Write a Report...", "measured=[" + measured + "] results=[" + seen.resolve("again") + "]");
        step(
                "Compare Two Tables...",
                "first=[" + given.resolve("first.csv") + "] second=[" + given.resolve("second.csv") + "]");
        keep("Leiogauge agreement", "agreement.txt");
    }

    private void files() throws IOException {
        closeAll();
        step(
                "Standard Features of Files...",
                "image=[" + given.resolve("b0.nii") + "] mask=[" + given.resolve("mask.nii") + "]");
        keep("Leiogauge feature table", "features.txt");
        step(
                "ADC Map of Files...",
                "images=[" + given.resolve("b0.nii") + ";" + given.resolve("b1.nii")
                        + "] b-values=0,800 fit=log-linear lowest=0 noise=0");
        write("adc.txt", Float.toString(IJ.getImage().getProcessor().getf(3, 3)));
        step("Invent a Study...", "pattern=ice-water settings=[seed=3] results=[" + seen.resolve("invented") + "]");
        closeAll();
    }

    private void whatIsMissing() throws Exception {
        step("Refine an Outline...", "study=[" + study + "] rough=drawn");
        step("Refine an Outline...", "study=[" + study + "]");
        step("Load an Outline...", "study=[" + given.resolve("absent") + "] outline=[" + outline + "]");
        step("Draw an Outline...", "study=[" + study + "] series=t2 centre=[900 0 0] diameter=40 across=0 turn=0");
        ImagePlus foreign = new ImagePlus("foreign", new ij.process.ByteProcessor(20, 20));
        foreign.show();
        foreign.setRoi(new Roi(3, 3, 5, 5));
        step("Refine an Outline...", "study=[" + study + "] rough=drawn");
        closeAll();
    }

    // From the menu to the dialog's button, with a point selected and the recorder open; then what was recorded is run.
    private void byDialog() throws Exception {
        step("Open a Study...", "study=[" + study + "] series=t2");
        ImagePlus image = IJ.getImage();
        double[] at = index(image, 0, 0, 0);
        image.setSlice((int) Math.round(at[2]) + 1);
        image.setRoi(new PointRoi(Math.round(at[0]), Math.round(at[1])));
        image.getWindow().setLocation(20, 120);
        for (int i = 0; i < 4; i++) IJ.run(image, "In [+]", "");
        Recorder recorder = new Recorder();
        IJ.doCommand("Draw an Outline...");
        GenericDialog asked = (GenericDialog) dialog("Draw an Outline");
        ((TextField) asked.getNumericFields().get(0)).setText("36");
        asked.setLocation(500, 120);
        recorder.setLocation(500, 500);
        WindowManager.getFrame("Leiogauge series").setBounds(20, 560, 460, 160);
        tick(asked);
        waitFor(() -> image.getOverlay() != null);
        write("preview.txt", image.getOverlay().size() + " areas");
        picture("draw-dialog");
        press(asked, "OK");
        waitFor(() -> IJ.getImage() != image);
        write("after-preview.txt", image.getOverlay() + " " + (image.getRoi() != null));
        pause(500);
        String line = Arrays.stream(recorder.getText().split("\n"))
                .filter(one -> one.contains("Draw an Outline"))
                .findFirst()
                .orElse("");
        write("recorded.txt", line);
        write("by-dialog.txt", IJ.getImage().getOverlay().size() + " areas");
        Recorder.record = false;
        IJ.getImage().close();
        if (!line.contains("diameter")) throw new IllegalStateException("recorded: " + line);
        IJ.runMacro(line);
        write("by-macro.txt", IJ.getImage().getOverlay().size() + " areas");
        picture("drawn");
    }

    private void adcPreview() throws Exception {
        closeAll();
        open("diffusion.tif");
        IJ.doCommand("ADC Map of Stack...");
        GenericDialog asked = (GenericDialog) dialog("ADC map of the stack");
        ((TextField) asked.getStringFields().get(0)).setText("0,400,800");
        tick(asked);
        waitFor(() -> WindowManager.getImage("ADC of diffusion.tif, preview") != null);
        ImagePlus preview = WindowManager.getImage("ADC of diffusion.tif, preview");
        write("adc-preview.txt", Float.toString(preview.getProcessor().getf(7, 3)));
        press(asked, "Cancel");
        waitFor(() -> WindowManager.getImage("ADC of diffusion.tif, preview") == null);
        closeAll();
    }

    private static void tick(GenericDialog dialog) {
        Checkbox preview = (Checkbox) dialog.getCheckboxes().get(0);
        EventQueue.invokeLater(() -> {
            preview.setState(true);
            dialog.itemStateChanged(new ItemEvent(preview, ItemEvent.ITEM_STATE_CHANGED, preview, ItemEvent.SELECTED));
        });
    }

    // By its entry and a macro's options, as a macro does it.
    private static void step(String entry, String options) {
        IJ.runMacro("run(\"" + entry + "\", \"" + options.replace("\\", "\\\\") + "\");");
    }
}
