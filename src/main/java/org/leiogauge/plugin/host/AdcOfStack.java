// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.gui.GenericDialog;
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
        wish.showDialog();
        if (wish.wasCanceled()) return;
        AdcWish fit =
                AdcWish.of(wish.getNextString(), wish.getNextChoice(), wish.getNextNumber(), wish.getNextNumber());
        List<AdcFit.Weighted> series = series(image, fit.bValues());
        progress.at(0.3);
        show(
                image,
                AdcMap.fit(image.getTitle(), series, fit.settings(), List.of(), workers)
                        .map());
    }

    private static List<AdcFit.Weighted> series(ImagePlus image, List<Double> bValues) throws InputException {
        boolean frames = image.getNFrames() > 1;
        int count = frames ? image.getNFrames() : image.getStackSize();
        if (bValues.size() != count)
            throw new InputException(
                    image.getTitle(),
                    "b-values",
                    bValues.size() + " given",
                    "one per " + (frames ? "frame, " : "image, ") + count);
        HostImage host = HostImage.of(image, frames ? image.getNSlices() : 1);
        List<AdcFit.Weighted> series = new ArrayList<>();
        for (int i = 0; i < count; i++)
            series.add(new AdcFit.Weighted(
                    bValues.get(i),
                    frames
                            ? host.volume(image.getStackIndex(1, 1, i + 1), image.getNChannels())
                            : host.volume(i + 1, 1)));
        return series;
    }

    private static void show(ImagePlus image, Volume adc) {
        ImagePlus map = HostImage.of("ADC of " + image.getTitle(), adc);
        map.copyScale(image);
        map.setDisplayRange(0, 3);
        map.show();
    }
}
