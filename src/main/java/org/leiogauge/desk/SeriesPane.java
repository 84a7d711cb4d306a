// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.util.Optional;
import javax.accessibility.AccessibleContext;
import javax.accessibility.AccessibleRole;
import javax.swing.JComponent;
import javax.swing.UIManager;
import org.leiogauge.image.Grid;

/**
 * One series on the desk: its slice at the crosshair, with maps, drawing and reference regions, to be drawn on. It says what
 * lies over what; painters know how each looks. For the event thread.
 */
final class SeriesPane extends JComponent {
    private static final long serialVersionUID = 1L;

    // The ground of images is dark in a light window too: it sets what looks bright.
    private static final Color GROUND = new Color(0x0e1012);

    private final transient DeskModel model;
    private final transient Lightbox lightbox;
    private final transient Strokes strokes;
    private final int slot;
    private final transient SliceImage image = new SliceImage();
    private final transient BorderPainter borders;
    private final transient PaneMouse mouse;

    SeriesPane(DeskModel model, Strokes strokes, int slot) {
        this.model = model;
        this.lightbox = model.lightbox();
        this.strokes = strokes;
        this.slot = slot;
        this.borders = new BorderPainter(model.lesion());
        this.mouse = new PaneMouse(this, slot, lightbox, model.tool(), strokes);
        setName("series-" + slot);
        setOpaque(true);
        setFont(UIManager.getFont("Label.font"));
        setMinimumSize(new Dimension(40, 40));
        addMouseListener(mouse);
        addMouseMotionListener(mouse);
        addMouseWheelListener(mouse);
        addFocusListener(new FocusAdapter() {
            @Override
            public void focusGained(FocusEvent event) {
                lightbox.activate(slot);
            }
        });
    }

    @Override
    public AccessibleContext getAccessibleContext() {
        if (accessibleContext == null) {
            accessibleContext = new AccessibleJComponent() {
                private static final long serialVersionUID = 1L;

                @Override
                public AccessibleRole getAccessibleRole() {
                    return AccessibleRole.CANVAS;
                }
            };
            accessibleContext.setAccessibleName(Picture.title(shown().series()));
        }
        return accessibleContext;
    }

    private Lightbox.Slot shown() {
        return lightbox.slots().get(slot);
    }

    /** How the slice lies on this pane; none until the series is there. */
    Optional<View> view() {
        Optional<Picture> picture = lightbox.picture(slot);
        if (picture.isEmpty() || getWidth() < 2 || getHeight() < 2) return Optional.empty();
        Grid grid = picture.get().grid();
        double scale = View.fitting(grid, getWidth(), getHeight()) * lightbox.zoom();
        return Optional.of(new View(grid, lightbox.slice(slot), lightbox.centre(), scale, getWidth(), getHeight()));
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        try {
            g.setColor(GROUND);
            g.fillRect(0, 0, getWidth(), getHeight());
            g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
            Optional<View> view = view();
            if (view.isPresent()) paint(g, view.get());
            else LabelPainter.blank(g, shown(), getWidth(), getHeight(), getFont());
            if (slot == lightbox.active()) activeLine(g);
        } finally {
            g.dispose();
        }
    }

    private void paint(Graphics2D g, View view) {
        boolean isLead = slot == lightbox.lead();
        Tool tool = model.tool();
        g.setRenderingHint(RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        g.drawImage(image.of(shown(), view, model.layers()), view.image(view.every()), null);
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        borders.paint(g, view);
        MarkPainter.references(g, view, model.references().all(), getFont(), isLead);
        if (strokes.isOpen() && strokes.slot() == slot) StrokePainter.stroke(g, view, strokes, tool);
        if (tool.hand().hasWidth())
            mouse.place().ifPresent(place -> StrokePainter.ring(g, view, tool.brushMm(), place));
        MarkPainter.crosshair(g, view, lightbox.cursor());
        LabelPainter.paint(g, view, shown(), getFont());
        if (isLead) LegendPainter.paint(g, model.layers().shown(), getHeight(), getFont());
    }

    // The series that keys act on has a line on its left.
    private void activeLine(Graphics2D g) {
        g.setColor(MarkPainter.CROSSHAIR);
        g.fillRect(0, 0, UIScale.scale(3), getHeight());
    }
}
