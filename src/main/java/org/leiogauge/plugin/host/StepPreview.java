// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import ij.gui.DialogListener;
import ij.gui.GenericDialog;
import ij.gui.Overlay;
import java.awt.AWTEvent;
import java.awt.EventQueue;
import java.awt.Label;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Supplier;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.scijava.command.CommandModule;
import org.scijava.module.ModuleItem;

/**
 * Shows, while a dialog is open, what would come of it: in words in the dialog, a region as an overlay, an image as an image of its
 * own. Worked out beside the thread that paints; of several wishes the last counts. When closed, all is as it was before.
 */
final class StepPreview implements DialogListener, AutoCloseable {
    private final CommandModule module;
    private final Drawn drawn;
    private final Supplier<Map<String, Object>> fields;
    private final Label words;
    private final AtomicReference<Map<String, Object>> wish = new AtomicReference<>();
    private final ExecutorService beside = Executors.newSingleThreadExecutor();
    private final PreviewImage own = new PreviewImage((shown, next) -> shown.setStack(next.getStack()));
    private Optional<Shown> over = Optional.empty();
    private boolean closed;

    /** The overlay that an image had. */
    private record Shown(ImagePlus image, Overlay before) {}

    /**
     * @param fields what the dialog's fields say now, without those that need what is drawn
     * @param words where it is said what would come of it
     */
    StepPreview(CommandModule module, Drawn drawn, Supplier<Map<String, Object>> fields, Label words) {
        this.module = module;
        this.drawn = drawn;
        this.fields = fields;
        this.words = words;
    }

    @Override
    public boolean dialogItemChanged(GenericDialog dialog, AWTEvent event) {
        // read in any case: without an event the host records what is read
        Map<String, Object> now = fields.get();
        if (event != null && dialog.getNextBoolean() && wish.getAndSet(now) == null) beside.execute(this::foresee);
        return true;
    }

    private void foresee() {
        Map<String, Object> now = wish.getAndSet(null);
        for (ModuleItem<?> item : module.getInfo().inputs())
            if (now.containsKey(item.getName())) module.setInput(item.getName(), now.get(item.getName()));
        module.preview();
        EventQueue.invokeLater(this::show);
    }

    private void show() {
        if (closed) return;
        words.setText(String.valueOf(module.getInput("note")));
        ((GenericDialog) words.getParent()).pack();
        Optional<Mask> region = Optional.empty();
        for (ModuleItem<?> item : module.getInfo().outputs()) {
            Object value = item.getValue(module);
            if (value instanceof Volume volume && drawn.imageOn(volume.grid()).isEmpty())
                own.show(HostImage.of(item.getLabel(), volume));
            if (value instanceof Mask mask) region = Optional.of(mask);
        }
        region.ifPresent(mask -> drawn.imageOn(mask.grid()).or(own::shown).ifPresent(image -> mark(image, mask)));
    }

    private void mark(ImagePlus image, Mask mask) {
        if (over.isEmpty()) over = Optional.of(new Shown(image, image.getOverlay()));
        HostImage.mark(image, mask);
    }

    @Override
    public void close() {
        closed = true;
        beside.shutdown();
        module.cancel();
        over.ifPresent(shown -> shown.image().setOverlay(shown.before()));
        own.close();
        IJ.showProgress(1.0);
    }
}
