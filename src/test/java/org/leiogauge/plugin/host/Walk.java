// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.IJ;
import ij.ImageJ;
import ij.ImagePlus;
import ij.WindowManager;
import ij.measure.ResultsTable;
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
import java.util.List;
import javax.imageio.ImageIO;

/** How a person's hand goes through the classic host, and how what is to be seen is kept; knows the host alone. */
abstract class Walk {
    private static final long LONGEST_WAIT_MS = 60_000;

    final Path macros;
    final Path given;
    final Path seen;
    private final Robot robot;

    /**
     * @param macros folder with macros
     * @param given folder with images and study
     * @param seen folder for what was seen
     */
    Walk(Path macros, Path given, Path seen) throws Exception {
        new ImageJ(ImageJ.STANDALONE);
        this.macros = macros;
        this.given = given;
        this.seen = seen;
        this.robot = new Robot();
    }

    abstract void goThrough() throws Exception;

    /** Goes through it all and ends the host. */
    final void walk() throws IOException {
        int code = 1;
        try {
            goThrough();
            code = 0;
        } catch (Exception e) {
            e.printStackTrace();
        } finally {
            write("log.txt", String.valueOf(IJ.getLog()));
            picture("end-of-" + getClass().getSimpleName());
            // the host's own threads would go on
            System.exit(code);
        }
    }

    void pause(int milliseconds) {
        robot.delay(milliseconds);
    }

    void run(String macro, String argument) {
        IJ.runMacroFile(macros.resolve(macro).toString(), argument);
    }

    ImagePlus open(String name) {
        ImagePlus image = IJ.openImage(given.resolve(name).toString());
        image.show();
        image.getWindow().setLocation(20, 160);
        return image;
    }

    // For the picture alone: the menu of plug-ins with ours, the last in it, opened.
    void openMenu() {
        ImageJ host = IJ.getInstance();
        host.setLocation(20, 20);
        pause(300);
        click(host.getLocationOnScreen().x + 320, host.getLocationOnScreen().y + 12);
        type(KeyEvent.VK_UP, KeyEvent.VK_RIGHT);
    }

    void type(int... keys) {
        for (int key : keys) {
            robot.keyPress(key);
            robot.keyRelease(key);
            pause(300);
        }
    }

    void click(int x, int y) {
        robot.mouseMove(x, y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        pause(50);
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        pause(300);
    }

    // Numbers with all digits, as Java writes them.
    void keep(String title, String file) throws IOException {
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

    void closeAll() {
        for (Frame window : WindowManager.getNonImageWindows())
            if (window instanceof ij.text.TextWindow text && text.getTitle().startsWith("Leiogauge "))
                text.close(false);
        for (int id : WindowManager.getIDList() == null ? new int[0] : WindowManager.getIDList()) {
            ImagePlus image = WindowManager.getImage(id);
            image.changes = false;
            image.close();
        }
    }

    Dialog dialog(String title) {
        Dialog[] found = new Dialog[1];
        waitFor(() -> {
            for (Window window : Window.getWindows())
                if (window instanceof Dialog && window.isShowing() && title.equals(((Dialog) window).getTitle()))
                    found[0] = (Dialog) window;
            return found[0] != null;
        });
        pause(500);
        return found[0];
    }

    // The event that a click makes: where a dialog without a window manager lies on the screen is not certain.
    void press(Dialog dialog, String label) {
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
    interface Sign {
        boolean isThere();
    }

    void waitFor(Sign sign) {
        for (long waited = 0; !sign.isThere(); waited += 50) {
            if (waited > LONGEST_WAIT_MS) throw new IllegalStateException("waited in vain; log: " + IJ.getLog());
            pause(50);
        }
    }

    void picture(String name) throws IOException {
        pause(300);
        Rectangle screen = new Rectangle(Toolkit.getDefaultToolkit().getScreenSize());
        ImageIO.write(robot.createScreenCapture(screen), "png", new File(seen.toFile(), name + ".png"));
    }

    void write(String name, String text) throws IOException {
        Files.writeString(seen.resolve(name), text);
    }
}
