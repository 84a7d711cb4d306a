// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImageJ;
import ij.ImagePlus;
import ij.Menus;
import ij.WindowManager;
import ij.measure.ResultsTable;
import ij.plugin.frame.Recorder;
import java.awt.Button;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dialog;
import java.awt.Frame;
import java.awt.Rectangle;
import java.awt.Robot;
import java.awt.Toolkit;
import java.awt.Window;
import java.awt.event.ActionEvent;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import javax.imageio.ImageIO;

/**
 * What a person does in the classic host, by menu, mouse and macro; in a Java of its own that knows the host and no class of
 * ours but those in the dropped jar. Writes what is to be seen after each step into a folder: tables, the log, pictures.
 *
 * <p>Arguments: folder with macros, folder with images and study, folder for what was seen.
 */
public final class HostWalk {
    private static final String TABLE = "Leiogauge features";
    private static final long LONGEST_WAIT_MS = 60_000;

    private final Path macros;
    private final Path given;
    private final Path seen;
    private final Robot robot;

    private HostWalk(Path macros, Path given, Path seen) throws Exception {
        this.macros = macros;
        this.given = given;
        this.seen = seen;
        this.robot = new Robot();
    }

    public static void main(String[] paths) throws Exception {
        new ImageJ(ImageJ.STANDALONE);
        HostWalk walk = new HostWalk(Path.of(paths[0]), Path.of(paths[1]), Path.of(paths[2]));
        int code = 1;
        try {
            walk.menu();
            walk.macros();
            walk.whatIsMissing();
            walk.byDialog();
            code = 0;
        } catch (Exception e) {
            e.printStackTrace();
        } finally {
            walk.write("log.txt", String.valueOf(IJ.getLog()));
            walk.picture("end");
            // the host's own threads would go on
            System.exit(code);
        }
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
        keep("Leiogauge study", "study.csv");
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
        robot.delay(500);
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

    private void run(String macro, String argument) {
        IJ.runMacroFile(macros.resolve(macro).toString(), argument);
    }

    private ImagePlus open(String name) {
        ImagePlus image = IJ.openImage(given.resolve(name).toString());
        image.show();
        image.getWindow().setLocation(20, 160);
        return image;
    }

    // For the picture alone: the menu of plug-ins with ours, the last in it, opened.
    private void openMenu() {
        ImageJ host = IJ.getInstance();
        host.setLocation(20, 20);
        robot.delay(300);
        click(host.getLocationOnScreen().x + 320, host.getLocationOnScreen().y + 12);
        type(KeyEvent.VK_UP, KeyEvent.VK_RIGHT);
    }

    private void type(int... keys) {
        for (int key : keys) {
            robot.keyPress(key);
            robot.keyRelease(key);
            robot.delay(300);
        }
    }

    private void click(int x, int y) {
        robot.mouseMove(x, y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        robot.delay(50);
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        robot.delay(300);
    }

    // Numbers with all digits, as Java writes them.
    private void keep(String title, String file) throws IOException {
        ResultsTable table = ResultsTable.getResultsTable(title);
        if (table == null) throw new IllegalStateException("the host has no table " + title + "; log: " + IJ.getLog());
        String[] columns = table.getHeadings();
        StringBuilder text = new StringBuilder(String.join("\t", columns)).append('\n');
        for (int row = 0; row < table.size(); row++) {
            List<String> cells = new ArrayList<>();
            for (String column : columns) {
                boolean number = List.of("value", "low", "high").contains(column);
                cells.add(number ? Double.toString(table.getValue(column, row)) : table.getStringValue(column, row));
            }
            text.append(String.join("\t", cells)).append('\n');
        }
        write(file, text.toString());
        table.save(seen.resolve("host-" + file).toString());
        Window window = WindowManager.getWindow(title);
        if (window != null) window.setBounds(420, 160, 820, 480);
    }

    private void closeAll() {
        for (String title : List.of(TABLE, "Leiogauge study")) {
            Frame window = WindowManager.getFrame(title);
            if (window instanceof ij.text.TextWindow) ((ij.text.TextWindow) window).close(false);
        }
        for (int id : WindowManager.getIDList() == null ? new int[0] : WindowManager.getIDList()) {
            ImagePlus image = WindowManager.getImage(id);
            image.changes = false;
            image.close();
        }
    }

    private Dialog dialog(String title) {
        Dialog[] found = new Dialog[1];
        waitFor(() -> {
            for (Window window : Window.getWindows())
                if (window instanceof Dialog && window.isShowing() && title.equals(((Dialog) window).getTitle()))
                    found[0] = (Dialog) window;
            return found[0] != null;
        });
        robot.delay(500);
        return found[0];
    }

    // The event that a click makes: where a dialog without a window manager lies on the screen is not certain.
    private void press(Dialog dialog, String label) {
        Button button = button(dialog, label);
        Toolkit.getDefaultToolkit()
                .getSystemEventQueue()
                .postEvent(new ActionEvent(button, ActionEvent.ACTION_PERFORMED, button.getActionCommand()));
        waitFor(() -> !dialog.isShowing());
    }

    private static Button button(Container in, String label) {
        for (Component part : in.getComponents()) {
            if (part instanceof Button && ((Button) part).getLabel().trim().equals(label)) return (Button) part;
            if (part instanceof Container) {
                Button inside = button((Container) part, label);
                if (inside != null) return inside;
            }
        }
        return null;
    }

    @FunctionalInterface
    private interface Sign {
        boolean isThere();
    }

    private void waitFor(Sign sign) {
        for (long waited = 0; !sign.isThere(); waited += 50) {
            if (waited > LONGEST_WAIT_MS) throw new IllegalStateException("waited in vain; log: " + IJ.getLog());
            robot.delay(50);
        }
    }

    private void picture(String name) throws IOException {
        robot.delay(300);
        Rectangle screen = new Rectangle(Toolkit.getDefaultToolkit().getScreenSize());
        ImageIO.write(robot.createScreenCapture(screen), "png", new File(seen.toFile(), name + ".png"));
    }

    private void write(String name, String text) throws IOException {
        Files.writeString(seen.resolve(name), text);
    }
}
