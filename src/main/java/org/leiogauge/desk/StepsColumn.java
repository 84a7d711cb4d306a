// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.Rectangle;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import javax.swing.DefaultComboBoxModel;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JSlider;
import javax.swing.Scrollable;
import net.miginfocom.swing.MigLayout;
import org.leiogauge.study.Tissue;

/** What is to be done, from top to bottom in the order of reading, in words. */
final class StepsColumn extends JPanel implements Scrollable {
    private static final long serialVersionUID = 1L;
    private static final String NONE = "no map";

    private final transient Layers layers;
    private final transient Tool tool;
    private final transient Map<Hand, StepLine> hands = new EnumMap<>(Hand.class);
    private final transient Map<Tissue, StepLine> tissues = new EnumMap<>(Tissue.class);
    private final List<JComboBox<String>> maps = new ArrayList<>();
    private final JSlider opacity = new JSlider(0, 100);
    private boolean following;

    StepsColumn(
            DeskModel model, List<KeyAction> actions, Map<Hand, KeyAction> ofHands, Map<Tissue, KeyAction> ofTissues) {
        super(new MigLayout("insets 6 0 8 0, wrap 1, gapy 0, fillx", "[fill, grow]"));
        this.layers = model.layers();
        this.tool = model.tool();
        setName("steps");
        Map<KeyAction, StepLine> lines = new HashMap<>();
        for (KeyAction.Group group : List.of(
                KeyAction.Group.OUTLINE,
                KeyAction.Group.REFINE,
                KeyAction.Group.REFERENCES,
                KeyAction.Group.READING,
                KeyAction.Group.MAPS,
                KeyAction.Group.STUDY)) {
            heading(group.words());
            if (group == KeyAction.Group.MAPS) maps();
            else
                for (KeyAction action : actions)
                    if (action.group() == group) {
                        StepLine line = new StepLine(action);
                        lines.put(action, line);
                        add(line);
                    }
        }
        ofHands.forEach((hand, action) -> hands.put(hand, lines.get(action)));
        ofTissues.forEach((tissue, action) -> tissues.put(tissue, lines.get(action)));
        model.listen(this::follow);
        follow();
    }

    private void heading(String words) {
        JLabel heading = new JLabel(words);
        heading.setFont(heading.getFont().deriveFont(Font.BOLD));
        heading.setEnabled(true);
        add(heading, "gapleft 8, gaptop 8, gapbottom 1");
    }

    private void maps() {
        for (int place = 0; place < 2; place++) {
            JComboBox<String> box = new JComboBox<>();
            int at = place;
            box.setName("map-" + place);
            // it would take letters for choices; its keys are O and Shift O
            box.setFocusable(false);
            box.setToolTipText(place == 0 ? "the lower map, key O" : "the upper map, key Shift O");
            box.getAccessibleContext().setAccessibleName(place == 0 ? "lower map" : "upper map");
            box.addActionListener(event -> {
                if (!following) layers.choose(at, box.getSelectedIndex() <= 0 ? "" : (String) box.getSelectedItem());
            });
            maps.add(box);
            add(box, "gapleft 8, gapright 8, gaptop 3, wmin 60");
        }
        opacity.setFocusable(false);
        opacity.setToolTipText("how much the maps cover, keys ( and )");
        opacity.getAccessibleContext().setAccessibleName("how much the maps cover");
        opacity.addChangeListener(event -> {
            if (!following) layers.opacity(opacity.getValue() / 100.0);
        });
        add(opacity, "gapleft 4, gapright 4, gaptop 2, wmin 60");
    }

    private void follow() {
        following = true;
        try {
            hands.forEach((hand, line) -> line.choose(hand == tool.hand()));
            tissues.forEach((tissue, line) -> line.choose(tool.hand() == Hand.REFERENCE && tissue == tool.tissue()));
            List<String> titles = new ArrayList<>(List.of(NONE));
            layers.all().forEach(layer -> titles.add(layer.title()));
            for (int place = 0; place < maps.size(); place++) follow(maps.get(place), titles, layers.chosen(place));
            opacity.setValue((int) Math.round(100 * layers.opacity()));
        } finally {
            following = false;
        }
    }

    private static void follow(JComboBox<String> box, List<String> titles, String chosen) {
        List<String> there = new ArrayList<>();
        for (int i = 0; i < box.getItemCount(); i++) there.add(box.getItemAt(i));
        if (!there.equals(titles)) box.setModel(new DefaultComboBoxModel<>(titles.toArray(new String[0])));
        int at = Math.max(0, titles.indexOf(chosen));
        if (box.getSelectedIndex() != at) box.setSelectedIndex(at);
    }

    @Override
    public Dimension getPreferredScrollableViewportSize() {
        return new Dimension(UIScale.scale(212), getPreferredSize().height);
    }

    @Override
    public int getScrollableUnitIncrement(Rectangle visible, int orientation, int direction) {
        return UIScale.scale(20);
    }

    @Override
    public int getScrollableBlockIncrement(Rectangle visible, int orientation, int direction) {
        return visible.height;
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
