// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BorderLayout;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.KeyboardFocusManager;
import java.awt.Rectangle;
import java.beans.PropertyChangeEvent;
import java.beans.PropertyChangeListener;
import java.time.LocalDateTime;
import java.util.Optional;
import java.util.function.Supplier;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.ScrollPaneConstants;
import javax.swing.Scrollable;
import javax.swing.SwingUtilities;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;

/**
 * What is said of the images, as one column to scroll: the impression until it is locked, then the measured signs, the chart
 * and the cards. Numbers are shown only after the impression, and the case says when they were first shown. For the event
 * thread.
 */
final class ReadingPanel extends JPanel {
    private static final long serialVersionUID = 1L;
    private static final int STEP = 24;

    private final transient Standards standards;
    private final transient Host host;
    private final transient Supplier<LocalDateTime> clock;
    private final Page page = new Page();
    private final JScrollPane scroll = new JScrollPane(
            page, ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED, ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
    private final transient PropertyChangeListener follow = this::showFocus;
    private final JPanel signs = Section.plain(14);
    // kept while the page is put together anew: an opened card stays open, a chosen prevalence chosen
    private final JPanel numbers = Section.plain(22);
    private final transient Latest<MeasureRun.Result> appraised = new Latest<>(this::showSigns);
    private transient Optional<MeasureRun.Result> result = Optional.empty();
    private transient Optional<Impression> begun = Optional.empty();
    private boolean declined;
    private boolean outdated;
    private boolean later;

    /** The window around it. */
    interface Host {
        /** The case as it now is. */
        CaseFile caseFile();

        /** The case as it is from now on: to be kept at once. */
        void changed(CaseFile now);

        /** What is not locked yet, to be kept; nothing once it is locked or declined. */
        void drafted(Optional<Impression> words);

        /** The reader wants the numbers. */
        void measure();
    }

    ReadingPanel(Standards standards, Host host) {
        this(standards, host, LocalDateTime::now);
    }

    /** @param clock tells the time at which impressions are locked and numbers shown */
    ReadingPanel(Standards standards, Host host, Supplier<LocalDateTime> clock) {
        super(new BorderLayout());
        this.standards = standards;
        this.host = host;
        this.clock = clock;
        setName("reading");
        int side = UIScale.scale(14);
        page.setBorder(BorderFactory.createEmptyBorder(side, side, side, side));
        scroll.setBorder(BorderFactory.createEmptyBorder());
        scroll.getVerticalScrollBar().setUnitIncrement(UIScale.scale(STEP));
        add(scroll);
        begin(Optional.empty());
    }

    /**
     * Begins with the host's case, as after opening another: no numbers, nothing declined.
     *
     * @param words an impression that was begun and not locked
     */
    void begin(Optional<Impression> words) {
        begun = words;
        appraised.drop();
        result = Optional.empty();
        declined = false;
        outdated = false;
        later = false;
        rebuild();
    }

    /** Shows the beginning of the column. */
    void toTop() {
        scroll.getVerticalScrollBar().setValue(0);
    }

    /** Whether the reader has expressly gone on without an impression. */
    boolean hasDeclined() {
        return declined;
    }

    /** Why the case may not be measured yet; none if it may. */
    Optional<String> refusal() {
        return MeasureRun.refusal(host.caseFile(), declined);
    }

    /**
     * Shows the numbers; the case says from now on that they were shown.
     *
     * @throws IllegalStateException if they may not be shown yet
     */
    void show(MeasureRun.Result measured) {
        refusal().ifPresent(why -> {
            throw new IllegalStateException(why);
        });
        host.changed(MeasureRun.shown(host.caseFile(), clock.get()));
        appraised.drop();
        outdated = false;
        numbers.removeAll();
        numbers.add(signs);
        numbers.add(new PatternPanel(
                        measured.appraisal().chart(), measured.appraisal().signs())
                .component());
        numbers.add(new CardsPanel(measured.appraisal(), measured::at).component());
        numbers.add(new ValuesTable(measured.rows()).component());
        showSigns(measured);
        rebuild();
    }

    /** The numbers on show, if there are any. */
    Optional<MeasureRun.Result> result() {
        return result;
    }

    /** Says beside the numbers that the drawing is another since. */
    void setOutdated(boolean isSo) {
        if (outdated == isSo || result.isEmpty()) return;
        outdated = isSo;
        rebuild();
    }

    /** Puts the focus on the first thing to answer. */
    void focusFirst() {
        first(page).ifPresent(Component::requestFocusInWindow);
    }

    @Override
    public void addNotify() {
        super.addNotify();
        KeyboardFocusManager.getCurrentKeyboardFocusManager().addPropertyChangeListener("focusOwner", follow);
    }

    @Override
    public void removeNotify() {
        KeyboardFocusManager.getCurrentKeyboardFocusManager().removePropertyChangeListener("focusOwner", follow);
        super.removeNotify();
    }

    // What has the focus is in sight, however it came there.
    private void showFocus(PropertyChangeEvent event) {
        if (event.getNewValue() instanceof JComponent focused && SwingUtilities.isDescendingFrom(focused, page))
            focused.scrollRectToVisible(new Rectangle(0, 0, focused.getWidth(), focused.getHeight()));
    }

    private void rebuild() {
        page.removeAll();
        CaseFile caseFile = host.caseFile();
        boolean isFirst = caseFile.impression().isEmpty();
        if (isFirst && refusal().isPresent()) {
            page.add(new ImpressionForm(standards.lexicon(), begun, new Answers(), clock).component());
        } else {
            page.add(new LockedImpressions(standards.lexicon(), caseFile, declined).component());
            page.add(next());
            if (later)
                page.add(ImpressionForm.later(standards.lexicon(), new Answers(), clock)
                        .component());
            if (result.isPresent()) page.add(numbers);
        }
        page.revalidate();
        page.repaint();
    }

    // What had the focus is gone: it goes on where the reader does.
    private void rebuildAndFocus() {
        rebuild();
        Container from = later ? (Container) page.getComponent(2) : page;
        first(from).ifPresent(Component::requestFocusInWindow);
    }

    private JComponent next() {
        JPanel buttons = new JPanel(WidthFirst.lines(8));
        JButton measure = new JButton(result.isEmpty() ? "Measure" : "Measure again");
        measure.setName("measure");
        measure.addActionListener(event -> host.measure());
        buttons.add(measure);
        // without a first one there can be no later one once the numbers were shown
        boolean mayAdd = !host.caseFile().impression().isEmpty();
        JButton add = new JButton(later ? "No later entry" : "Add a later impression");
        add.setName("later");
        add.addActionListener(event -> {
            later = !later;
            rebuildAndFocus();
        });
        if (mayAdd) buttons.add(add);
        JPanel next = Section.plain(6);
        if (outdated)
            next.add(Section.marked(
                    Glyph.CARE,
                    Prose.text("The drawing was changed after these numbers were measured. Measure again.")));
        result.map(MeasureRun.Result::origin)
                .filter(words -> !words.isEmpty())
                .ifPresent(words -> next.add(Prose.soft(words)));
        next.add(buttons);
        return next;
    }

    private void showSigns(MeasureRun.Result measured) {
        result = Optional.of(measured);
        signs.removeAll();
        signs.add(Section.marked(Glyph.CARE, Prose.text(Appraisal.CAUTIONS.get(0))));
        signs.add(new SignsTable(measured.appraisal(), measured.rows()).component());
        signs.revalidate();
    }

    private static Optional<Component> first(Component from) {
        if (!from.isVisible()) return Optional.empty();
        if (from.isFocusable() && from.isEnabled() && !(from instanceof JPanel)) return Optional.of(from);
        if (!(from instanceof JPanel panel)) return Optional.empty();
        for (Component part : panel.getComponents()) {
            Optional<Component> found = first(part);
            if (found.isPresent()) return found;
        }
        return Optional.empty();
    }

    private final class Answers implements ImpressionForm.Listener {
        @Override
        public void drafted(Optional<Impression> words) {
            begun = words;
            host.drafted(words);
        }

        @Override
        public void locked(Impression impression) {
            drafted(Optional.empty());
            host.changed(host.caseFile().locking(impression));
            later = false;
            CaseFile now = host.caseFile();
            result.ifPresent(one -> appraised.ask(() -> one.with(now)));
            rebuildAndFocus();
        }

        @Override
        public void declined() {
            declined = true;
            drafted(Optional.empty());
            rebuildAndFocus();
        }
    }

    /** As wide as there is room, and as high as that makes it. */
    private static final class Page extends JPanel implements Scrollable {
        private static final long serialVersionUID = 1L;

        Page() {
            super(WidthFirst.column(22));
        }

        @Override
        public Dimension getPreferredSize() {
            int width = getParent() == null || getParent().getWidth() == 0
                    ? 380
                    : getParent().getWidth();
            return new Dimension(width, WidthFirst.height(this, width));
        }

        @Override
        public Dimension getPreferredScrollableViewportSize() {
            return getPreferredSize();
        }

        @Override
        public int getScrollableUnitIncrement(Rectangle visible, int orientation, int direction) {
            return UIScale.scale(STEP);
        }

        @Override
        public int getScrollableBlockIncrement(Rectangle visible, int orientation, int direction) {
            return Math.max(STEP, visible.height - 2 * UIScale.scale(STEP));
        }

        @Override
        public boolean getScrollableTracksViewportWidth() {
            return true;
        }

        @Override
        public boolean getScrollableTracksViewportHeight() {
            return false;
        }
    }
}
