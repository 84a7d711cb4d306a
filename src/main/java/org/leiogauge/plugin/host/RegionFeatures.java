// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.gui.GenericDialog;
import java.util.List;
import java.util.Map;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.ImageAndMask;
import org.leiogauge.table.FeatureFile;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The standard's features of the region drawn on the active image, as a table of the host. */
public final class RegionFeatures extends Entry {
    /** The table's window. */
    static final String TABLE = "Leiogauge features";

    private static final String TEXTURE = "texture";
    private static final String SIZE = "shape and signal";
    private static final String ALL = "all";
    private static final Map<String, List<Family>> FAMILIES = Map.of(
            SIZE,
            List.of(Family.SHAPE, Family.INTENSITY),
            TEXTURE,
            List.of(Family.GLCM, Family.GLRLM, Family.GLSZM, Family.GLDZM, Family.NGTDM, Family.NGLDM),
            ALL,
            List.of(Family.values()));
    private static final String SHOWN = "the one shown";
    private static final String MARKED = "all marked";

    @Override
    void work(String argument, Workers workers, Progress progress) throws InputException {
        ImagePlus image = HostImage.active();
        GenericDialog wish = new GenericDialog("Features of the drawn region");
        wish.addChoice("Families", new String[] {SIZE, TEXTURE, ALL}, argument.equals(TEXTURE) ? TEXTURE : SIZE);
        wish.addNumericField("Bins (grey levels)", 32, 0);
        wish.addChoice("Slices", new String[] {SHOWN, MARKED}, SHOWN);
        wish.showDialog();
        if (wish.wasCanceled()) return;
        Settings settings = settings(wish.getNextChoice(), wish.getNextNumber());
        List<FeatureValue> values = wish.getNextChoice().equals(MARKED)
                ? ofMarked(image, settings, workers, progress)
                : ofShown(image, settings, workers, progress);
        HostTable.show(TABLE, FeatureFile.table(values));
        HostImage.mark(image);
    }

    private static List<FeatureValue> ofShown(ImagePlus image, Settings settings, Workers workers, Progress progress)
            throws InputException {
        HostImage host = HostImage.of(image, 1);
        Mask region = host.drawn(0);
        Volume slice = host.volume(image.getCurrentSlice(), 1);
        return ImageAndMask.features(image.getTitle(), slice, region, settings, workers, progress);
    }

    private static List<FeatureValue> ofMarked(ImagePlus image, Settings settings, Workers workers, Progress progress)
            throws InputException {
        if (image.getNChannels() > 1 || image.getNFrames() > 1)
            throw new InputException(
                    image.getTitle(),
                    "slices",
                    image.getNChannels() + " channels, " + image.getNFrames() + " frames",
                    "a stack of slices alone: take one channel and frame out, then run this again");
        HostImage host = HostImage.of(image, image.getStackSize());
        Mask region = host.marked();
        return ImageAndMask.features(image.getTitle(), host.volume(1, 1), region, settings, workers, progress);
    }

    private static Settings settings(String families, double bins) throws InputException {
        if (!FAMILIES.containsKey(families))
            throw new InputException("Families", "", families, "one of " + List.of(SIZE, TEXTURE, ALL));
        try {
            Settings all = Settings.standard();
            return new Settings(
                    all.dimensions(),
                    all.resegment(),
                    all.resample(),
                    new Settings.Discretise.FixedNumber(bins == Math.rint(bins) ? (int) bins : 0),
                    all.intensityVolume(),
                    all.texture(),
                    FAMILIES.get(families));
        } catch (IllegalArgumentException e) {
            throw InputException.refused("Bins", "", e);
        }
    }
}
