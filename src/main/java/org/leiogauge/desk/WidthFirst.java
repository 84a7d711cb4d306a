// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.Insets;
import java.awt.LayoutManager;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/** Layouts whose height follows from the width that is there: text wraps, choices go on in the next line. */
abstract class WidthFirst implements LayoutManager {
    private static final int FIRST_WIDTH = 480;

    final int gap;

    private WidthFirst(int gap) {
        this.gap = UIScale.scale(gap);
    }

    /** One under another, each as wide as there is room. */
    static LayoutManager column(int gap) {
        return new Column(gap);
    }

    /** Beside one another as far as they fit, then on in the next line. */
    static LayoutManager lines(int gap) {
        return new Lines(gap);
    }

    /**
     * Beside one another in columns with these shares of the width, one under another where it is narrow.
     *
     * @param narrowBelow in pixels of an unscaled screen, as gaps are
     */
    static LayoutManager columns(int gap, int narrowBelow, double... shares) {
        return new Columns(gap, narrowBelow, shares.clone());
    }

    /** A first part as wide as it wants to be, and a second one beside it with the rest of the width. */
    static LayoutManager afterShape(int gap) {
        return new AfterShape(gap);
    }

    /** How high a component wants to be at a width. */
    static int height(Component part, int width) {
        if (part instanceof Prose words) return words.heightAt(width);
        if (part instanceof Container container && container.getLayout() instanceof WidthFirst layout) {
            Insets insets = container.getInsets();
            return layout.place(container, width - insets.left - insets.right, false) + insets.top + insets.bottom;
        }
        return part.getPreferredSize().height;
    }

    /** Puts the parts at their places if asked to, and says how high they are together. */
    abstract int place(Container container, int width, boolean move);

    @Override
    public final void layoutContainer(Container container) {
        Insets insets = container.getInsets();
        place(container, container.getWidth() - insets.left - insets.right, true);
    }

    @Override
    public final Dimension preferredLayoutSize(Container container) {
        int width = container.getWidth() > 0 ? container.getWidth() : FIRST_WIDTH;
        return new Dimension(width, height(container, width));
    }

    @Override
    public final Dimension minimumLayoutSize(Container container) {
        return new Dimension(0, 0);
    }

    @Override
    public final void addLayoutComponent(String name, Component part) {
        // all parts are asked for when they are placed
    }

    @Override
    public final void removeLayoutComponent(Component part) {
        // as above
    }

    private static List<Component> shown(Container container) {
        return Stream.of(container.getComponents()).filter(Component::isVisible).toList();
    }

    private static void move(Container container, Component part, int x, int y, int width, int height) {
        Insets insets = container.getInsets();
        part.setBounds(insets.left + x, insets.top + y, width, height);
    }

    private static final class Column extends WidthFirst {
        Column(int gap) {
            super(gap);
        }

        @Override
        int place(Container container, int width, boolean move) {
            int y = 0;
            for (Component part : shown(container)) {
                if (y > 0) y += gap;
                int height = height(part, width);
                if (move) move(container, part, 0, y, width, height);
                y += height;
            }
            return y;
        }
    }

    private static final class Lines extends WidthFirst {
        Lines(int gap) {
            super(gap);
        }

        @Override
        int place(Container container, int width, boolean move) {
            int y = 0;
            List<Component> line = new ArrayList<>();
            int used = 0;
            for (Component part : shown(container)) {
                int wanted = Math.min(width, part.getPreferredSize().width);
                if (!line.isEmpty() && used + gap + wanted > width) {
                    y += line(container, line, width, y, move) + gap / 2;
                    line.clear();
                    used = 0;
                }
                used += (line.isEmpty() ? 0 : gap) + wanted;
                line.add(part);
            }
            return y + line(container, line, width, y, move);
        }

        private int line(Container container, List<Component> parts, int width, int y, boolean move) {
            int height = parts.stream()
                    .mapToInt(part -> part.getPreferredSize().height)
                    .max()
                    .orElse(0);
            int x = 0;
            for (Component part : parts) {
                Dimension wanted = part.getPreferredSize();
                int partWidth = Math.min(width, wanted.width);
                if (move) move(container, part, x, y + (height - wanted.height) / 2, partWidth, wanted.height);
                x += partWidth + gap;
            }
            return height;
        }
    }

    private static final class Columns extends WidthFirst {
        private final int narrowBelow;
        private final double[] shares;
        private final Column narrow;

        Columns(int gap, int narrowBelow, double[] shares) {
            super(gap);
            this.narrowBelow = UIScale.scale(narrowBelow);
            this.shares = shares;
            this.narrow = new Column(gap / 3);
        }

        @Override
        int place(Container container, int width, boolean move) {
            if (width < narrowBelow) return narrow.place(container, width, move);
            int left = width - gap * (shares.length - 1);
            int x = 0;
            int y = 0;
            int height = 0;
            int column = 0;
            for (Component part : shown(container)) {
                int partWidth = (int) (left * shares[column]);
                int partHeight = height(part, partWidth);
                if (move) move(container, part, x, y, partWidth, partHeight);
                height = Math.max(height, partHeight);
                x += partWidth + gap;
                column++;
                if (column == shares.length) {
                    y += height + gap / 3;
                    x = 0;
                    height = 0;
                    column = 0;
                }
            }
            return column == 0 ? Math.max(0, y - gap / 3) : y + height;
        }
    }

    private static final class AfterShape extends WidthFirst {
        AfterShape(int gap) {
            super(gap);
        }

        @Override
        int place(Container container, int width, boolean move) {
            Component shape = container.getComponent(0);
            Component words = container.getComponent(1);
            Dimension wanted = shape.getPreferredSize();
            int rest = Math.max(1, width - wanted.width - gap);
            int height = Math.max(wanted.height, height(words, rest));
            if (move) move(container, shape, 0, 0, wanted.width, wanted.height);
            if (move) move(container, words, wanted.width + gap, 0, rest, height);
            return height;
        }
    }
}
