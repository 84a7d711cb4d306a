// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BorderLayout;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.GraphicsEnvironment;
import java.awt.Rectangle;
import java.awt.Window;
import java.awt.event.ActionEvent;
import java.awt.event.WindowAdapter;
import java.awt.event.WindowEvent;
import java.io.File;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import javax.swing.AbstractAction;
import javax.swing.BorderFactory;
import javax.swing.JComponent;
import javax.swing.JFileChooser;
import javax.swing.JFrame;
import javax.swing.JLabel;
import javax.swing.JOptionPane;
import javax.swing.JPanel;
import javax.swing.JRootPane;
import javax.swing.JScrollPane;
import javax.swing.KeyStroke;
import javax.swing.ScrollPaneConstants;
import javax.swing.SwingUtilities;
import net.miginfocom.swing.MigLayout;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.task.Workers;

/** The reading window: what is to be done on the left, the images, what is said of them on the right. */
final class DeskWindow extends JFrame {
    private static final long serialVersionUID = 1L;
    private static final String TITLE = "Leiogauge desk";

    private final transient DeskModel model = new DeskModel();
    private final transient Lightbox lightbox = model.lightbox();
    private final transient Strokes strokes = new Strokes(model);
    private final transient Workers workers = Workers.of(Runtime.getRuntime().availableProcessors());
    private final transient Background loading = new Background();
    private final transient Background work = new Background();
    private final transient Session session;
    private final transient Reading reading;
    private final transient Optional<Path> named;
    private final transient DeskActions actions;
    private final JPanel middle = new JPanel(new BorderLayout());
    private final JLabel caseName = new JLabel(" ");
    private final MessageStrip below = new MessageStrip(model, work, loading);
    private transient Optional<ImageBoard> board = Optional.empty();
    private int ledBy;

    /**
     * @param named where the work on a case goes; none: beside its study
     * @param reader who reads, as the case file is to say
     */
    DeskWindow(Optional<Path> named, Optional<String> reader, Standards standards) {
        super(TITLE);
        this.named = named;
        this.session = new Session(model, reader, loading, work, workers);
        this.reading = new Reading(model, session, work, workers, standards);
        this.actions = new DeskActions(model, this);
        setDefaultCloseOperation(DO_NOTHING_ON_CLOSE);
        addWindowListener(new Closing());
        build();
        keys(getRootPane());
        model.listen(this::follow);
        setBounds(allOfTheScreen());
        middle.add(new NoStudyPanel(this::chooseStudy));
    }

    DeskModel model() {
        return model;
    }

    Strokes strokes() {
        return strokes;
    }

    Session session() {
        return session;
    }

    Reading reading() {
        return reading;
    }

    /** What is being done, and a way to stop it. */
    Background work() {
        return work;
    }

    Background loading() {
        return loading;
    }

    private static Rectangle allOfTheScreen() {
        Rectangle screen = GraphicsEnvironment.getLocalGraphicsEnvironment().getMaximumWindowBounds();
        return new Rectangle(screen.x, screen.y, screen.width, screen.height);
    }

    private void build() {
        JPanel all = new JPanel(new MigLayout(
                "insets 0, gap 0, fill, hidemode 3",
                "[212!, fill][grow, fill, 200:2000:, shrinkprio 200][280:25%:460, fill]",
                "[grow, fill, 150::][]"));
        JPanel left =
                new JPanel(new MigLayout("insets 0, gap 0, wrap 1, fill", "[fill, grow]", "[][grow, fill, 60::]"));
        caseName.setName("case");
        caseName.setFont(
                caseName.getFont().deriveFont(Font.BOLD, caseName.getFont().getSize2D() * 1.15f));
        left.add(caseName, "gapleft 8, gaptop 8, gapbottom 2, wmin 0");
        JScrollPane steps = new JScrollPane(
                new StepsColumn(model, actions.all(), actions.hands(), actions.tissues()),
                ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED,
                ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
        steps.setBorder(BorderFactory.createEmptyBorder());
        left.add(steps, "wmin 0");
        all.add(left, "cell 0 0");
        all.add(middle, "cell 1 0, grow");
        all.add(reading.component(), "cell 2 0, grow, hmin 100");
        all.add(below, "cell 0 1 3 1, growx");
        setContentPane(all);
        setMinimumSize(new Dimension(UIScale.scale(860), UIScale.scale(520)));
    }

    /** Keys act wherever the focus is, but where it is in a text. */
    private void keys(JRootPane root) {
        for (KeyAction action : actions.all()) {
            KeyStroke stroke = KeyStroke.getKeyStroke(action.stroke());
            if (stroke == null) throw new IllegalStateException("no such key: " + action.stroke());
            root.getInputMap(JComponent.WHEN_IN_FOCUSED_WINDOW).put(stroke, action);
            root.getActionMap().put(action, new AbstractAction() {
                private static final long serialVersionUID = 1L;

                @Override
                public void actionPerformed(ActionEvent event) {
                    action.action().run();
                    repaint();
                }
            });
        }
    }

    private void follow() {
        if (board.isPresent() && ledBy != lightbox.lead()) {
            ledBy = lightbox.lead();
            board.get().revalidate();
        }
        below.follow();
        caseName.setText(StateWords.caseAndLesion(model));
        middle.repaint();
    }

    // ---- studies

    void open(Path study) {
        reading.leaving();
        session.open(study, named, reading::read, this::opened);
        model.say("");
    }

    private void opened(ReadingFolder folder) {
        ImageBoard fresh = new ImageBoard(model, strokes);
        ledBy = lightbox.lead();
        board = Optional.of(fresh);
        middle.removeAll();
        middle.add(fresh);
        middle.revalidate();
        reading.opened(folder);
        fresh.pane(0).requestFocusInWindow();
    }

    void chooseStudy() {
        choose("Open a study", true, Optional.empty()).ifPresent(this::open);
    }

    void chooseOutline() {
        if (model.study().isEmpty()) {
            model.say("Open a study first.");
            return;
        }
        choose("Open an outline: RTSTRUCT, DICOM segmentation or NIfTI mask", false, Optional.empty())
                .ifPresent(session::openOutline);
    }

    private Optional<Path> choose(String title, boolean folder, Optional<Path> proposed) {
        JFileChooser chooser =
                new JFileChooser(model.folder().map(Path::toFile).orElse(new File(System.getProperty("user.dir"))));
        chooser.setDialogTitle(title);
        proposed.map(Path::toFile).ifPresent(chooser::setSelectedFile);
        chooser.setFileSelectionMode(folder ? JFileChooser.DIRECTORIES_ONLY : JFileChooser.FILES_ONLY);
        boolean isChosen = chooser.showOpenDialog(this) == JFileChooser.APPROVE_OPTION;
        board.ifPresent(all -> all.pane(lightbox.active()).requestFocus());
        return isChosen ? Optional.of(chooser.getSelectedFile().toPath()) : Optional.empty();
    }

    // ---- what keys ask for

    void goToSeries(int by) {
        if (board.isEmpty()) return;
        int next = Math.floorMod(lightbox.active() + by, lightbox.slots().size());
        lightbox.activate(next);
        pane(next).requestFocusInWindow();
    }

    Optional<View> activeView() {
        return board.filter(all -> lightbox.active() < all.getComponentCount())
                .flatMap(all -> all.pane(lightbox.active()).view());
    }

    /** The pane of a series. */
    SeriesPane pane(int slot) {
        return board.orElseThrow().pane(slot);
    }

    void point(boolean away) {
        if (lightbox.activePicture().isPresent()) strokes.point(lightbox.active(), away);
    }

    void enter() {
        if (strokes.close()) return;
        if (!model.lesion().keepPreview()) model.say("There is nothing to keep: refine first, with R.");
    }

    void escape() {
        board.ifPresent(all -> all.pane(Math.min(lightbox.active(), all.getComponentCount() - 1))
                .requestFocusInWindow());
        if (strokes.drop() || model.lesion().leavePreview()) {
            model.say("");
            return;
        }
        if (work.isBusy()) work.cancel();
        else if (loading.isBusy()) loading.cancel();
        else {
            model.tool().take(Hand.LOOK);
            model.say("");
        }
    }

    void goToImpression() {
        reading.focus();
    }

    void measure() {
        reading.measure();
    }

    void export() {
        if (!reading.isMeasured()) {
            model.say("Measure first, with M: then there is a report to export.");
            return;
        }
        choose("Export the report into a folder", true, session.folder().map(all -> all.folder()
                        .resolveSibling("report")))
                .ifPresent(reading::export);
    }

    void turnLight() {
        Look.turn();
        for (Window open : getWindows()) SwingUtilities.updateComponentTreeUI(open);
        below.takeLook();
        follow();
    }

    void showKeys() {
        new KeysDialog(this, actions.all()).setVisible(true);
    }

    private final class Closing extends WindowAdapter {
        // while what is not yet written is written, beside the event thread
        private boolean isClosing;

        @Override
        public void windowClosing(WindowEvent event) {
            if (isClosing) return;
            isClosing = true;
            session.keep();
            CompletableFuture<Boolean> outline =
                    session.autosave().map(OutlineAutosave::flush).orElse(CompletableFuture.completedFuture(true));
            reading.flush()
                    .thenCombine(outline, Closing::unsaved)
                    .thenAccept(unsaved -> SwingUtilities.invokeLater(() -> close(unsaved)));
        }

        private static List<String> unsaved(List<String> ofCase, boolean outline) {
            List<String> unsaved = new ArrayList<>(ofCase);
            if (!outline) unsaved.add("The outline is not saved.");
            return unsaved;
        }

        private void close(List<String> unsaved) {
            isClosing = false;
            if (!unsaved.isEmpty()
                    && JOptionPane.showConfirmDialog(
                                    DeskWindow.this,
                                    String.join("\n", unsaved) + "\nClose all the same?",
                                    TITLE,
                                    JOptionPane.YES_NO_OPTION)
                            != JOptionPane.YES_OPTION) return;
            session.close();
            reading.end();
            loading.close();
            work.close();
            workers.close();
            dispose();
        }
    }
}
