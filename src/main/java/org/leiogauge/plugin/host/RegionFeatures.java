// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.ImagePlus;
import ij.gui.GenericDialog;
import ij.gui.Overlay;
import ij.gui.Roi;
import ij.measure.ResultsTable;
import java.awt.Color;
import java.util.List;
import java.util.Map;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings;
import org.leiogauge.feature.StandardFeatures;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The standard's features of the region drawn on the active image's slice, as a table of the host. */
public final class RegionFeatures extends Entry {
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

    @Override
    void run(String argument, ImagePlus image, Workers workers, Progress progress) throws InputException {
        GenericDialog wish = new GenericDialog("Features of the drawn region");
        String[] choices = {SIZE, TEXTURE, ALL};
        wish.addChoice("Families", choices, argument.equals(TEXTURE) ? TEXTURE : SIZE);
        wish.addNumericField("Bins (grey levels)", 32, 0);
        wish.showDialog();
        if (wish.wasCanceled()) return;
        HostImage host = HostImage.of(image, 1);
        Volume slice = host.volume(image.getCurrentSlice(), 1);
        Mask region = host.drawn(0);
        show(StandardFeatures.measure(slice, region, settings(wish), workers, progress));
        mark(image);
    }

    private static Settings settings(GenericDialog wish) throws InputException {
        List<Family> families = FAMILIES.get(wish.getNextChoice());
        double bins = wish.getNextNumber();
        try {
            Settings all = Settings.standard();
            return new Settings(
                    all.dimensions(),
                    all.resegment(),
                    all.resample(),
                    new Settings.Discretise.FixedNumber(Double.isFinite(bins) ? (int) bins : 0),
                    all.intensityVolume(),
                    all.texture(),
                    families);
        } catch (IllegalArgumentException e) {
            throw InputException.refused("Bins", "", e);
        }
    }

    private static void show(List<FeatureValue> values) {
        ResultsTable table = new ResultsTable();
        table.setPrecision(6);
        for (FeatureValue value : values) {
            table.addRow();
            table.addValue("Family", value.definition().group());
            table.addValue("Feature", value.definition().feature());
            table.addValue("Code", value.definition().code());
            table.addValue("Aggregation", value.aggregation().name());
            table.addValue("Value", value.measurement().number().orElse(Double.NaN));
            table.addValue("Unit", value.definition().unit());
            table.addValue("Note", value.measurement().reason());
        }
        table.show("Leiogauge features");
    }

    // What was measured stays marked on its slice.
    private static void mark(ImagePlus image) {
        Roi measured = (Roi) image.getRoi().clone();
        measured.setStrokeColor(new Color(0x2A, 0x9D, 0x8F));
        measured.setPosition(image.getCurrentSlice());
        Overlay overlay = image.getOverlay() == null ? new Overlay() : image.getOverlay();
        overlay.add(measured);
        image.setOverlay(overlay);
    }
}
