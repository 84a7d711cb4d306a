// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.gui.GenericDialog;
import java.awt.Label;
import java.io.File;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.plugin.Job;
import org.leiogauge.task.InputException;
import org.scijava.Context;
import org.scijava.ItemVisibility;
import org.scijava.command.CommandModule;
import org.scijava.module.ModuleItem;
import org.scijava.service.Service;

/** The inputs of a command as a dialog of the host, in their order, with their labels, choices and defaults. */
final class StepDialog {
    private static final int WIDTH = 34;
    private static final int DIGITS = 2;

    private final CommandModule module;
    private final Drawn drawn;
    private final List<ModuleItem<?>> asked = new ArrayList<>();
    private final GenericDialog dialog;

    private StepDialog(CommandModule module, Drawn drawn) {
        this.module = module;
        this.drawn = drawn;
        String title = module.getInfo().getMenuPath().getLeaf().getName();
        this.dialog = new GenericDialog(title.replace("...", ""));
    }

    /**
     * What was answered.
     *
     * @param inputs the command's inputs by name, without those left out
     * @param temporary files that hold what is drawn, no longer needed after the command
     */
    record Answer(Map<String, Object> inputs, List<TemporaryFile> temporary) implements AutoCloseable {
        @Override
        public void close() throws IOException {
            for (TemporaryFile file : temporary) file.close();
        }
    }

    /** Asks, or takes the macro's options; nothing if the reader closed the dialog. */
    static Optional<Answer> ask(CommandModule module, Drawn drawn) throws InputException, IOException {
        StepDialog step = new StepDialog(module, drawn);
        StringBuilder help = new StringBuilder("<html>");
        for (ModuleItem<?> item : module.getInfo().inputs()) {
            if (Service.class.isAssignableFrom(item.getType()) || item.getType() == Context.class) continue;
            step.add(item);
            if (item.getDescription() != null)
                help.append("<b>")
                        .append(item.getLabel())
                        .append("</b>: ")
                        .append(item.getDescription())
                        .append("<br>");
        }
        step.dialog.addHelp(help.toString());
        step.show();
        return step.dialog.wasCanceled() ? Optional.empty() : Optional.of(step.answer());
    }

    private void show() {
        if (!module.getInfo().canPreview()) {
            dialog.showDialog();
            return;
        }
        dialog.addCheckbox("Preview", false);
        try (StepPreview preview = new StepPreview(module, drawn, this::fields, (Label) dialog.getMessage())) {
            dialog.addDialogListener(preview);
            dialog.showDialog();
        }
    }

    // As they stand: what cannot be read is said when the dialog is closed.
    private Map<String, Object> fields() {
        Map<String, Object> fields = new HashMap<>();
        for (ModuleItem<?> item : asked) {
            Object given = item.getValue(module);
            try {
                boolean file = item.getType() == File.class || item.getType() == File[].class;
                fields.put(item.getName(), value(item, Optional.empty()).orElse(file ? null : empty(given)));
            } catch (InputException | IOException e) {
                fields.put(item.getName(), given);
            }
        }
        return fields;
    }

    private static Object empty(Object given) {
        return given instanceof String ? "" : given;
    }

    private void add(ModuleItem<?> item) {
        Object given = item.getValue(module);
        if (item.getVisibility() == ItemVisibility.MESSAGE) {
            dialog.addMessage(String.valueOf(given));
            return;
        }
        asked.add(item);
        String label = item.getLabel();
        if (item.getChoices() != null && !item.getChoices().isEmpty())
            dialog.addChoice(
                    label,
                    item.getChoices().stream().map(String::valueOf).toArray(String[]::new),
                    String.valueOf(given));
        else if (given instanceof Number number)
            dialog.addNumericField(label, number.doubleValue(), given instanceof Integer ? 0 : DIGITS);
        else if (given instanceof Boolean yes) dialog.addCheckbox(label, yes);
        else if (item.getType() != File.class) dialog.addStringField(label, text(item, given), WIDTH);
        else if ("directory".equals(item.getWidgetStyle())) dialog.addDirectoryField(label, text(item, given), WIDTH);
        else dialog.addFileField(label, text(item, given), WIDTH);
    }

    private String text(ModuleItem<?> item, Object given) {
        Optional<String> offered =
                item.getName().equals(Drawn.STUDY) ? drawn.study() : drawn.offer(item.get(Job.DRAWN));
        return offered.orElse(given == null ? "" : given.toString());
    }

    private Answer answer() throws InputException, IOException {
        Answer answer = new Answer(new HashMap<>(), new ArrayList<>());
        try {
            for (ModuleItem<?> item : asked) {
                Optional<Object> value = value(item, Optional.of(answer));
                value.ifPresent(one -> answer.inputs().put(item.getName(), one));
                if (value.isEmpty() && item.isRequired())
                    throw new InputException(dialog.getTitle(), item.getLabel(), "nothing", "what it asks for");
            }
            return answer;
        } catch (InputException | IOException | RuntimeException e) {
            answer.close();
            throw e;
        }
    }

    // Without an answer to leave a file in, a drawn region is none.
    private Optional<Object> value(ModuleItem<?> item, Optional<Answer> answer) throws InputException, IOException {
        Object given = item.getValue(module);
        if (item.getChoices() != null && !item.getChoices().isEmpty()) return Optional.of(dialog.getNextChoice());
        if (given instanceof Number) return Optional.of(number(item, given instanceof Integer));
        if (given instanceof Boolean) return Optional.of(dialog.getNextBoolean());
        String text = dialog.getNextString().trim();
        if (text.isEmpty()) return Optional.empty();
        if (text.equals(Drawn.WORD) && item.get(Job.DRAWN) != null) return drawn(item, answer);
        if (item.getType() == File.class) return Optional.of(new File(text));
        if (item.getType() == File[].class)
            return Optional.of(
                    Arrays.stream(text.split("\\s*;\\s*")).map(File::new).toArray(File[]::new));
        return Optional.of(text);
    }

    private Optional<Object> drawn(ModuleItem<?> item, Optional<Answer> answer) throws InputException, IOException {
        if (!item.get(Job.DRAWN).equals(Job.DRAWN_REGION)) return Optional.of(drawn.words(item.get(Job.DRAWN)));
        if (answer.isEmpty()) return Optional.empty();
        TemporaryFile file = drawn.region();
        answer.get().temporary().add(file);
        return Optional.of(file.path().toFile());
    }

    private Object number(ModuleItem<?> item, boolean whole) throws InputException {
        double number = dialog.getNextNumber();
        Object least = item.getMinimumValue();
        if (dialog.invalidNumber() || !Double.isFinite(number) || whole && number != Math.rint(number))
            throw new InputException(
                    dialog.getTitle(), item.getLabel(), "no number", whole ? "a whole number" : "a number");
        if (least instanceof Number limit && number < limit.doubleValue())
            throw new InputException(dialog.getTitle(), item.getLabel(), "" + number, limit + " or more");
        if (whole) return (int) number;
        return number;
    }
}
