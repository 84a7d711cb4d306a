// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.LayoutManager;
import java.awt.Rectangle;
import java.util.ArrayList;
import java.util.List;
import javax.swing.JPanel;

/** The series side by side: one has most of the room, the others share the rest. */
final class ImageBoard extends JPanel {
    private static final long serialVersionUID = 1L;
    private static final double LEAD_SHARE = 0.62;
    private static final int GAP = 2;

    private final transient DeskModel model;

    ImageBoard(DeskModel model, Strokes strokes) {
        this.model = model;
        setName("images");
        setBackground(new Color(0x26292c));
        setLayout(new Places());
        for (int slot = 0; slot < model.lightbox().slots().size(); slot++) add(new SeriesPane(model, strokes, slot));
    }

    SeriesPane pane(int slot) {
        return (SeriesPane) getComponent(slot);
    }

    /** The lead first, then the others in a grid whose cells are as square as the room allows. */
    static List<Rectangle> places(int count, int width, int height, int gap) {
        List<Rectangle> places = new ArrayList<>();
        if (count == 0) return places;
        if (count == 1) return List.of(new Rectangle(0, 0, width, height));
        boolean wide = width >= height;
        int along = (int) Math.round((wide ? width : height) * LEAD_SHARE);
        places.add(wide ? new Rectangle(0, 0, along, height) : new Rectangle(0, 0, width, along));
        Rectangle rest = wide
                ? new Rectangle(along + gap, 0, Math.max(1, width - along - gap), height)
                : new Rectangle(0, along + gap, width, Math.max(1, height - along - gap));
        int others = count - 1;
        int columns = columns(others, rest);
        int rows = (others + columns - 1) / columns;
        for (int i = 0; i < others; i++) {
            int left = edge(i % columns, columns, rest.width, gap);
            int right = edge(i % columns + 1, columns, rest.width, gap) - gap;
            int top = edge(i / columns, rows, rest.height, gap);
            int bottom = edge(i / columns + 1, rows, rest.height, gap) - gap;
            // the last one takes what its row has left over
            if (i == others - 1) right = rest.width;
            places.add(
                    new Rectangle(rest.x + left, rest.y + top, Math.max(1, right - left), Math.max(1, bottom - top)));
        }
        return places;
    }

    private static int edge(int at, int of, int length, int gap) {
        return (int) Math.round((double) at * (length + gap) / of);
    }

    private static int columns(int count, Rectangle room) {
        int best = 1;
        double largest = 0;
        for (int columns = 1; columns <= count; columns++) {
            int rows = (count + columns - 1) / columns;
            double side = Math.min((double) room.width / columns, (double) room.height / rows);
            if (side > largest) {
                largest = side;
                best = columns;
            }
        }
        return best;
    }

    private final class Places implements LayoutManager {
        @Override
        public void layoutContainer(Container parent) {
            List<Rectangle> places =
                    places(parent.getComponentCount(), parent.getWidth(), parent.getHeight(), UIScale.scale(GAP));
            int next = 1;
            for (int slot = 0; slot < parent.getComponentCount(); slot++) {
                Component pane = parent.getComponent(slot);
                pane.setBounds(places.get(slot == model.lightbox().lead() ? 0 : next++));
            }
        }

        @Override
        public void addLayoutComponent(String name, Component pane) {
            // all panes are alike
        }

        @Override
        public void removeLayoutComponent(Component pane) {
            // nothing is kept about them
        }

        @Override
        public Dimension preferredLayoutSize(Container parent) {
            return new Dimension(UIScale.scale(900), UIScale.scale(640));
        }

        @Override
        public Dimension minimumLayoutSize(Container parent) {
            return new Dimension(UIScale.scale(200), UIScale.scale(150));
        }
    }
}
