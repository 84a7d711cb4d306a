// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import java.io.File;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.table.CsvTable;
import org.scijava.ItemVisibility;
import org.scijava.module.Module;
import org.scijava.module.ModuleItem;

/**
 * The outputs of a command: a table as the host's table, an image as the host's image, a region as an overlay of the image that
 * it lies on, all else in the log.
 */
final class StepResults {
    private final Drawn drawn;
    private final Optional<String> study;
    private Optional<ImagePlus> last = Optional.empty();

    private StepResults(Drawn drawn, Optional<String> study) {
        this.drawn = drawn;
        this.study = study;
    }

    static void show(Module module, Drawn drawn) {
        Object folder = module.getInputs().get(Drawn.STUDY);
        StepResults results =
                new StepResults(drawn, folder instanceof File file ? Optional.of(file.getPath()) : Optional.empty());
        for (ModuleItem<?> item : module.getInfo().outputs()) {
            Object value = item.getValue(module);
            if (value != null && !value.equals("") && item.getVisibility() != ItemVisibility.INVISIBLE)
                results.show(item.getLabel(), value);
        }
    }

    private void show(String label, Object value) {
        if (value instanceof CsvTable table) HostTable.show("Leiogauge " + label.toLowerCase(Locale.ROOT), table);
        else if (value instanceof Volume volume) image(label, volume);
        else if (value instanceof Mask mask) region(label, mask);
        else IJ.log("Leiogauge: " + label + ": " + value);
    }

    private ImagePlus image(String title, Volume volume) {
        ImagePlus image = HostImage.of(title, volume);
        PatientSpace.put(image, volume.grid(), study);
        image.show();
        last = Optional.of(image);
        return image;
    }

    // Over what was shown just before, or over the active image; where neither lies on its grid, as an image of its
    // own.
    private void region(String title, Mask mask) {
        Optional<ImagePlus> under = last.filter(image -> PatientSpace.of(image).equals(Optional.of(mask.grid())))
                .or(() -> drawn.imageOn(mask.grid()));
        ImagePlus image = under.orElseGet(() -> image(title, mask.asVolume()));
        image.deleteRoi();
        HostImage.mark(image, mask);
    }
}
