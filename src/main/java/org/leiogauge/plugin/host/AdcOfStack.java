// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.ImageStack;
import ij.gui.GenericDialog;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
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
    void run(String argument, ImagePlus image, Workers workers, Progress progress) throws InputException {
        GenericDialog wish = new GenericDialog("ADC map of the stack");
        wish.addStringField("B-values (s/mm2)", "0,800", 20);
        wish.addNumericField("Lowest b-value used (s/mm2)", 0, 0);
        wish.showDialog();
        if (wish.wasCanceled()) return;
        List<Double> bValues = numbers(wish.getNextString());
        double lowest = wish.getNextNumber();
        boolean frames = image.getNFrames() > 1;
        int count = frames ? image.getNFrames() : image.getStackSize();
        int slices = frames ? image.getNSlices() : 1;
        check(image, bValues, lowest, count);
        HostImage host = HostImage.of(image, slices);
        List<AdcFit.Weighted> series = new ArrayList<>();
        int channels = image.getNChannels();
        for (int i = 0; i < count; i++)
            series.add(new AdcFit.Weighted(
                    bValues.get(i),
                    frames ? host.volume(image.getStackIndex(1, 1, i + 1), channels) : host.volume(i + 1, 1)));
        progress.at(0.3);
        AdcFit.Settings standard = AdcFit.Settings.standard();
        AdcFit.Settings settings =
                new AdcFit.Settings(standard.method(), lowest, standard.highestB(), standard.noise(), standard.floor());
        show(image, AdcFit.fit(series, settings, workers).adc());
    }

    private static void check(ImagePlus image, List<Double> bValues, double lowest, int count) throws InputException {
        if (bValues.size() != count)
            throw new InputException(
                    image.getTitle(), "b-values", bValues.size() + " given", "one per image, " + count);
        if (!(lowest >= 0
                && bValues.stream().filter(b -> b >= lowest).distinct().count() > 1))
            throw new InputException(image.getTitle(), "b-values", "fewer than two to use", "two or more that differ");
    }

    private static List<Double> numbers(String text) throws InputException {
        try {
            List<Double> numbers = Arrays.stream(text.trim().split("\\s*[,;]\\s*|\\s+"))
                    .map(Double::valueOf)
                    .toList();
            if (numbers.stream().allMatch(b -> b >= 0 && b < Double.POSITIVE_INFINITY)) return numbers;
        } catch (NumberFormatException e) {
            // said below
        }
        throw new InputException("b-values", "", text, "numbers of 0 or more, as 0,400,1000");
    }

    private static void show(ImagePlus image, Volume adc) {
        Size size = adc.grid().size();
        ImageStack stack = new ImageStack(size.x(), size.y());
        int plane = size.x() * size.y();
        for (int z = 0; z < size.z(); z++)
            stack.addSlice("10^-3 mm2/s", Arrays.copyOfRange(adc.voxels(), z * plane, (z + 1) * plane));
        ImagePlus map = new ImagePlus("ADC of " + image.getTitle(), stack);
        map.copyScale(image);
        map.setDisplayRange(0, 3);
        map.show();
    }
}
