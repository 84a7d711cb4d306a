// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Font;
import java.util.ArrayList;
import java.util.List;
import javax.swing.BorderFactory;
import javax.swing.JComponent;
import javax.swing.JDialog;
import javax.swing.JFrame;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.KeyStroke;
import net.miginfocom.swing.MigLayout;

/** The list of all keys, beside the window, until the reader closes it. For the event thread. */
final class KeysDialog extends JDialog {
    private static final long serialVersionUID = 1L;

    KeysDialog(JFrame window, List<KeyAction> actions) {
        super(window, "All keys", false);
        JScrollPane scroll = new JScrollPane(list(actions));
        scroll.setBorder(BorderFactory.createEmptyBorder());
        setContentPane(scroll);
        getRootPane()
                .registerKeyboardAction(
                        event -> dispose(), KeyStroke.getKeyStroke("ESCAPE"), JComponent.WHEN_IN_FOCUSED_WINDOW);
        pack();
        setSize(Math.min(getWidth() + UIScale.scale(20), window.getWidth()), Math.min(getHeight(), window.getHeight()));
        setLocationRelativeTo(window);
    }

    private static JPanel list(List<KeyAction> actions) {
        JPanel keys = new JPanel(new MigLayout("insets 16, gapx 12, gapy 2, wrap 4", "[]16[]40[]16[]"));
        keys.setName("keys");
        List<List<KeyAction>> columns = columns(actions);
        for (int row = 0; row < Math.max(columns.get(0).size(), columns.get(1).size()); row++)
            for (List<KeyAction> column : columns) {
                keys.add(key(column, row));
                keys.add(new JLabel(row < column.size() ? column.get(row).words() : ""));
            }
        keys.add(
                new JLabel("Mouse: wheel slices · Ctrl wheel nearer, farther · left button as chosen · Shift takes away"
                        + " · right button grey levels · middle button moves"),
                "span, gaptop 12");
        return keys;
    }

    private static List<List<KeyAction>> columns(List<KeyAction> actions) {
        List<KeyAction> first = new ArrayList<>();
        List<KeyAction> second = new ArrayList<>();
        for (KeyAction action : actions)
            if (!action.key().isEmpty()) (action.group() == KeyAction.Group.LOOK ? second : first).add(action);
        return List.of(first, second);
    }

    private static JLabel key(List<KeyAction> column, int row) {
        JLabel key = new JLabel(row < column.size() ? column.get(row).key() : "");
        key.setFont(key.getFont().deriveFont(Font.BOLD));
        return key;
    }
}
