// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImagePlus;
import ij.Menus;
import ij.measure.ResultsTable;
import ij.plugin.frame.Recorder;
import java.awt.Dialog;
import java.awt.event.KeyEvent;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;

/**
 * What a person does in the classic host, by menu, mouse and macro; in a Java of its own that knows the host and no class of
 * ours but those in the dropped jar. Writes what is to be seen after each step into a folder: tables, the log, pictures.
 *
 * <p>Arguments: folder with macros, folder with images and study, folder for what was seen.
 */
public final class HostWalk extends Walk {
    private static final String TABLE = "Leiogauge features";

    private HostWalk(Path macros, Path given, Path seen) throws Exception {
        super(macros, given, seen);
    }

    public static void main(String[] paths) throws Exception {
        new HostWalk(Path.of(paths[0]), Path.of(paths[1]), Path.of(paths[2])).walk();
    }

    @Override
    void goThrough() throws Exception {
        menu();
        macros();
        whatIsMissing();
        byDialog();
    }

    private void menu() throws IOException {
        StringBuilder found = new StringBuilder();
        Map<?, ?> commands = Menus.getCommands();
        commands.forEach((label, target) -> {
            if (String.valueOf(target).startsWith("org.leiogauge."))
                found.append(label).append('\n');
        });
        write("menu.txt", found.toString());
    }

    private void macros() throws Exception {
        ImagePlus lesion = open("lesion.tif");
        run("measure-active-image.ijm", "");
        keep(TABLE, "measure.csv");
        write(
                "overlay.txt",
                lesion.getOverlay().size() + " on slice "
                        + lesion.getOverlay().get(0).getPosition());
        run("texture-of-drawn-region.ijm", "");
        keep(TABLE, "texture.csv");
        while (lesion.getCanvas().getMagnification() * lesion.getWidth() < 340) IJ.run(lesion, "In [+]", "");
        openMenu();
        picture("texture");
        type(KeyEvent.VK_ESCAPE, KeyEvent.VK_ESCAPE);
        closeAll();
        open("stack.tif");
        IJ.run("Measure Drawn Region...", "families=[shape and signal] bins=32 slices=[all marked]");
        keep(TABLE, "marked.csv");
        closeAll();
        open("diffusion.tif");
        run("adc-of-stack.ijm", "0,400,800");
        IJ.saveAsTiff(IJ.getImage(), seen.resolve("adc.tif").toString());
        closeAll();
        run("batch-over-folder.ijm", given.resolve("batch").toString());
        run(
                "measure-study.ijm",
                given.resolve("study") + "," + given.resolve("outline.dcm") + ",lesion," + seen.resolve("measured"));
        keep("Leiogauge feature table", "study.csv");
        closeAll();
    }

    private void whatIsMissing() throws Exception {
        closeAll();
        run("measure-active-image.ijm", "");
        for (String name : List.of("no-region.tif", "no-unit.tif", "colours.tif")) {
            ImagePlus image = open(name);
            run("measure-active-image.ijm", "");
            write(name + ".txt", image.isVisible() + " " + (image.getRoi() != null) + " " + image.changes);
            closeAll();
        }
        open("diffusion.tif");
        run("adc-of-stack.ijm", "0,800");
        closeAll();
    }

    // With the recorder open, from the menu's entry to the dialog's button; then what was recorded is run.
    private void byDialog() throws Exception {
        Recorder recorder = new Recorder();
        open("lesion.tif");
        IJ.doCommand("Measure Drawn Region...");
        press(dialog("Features of the drawn region"), "OK");
        waitFor(() -> ResultsTable.getResultsTable(TABLE) != null);
        pause(500);
        picture("recorded");
        keep(TABLE, "by-dialog.csv");
        String text = recorder.getText();
        String line = Arrays.stream(text.split("\n"))
                .filter(one -> one.contains("Measure Drawn Region"))
                .findFirst()
                .orElse("");
        write("recorded.txt", line);
        Recorder.record = false;
        closeAll();
        open("lesion.tif");
        IJ.runMacro(line);
        keep(TABLE, "recorded.csv");
        closeAll();
        open("no-unit.tif");
        IJ.doCommand("Measure Drawn Region...");
        press(dialog("Features of the drawn region"), "OK");
        Dialog message = dialog("Leiogauge");
        picture("no-unit");
        press(message, "OK");
    }
}
