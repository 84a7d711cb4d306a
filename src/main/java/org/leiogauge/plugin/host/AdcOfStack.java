// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import ij.gui.DialogListener;
import ij.gui.GenericDialog;
import java.awt.AWTEvent;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.AdcMap;
import org.leiogauge.plugin.AdcWish;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * An ADC map of the active stack, in 10⁻³ mm²/s. The stack's frames are its b-values, each with all slices; a stack without
 * frames is one slice at several b-values.
 */
public final class AdcOfStack extends Entry {
    @Override
    void work(String argument, Workers workers, Progress progress) throws InputException {
        ImagePlus image = HostImage.active();
        GenericDialog wish = new GenericDialog("ADC map of the stack");
        wish.addStringField("B-values (s/mm2)", "0,800", 20);
        wish.addChoice("Fit", AdcWish.METHODS.toArray(String[]::new), AdcWish.STANDARD_METHOD);
        wish.addNumericField("Lowest b-value used (s/mm2)", 0, 0);
        wish.addNumericField("Noise (standard deviation; 0: not undone)", 0, 2);
        wish.addCheckbox("Preview of the slice shown", false);
        try (Preview preview = new Preview(image, workers)) {
            wish.addDialogListener(preview);
            wish.showDialog();
        }
        if (wish.wasCanceled()) return;
        AdcWish fit = fit(wish);
        List<AdcFit.Weighted> series = series(image, fit.bValues(), 1, image.getNSlices());
        progress.at(0.3);
        map(image, series, fit, workers).show();
    }

    private static AdcWish fit(GenericDialog wish) throws InputException {
        return AdcWish.of(wish.getNextString(), wish.getNextChoice(), wish.getNextNumber(), wish.getNextNumber());
    }

    private static List<AdcFit.Weighted> series(ImagePlus image, List<Double> bValues, int first, int slices)
            throws InputException {
        boolean frames = image.getNFrames() > 1;
        int count = frames ? image.getNFrames() : image.getStackSize();
        if (bValues.size() != count)
            throw new InputException(
                    image.getTitle(),
                    "b-values",
                    bValues.size() + " given",
                    "one per " + (frames ? "frame, " : "image, ") + count);
        HostImage host = HostImage.of(image, frames ? slices : 1);
        List<AdcFit.Weighted> series = new ArrayList<>();
        for (int i = 0; i < count; i++)
            series.add(new AdcFit.Weighted(
                    bValues.get(i),
                    frames
                            ? host.volume(image.getStackIndex(1, first, i + 1), image.getNChannels())
                            : host.volume(i + 1, 1)));
        return series;
    }

    private static ImagePlus map(ImagePlus image, List<AdcFit.Weighted> series, AdcWish fit, Workers workers)
            throws InputException {
        Volume adc = AdcMap.fit(image.getTitle(), series, fit.settings(), List.of(), workers)
                .map();
        ImagePlus map = HostImage.of("ADC of " + image.getTitle(), adc);
        map.copyScale(image);
        map.setDisplayRange(0, 3);
        return map;
    }

    /** The map of the slice that is shown, while the dialog is open. */
    private static final class Preview implements DialogListener, AutoCloseable {
        private final ImagePlus image;
        private final Workers workers;
        private final PreviewImage own = new PreviewImage((shown, next) -> shown.setProcessor(next.getProcessor()));

        Preview(ImagePlus image, Workers workers) {
            this.image = image;
            this.workers = workers;
        }

        @Override
        public boolean dialogItemChanged(GenericDialog dialog, AWTEvent event) {
            try {
                // read in any case: without an event the host records what is read
                AdcWish fit = fit(dialog);
                if (event != null && dialog.getNextBoolean())
                    own.show(map(image, series(image, fit.bValues(), shownSlice(), 1), fit, workers));
                IJ.showStatus("");
                return true;
            } catch (InputException e) {
                IJ.showStatus(e.getMessage());
                return true;
            }
        }

        private int shownSlice() {
            return image.getNFrames() > 1 ? image.getSlice() : 1;
        }

        @Override
        public void close() {
            own.close();
        }
    }
}
