// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.FlatLaf;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.Rectangle;
import java.awt.Robot;
import java.awt.Toolkit;
import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.awt.geom.Point2D;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.FutureTask;
import java.util.function.Predicate;
import javax.imageio.ImageIO;
import javax.swing.AbstractButton;
import javax.swing.JComponent;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.JTable;
import javax.swing.JTextField;
import javax.swing.SwingUtilities;
import javax.swing.text.JTextComponent;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Reads a case as a person would, by mouse and keys, on a screen of its own: draws where the known outline lies, roughly, and
 * places the reference regions where the case file has them. Ends with 0 if all went as it should.
 */
final class DeskRobot {
    private static final int PATIENCE_SECONDS = 300;
    private static final int EVERY_SLICES = 3;
    private static final double SLOPPY = 1.12;

    private final Path demo;
    private final Path shots;
    private final Path export;
    private final Robot robot;
    private DeskWindow window;

    private DeskRobot(Path demo, Path shots, Path export) throws Exception {
        this.demo = demo;
        this.shots = shots;
        this.export = export;
        this.robot = new Robot();
        robot.setAutoDelay(12);
    }

    /** @param arguments folder of the demo case, folder for the work, for the pictures, for the export */
    public static void main(String[] arguments) throws Exception {
        try {
            Path[] at = new Path[arguments.length];
            for (int i = 0; i < at.length; i++) at[i] = Path.of(arguments[i]).toAbsolutePath();
            new DeskRobot(at[0], at[2], at[3]).read(at[1]);
            System.exit(0);
        } catch (Throwable e) {
            e.printStackTrace();
            System.exit(1);
        }
    }

    private void read(Path work) throws Exception {
        Files.createDirectories(shots);
        window = onEventThread(() -> {
            Look.begin();
            DeskWindow opened = new DeskWindow(Optional.of(work), Optional.of("reader-1"), Desk.standards());
            opened.setVisible(true);
            return opened;
        });
        shot("01-no-study");
        onEventThread(() -> {
            window.open(demo.resolve("dicom"));
            return true;
        });
        await(
                "the series are there",
                () -> !window.model().layers().all().isEmpty()
                        && !window.loading().isBusy());
        shot("02-study-open");
        draw(known());
        shot("03-drawn");
        refine();
        correct();
        maps();
        refer();
        impression();
        measure();
        export();
        key(KeyEvent.VK_H);
        await("the keys are shown", DeskRobot::isShowingKeys);
        shot("13-keys");
        key(KeyEvent.VK_ESCAPE);
        await("the keys are gone", () -> !isShowingKeys());
        onEventThread(() -> {
            window.pane(0).requestFocus();
            return true;
        });
        key(KeyEvent.VK_T);
        await("it is light", () -> !FlatLaf.isLafDark());
        shot("14-light");
        openAgain();
    }

    private static boolean isShowingKeys() {
        return Arrays.stream(java.awt.Window.getWindows())
                .anyMatch(one -> one.isShowing()
                        && find(one, part -> "keys".equals(part.getName())).isPresent());
    }

    // ---- steps

    private Mask known() throws Exception {
        Study study = Study.open(demo.resolve("dicom"), Workers.SINGLE, Progress.NONE);
        Outline known = OutlineFile.read(
                demo.resolve("outline-true.dcm"), Optional.of("L1"), study, Workers.SINGLE, Progress.NONE);
        return known.mask();
    }

    /** Round the lesion on every third slice, a little too far out, as a hurried hand does. */
    private void draw(Mask known) throws Exception {
        Grid grid = known.grid();
        List<Contour> contours = MaskContours.of(known);
        int first = contours.stream().mapToInt(c -> slice(grid, c)).min().orElseThrow();
        int last = contours.stream().mapToInt(c -> slice(grid, c)).max().orElseThrow();
        key(KeyEvent.VK_D);
        for (int z = first; z <= last; z += EVERY_SLICES) {
            int slice = z;
            Contour longest = contours.stream()
                    .filter(c -> slice(grid, c) == slice)
                    .max((a, b) -> Integer.compare(a.points().size(), b.points().size()))
                    .orElseThrow();
            goTo(0, longest.points().get(0));
            int before = onEventThread(() ->
                    window.model().lesion().drawing().map(Drawing::changes).orElse(0));
            stroke(0, loop(longest));
            await(
                    "the stroke is drawn",
                    () -> window.model()
                                    .lesion()
                                    .drawing()
                                    .map(Drawing::changes)
                                    .orElse(0)
                            > before);
        }
    }

    private static int slice(Grid grid, Contour contour) {
        return (int) Math.round(grid.index(contour.points().get(0)).z());
    }

    private static List<Point> loop(Contour contour) {
        List<Point> points = contour.points();
        Point middle = points.get(0);
        for (int i = 1; i < points.size(); i++)
            middle = middle.plus(points.get(i).minus(middle).times(1.0 / (i + 1)));
        List<Point> loop = new ArrayList<>();
        int step = Math.max(1, points.size() / 40);
        for (int i = 0; i < points.size(); i += step) {
            Vector out = points.get(i).minus(middle);
            loop.add(middle.plus(out.times(SLOPPY)));
        }
        return loop;
    }

    private void refine() throws Exception {
        key(KeyEvent.VK_R);
        await("a border is found", () -> window.model().lesion().preview().isPresent());
        onDrawing();
        shot("04-border-found");
        key(KeyEvent.VK_ENTER);
        await("it is kept", () -> window.model().lesion().preview().isEmpty());
        require("the lesion has no gaps between slices", () -> {
            Mask region = window.model().lesion().drawing().orElseThrow().region();
            return region.count() > 1000;
        });
        shot("05-border-kept");
    }

    /** A stroke that takes away, one that adds; each refines again by itself. */
    private void correct() throws Exception {
        Mask region = onEventThread(
                () -> window.model().lesion().drawing().orElseThrow().region());
        onDrawing();
        int z = onEventThread(() -> window.model().lightbox().slice(0));
        Contour border = MaskContours.of(region).stream()
                .filter(c -> slice(region.grid(), c) == z)
                .findFirst()
                .orElseThrow();
        Point at = border.points().get(border.points().size() / 2);
        key(KeyEvent.VK_X);
        stroke(0, List.of(at, at.plus(new Vector(2, 0, 0)), at.plus(new Vector(4, 0, 0))));
        await(
                "the correction holds",
                () -> !window.model().lesion().drawing().orElseThrow().removed().isEmpty());
        await(
                "the border is found again",
                () -> window.model().lesion().preview().isPresent());
        shot("06-corrected");
        key(KeyEvent.VK_ENTER);
        await("it is kept", () -> window.model().lesion().preview().isEmpty());
        require("what was taken away is not in it", () -> {
            Drawing drawing = window.model().lesion().drawing().orElseThrow();
            byte[] removed = drawing.removed().voxels();
            byte[] lesion = drawing.region().voxels();
            for (int i = 0; i < lesion.length; i++) if (removed[i] != 0 && lesion[i] != 0) return false;
            return true;
        });
    }

    private void maps() throws Exception {
        key(KeyEvent.VK_Y);
        await(
                "the map of the border is there",
                () -> window.model().layers().shown().size() == 1);
        shot("07-maps");
        onEventThread(() -> {
            window.model().layers().choose(0, Maps.ADC);
            window.model().layers().choose(1, "");
            return true;
        });
        shot("08-adc-over");
        onEventThread(() -> {
            window.model().layers().choose(0, "");
            return true;
        });
    }

    private void refer() throws Exception {
        CaseFile known = CaseFile.read(demo.resolve("case.yaml"));
        int[] keys = {KeyEvent.VK_1, KeyEvent.VK_2, KeyEvent.VK_3, KeyEvent.VK_4};
        for (Tissue tissue : List.of(Tissue.MUSCLE, Tissue.MYOMETRIUM, Tissue.URINE)) {
            Point at = known.references().get(tissue).points().get(0).centre();
            key(keys[tissue.ordinal()]);
            goTo(0, at);
            click(0, at);
            await(tissue + " is placed", () -> window.model().references().all().containsKey(tissue));
        }
        goTo(0, known.references().get(Tissue.MUSCLE).points().get(0).centre());
        shot("09-references");
    }

    private void impression() throws Exception {
        key(KeyEvent.VK_L);
        key(KeyEvent.VK_M);
        require(
                "nothing is measured before the impression",
                () -> !window.work().isBusy()
                        && window.model().message().startsWith("The impression comes before the numbers"));
        key(KeyEvent.VK_I);
        for (String sign : List.of("border", "t2-signal", "enhancement", "diffusion", "concern"))
            press(named(part -> part instanceof AbstractButton
                    && part.getName() != null
                    && part.getName().startsWith(sign + "=")));
        Path kept = window.session().folder().orElseThrow().caseFile();
        await("what was said is kept before it is locked", () -> isDraftIn(kept));
        shot("10-impression");
        press(named(part -> "lock".equals(part.getName())));
        await(
                "the impression is locked",
                () -> window.model().caseFile().impression().size() == 1);
        // back to the images
        key(KeyEvent.VK_ESCAPE);
    }

    private static boolean isDraftIn(Path file) {
        try {
            return Files.exists(file)
                    && CaseFile.read(file)
                            .draft()
                            .flatMap(CaseFile.Impression::concern)
                            .isPresent();
        } catch (org.leiogauge.task.InputException e) {
            throw new IllegalStateException(e);
        }
    }

    /** The same study once more: outline, impression and numbers are there as they were. */
    private void openAgain() throws Exception {
        onEventThread(() -> {
            window.open(demo.resolve("dicom"));
            return true;
        });
        await("another is not measured", () -> !window.reading().isMeasured());
        await("the numbers are there again", () -> window.reading().isMeasured());
        await("all is read", () -> !window.loading().isBusy() && !window.work().isBusy());
        require("who drew it, and when, is kept", () -> {
            CaseFile.Drawn drawn = window.model().caseFile().outline().orElseThrow();
            return drawn.reader().equals(Optional.of("reader-1"))
                    && drawn.drawn().isPresent();
        });
        onDrawing();
        shot("15-again");
    }

    private void measure() throws Exception {
        key(KeyEvent.VK_M);
        await("measuring", () -> window.work().isBusy());
        shot("11-measuring");
        await("the numbers are there", () -> window.reading().isMeasured());
        onDrawing();
        shot("12-numbers");
        onEventThread(() -> {
            window.model().layers().choose(0, Maps.PARTS);
            return true;
        });
        await(
                "the measured parts are shown",
                () -> !window.model().layers().shown().isEmpty());
        shot("12-parts");
        onEventThread(() -> {
            window.model().layers().choose(0, "");
            return true;
        });
        clickValue("longest diameter");
        shot("12-value");
        String words = readOff("longest diameter:");
        Path table = window.session().folder().orElseThrow().result().resolve("features.csv");
        double inTable = LesionTable.readTidy(table).stream()
                .filter(row -> row.value().definition().feature().equals("longest diameter"))
                .mapToDouble(row -> row.value().measurement().number().orElseThrow())
                .findFirst()
                .orElseThrow();
        // what stands in the window is rounded
        boolean isSame = Arrays.stream(words.split("[^0-9.]+"))
                .filter(part -> part.matches("[0-9]+([.][0-9]+)?"))
                .mapToDouble(Double::parseDouble)
                .anyMatch(number -> Math.abs(number - inTable) < 0.005 * inTable);
        if (!isSame) throw new IllegalStateException("the table has " + inTable + ", the window: " + words);
        System.out.println("read off the window: " + words);
    }

    /** Chooses a line of the table of values, scrolling it into sight first. */
    private void clickValue(String name) throws Exception {
        java.awt.Point at = onEventThread(() -> {
            JTable table = (JTable) find(window.reading().component(), part -> part instanceof JTable)
                    .orElseThrow();
            int row = 0;
            while (!name.equals(table.getValueAt(row, 0))) row++;
            Rectangle cell = table.getCellRect(row, 0, true);
            table.scrollRectToVisible(cell);
            ((JComponent) table.getParent().getParent())
                    .scrollRectToVisible(
                            new Rectangle(0, 0, 10, table.getParent().getHeight()));
            java.awt.Point corner = table.getLocationOnScreen();
            return new java.awt.Point(corner.x + 10, corner.y + cell.y + cell.height / 2);
        });
        robot.mouseMove(at.x, at.y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        robot.waitForIdle();
    }

    /** The words of a label, as they stand in the window. */
    private String readOff(String words) throws Exception {
        return onEventThread(() -> {
            List<String> found = new ArrayList<>();
            texts(window.reading().component(), found);
            return found.stream()
                    .filter(text -> text.contains(words))
                    .findFirst()
                    .orElseThrow(() ->
                            new IllegalStateException("none of " + found.size() + " texts has " + words + " in it"));
        });
    }

    private static void texts(Component part, List<String> found) {
        if (part instanceof JLabel label && label.getText() != null) found.add(label.getText());
        if (part instanceof JTextComponent text) found.add(text.getText());
        if (part instanceof Container container) for (Component one : container.getComponents()) texts(one, found);
    }

    private void export() throws Exception {
        key(KeyEvent.VK_S);
        await("the folder is asked for", () -> chooser().isPresent());
        JTextField field =
                onEventThread(() -> (JTextField) find(chooser().orElseThrow(), part -> part instanceof JTextField)
                        .orElseThrow());
        onEventThread(() -> {
            field.setText(export.toString());
            field.requestFocusInWindow();
            return true;
        });
        key(KeyEvent.VK_ENTER);
        await("the report is exported", () -> Files.isRegularFile(export.resolve("features.csv")));
    }

    private static Optional<JFileChooser> chooser() {
        for (java.awt.Window open : java.awt.Window.getWindows()) {
            Optional<Component> found =
                    open.isShowing() ? find(open, part -> part instanceof JFileChooser) : Optional.empty();
            if (found.isPresent()) return found.map(JFileChooser.class::cast);
        }
        return Optional.empty();
    }

    // ---- hands and eyes

    /** Scrolls with the arrow keys until the slice of a place is shown. */
    private void goTo(int slot, Point point) throws Exception {
        onEventThread(() -> {
            window.model().lightbox().activate(slot);
            return true;
        });
        for (int tries = 0; tries < 200; tries++) {
            int away = onEventThread(() -> (int) Math.round(window.model()
                            .lightbox()
                            .picture(slot)
                            .orElseThrow()
                            .grid()
                            .index(point)
                            .z())
                    - window.model().lightbox().slice(slot));
            if (away == 0) return;
            key(away > 0 ? KeyEvent.VK_DOWN : KeyEvent.VK_UP);
        }
        throw new IllegalStateException("the slice of " + point + " was not reached");
    }

    private void onDrawing() throws Exception {
        Point middle = onEventThread(() -> {
            Drawing drawing = window.model().lesion().drawing().orElseThrow();
            int z = drawing.largestSlice().orElseThrow();
            Index at = drawing.grid().index(window.model().lightbox().cursor());
            return drawing.grid().point(at.x(), at.y(), z);
        });
        goTo(0, middle);
    }

    private java.awt.Point onScreen(int slot, Point point) throws Exception {
        return onEventThread(() -> {
            SeriesPane pane = window.pane(slot);
            Point2D.Double at = pane.view().orElseThrow().pane(point);
            java.awt.Point corner = pane.getLocationOnScreen();
            return new java.awt.Point((int) Math.round(corner.x + at.x), (int) Math.round(corner.y + at.y));
        });
    }

    private void stroke(int slot, List<Point> path) throws Exception {
        java.awt.Point start = onScreen(slot, path.get(0));
        robot.mouseMove(start.x, start.y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        for (Point point : path) {
            java.awt.Point at = onScreen(slot, point);
            robot.mouseMove(at.x, at.y);
        }
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        robot.waitForIdle();
    }

    private void click(int slot, Point point) throws Exception {
        stroke(slot, List.of(point));
    }

    private void key(int code) throws Exception {
        robot.keyPress(code);
        robot.keyRelease(code);
        robot.waitForIdle();
    }

    /** Presses a button as a mouse does, scrolling it into sight first. */
    private void press(Component button) throws Exception {
        java.awt.Point at = onEventThread(() -> {
            ((JComponent) button).scrollRectToVisible(new Rectangle(0, 0, button.getWidth(), button.getHeight()));
            window.validate();
            java.awt.Point corner = button.getLocationOnScreen();
            return new java.awt.Point(
                    corner.x + Math.min(12, button.getWidth() / 2), corner.y + button.getHeight() / 2);
        });
        robot.mouseMove(at.x, at.y);
        robot.mousePress(InputEvent.BUTTON1_DOWN_MASK);
        robot.mouseRelease(InputEvent.BUTTON1_DOWN_MASK);
        robot.waitForIdle();
    }

    private Component named(Predicate<Component> wanted) throws Exception {
        return onEventThread(() -> find(window.reading().component(), wanted)
                .orElseThrow(() -> new IllegalStateException("no such part of the window")));
    }

    private static Optional<Component> find(Component in, Predicate<Component> wanted) {
        if (wanted.test(in)) return Optional.of(in);
        if (in instanceof Container container)
            for (Component part : container.getComponents()) {
                Optional<Component> found = find(part, wanted);
                if (found.isPresent()) return found;
            }
        return Optional.empty();
    }

    private void shot(String name) throws IOException {
        robot.waitForIdle();
        robot.delay(400);
        Dimension screen = Toolkit.getDefaultToolkit().getScreenSize();
        ImageIO.write(
                robot.createScreenCapture(new Rectangle(screen)),
                "png",
                shots.resolve(name + ".png").toFile());
        System.out.println(name + ": " + window.model().message());
    }

    private void require(String what, Callable<Boolean> holds) throws Exception {
        if (!onEventThread(holds))
            throw new IllegalStateException(
                    "not so: " + what + "; the window says: " + window.model().message());
    }

    private void await(String what, Callable<Boolean> holds) throws Exception {
        for (int tries = 0; tries < 10 * PATIENCE_SECONDS; tries++) {
            if (onEventThread(holds)) return;
            robot.delay(100);
        }
        shot("failed");
        throw new IllegalStateException("waited in vain: " + what + "; the window says: "
                + window.model().message());
    }

    private static <T> T onEventThread(Callable<T> what) throws Exception {
        FutureTask<T> task = new FutureTask<>(what);
        SwingUtilities.invokeLater(task);
        return task.get();
    }
}
