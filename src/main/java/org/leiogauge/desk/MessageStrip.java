// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import javax.swing.BorderFactory;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JTextArea;
import net.miginfocom.swing.MigLayout;

/** What the window says below: the word to the reader, what lies under the crosshair, and long work. For the event thread. */
final class MessageStrip extends JPanel {
    private static final long serialVersionUID = 1L;

    private final transient DeskModel model;
    private final transient Background loading;
    private final JTextArea message = new JTextArea();
    private final JLabel where = new JLabel(" ");

    MessageStrip(DeskModel model, Background work, Background loading) {
        super(new MigLayout("insets 2 8 2 4, gap 4 0, fillx, hidemode 3", "[grow, fill, 0::][280:420:, fill]", "[][]"));
        this.model = model;
        this.loading = loading;
        message.setName("message");
        message.setEditable(false);
        message.setFocusable(false);
        message.setLineWrap(true);
        message.setWrapStyleWord(true);
        message.setRows(2);
        message.setOpaque(false);
        where.setName("where");
        add(message, "wmin 0");
        add(work.strip(), "wmin 0, wrap");
        add(where, "wmin 0");
        add(loading.strip(), "wmin 0");
        loading.strip().setVisible(false);
        takeLook();
    }

    /** After a look that may give the message a border. */
    void takeLook() {
        message.setBorder(BorderFactory.createEmptyBorder());
    }

    /** After a change of what is on the desk. */
    void follow() {
        String words = Plain.of(model.message());
        if (!message.getText().equals(words)) message.setText(words);
        where.setText(StateWords.underCrosshair(model.lightbox(), model.layers()));
        loading.strip().setVisible(loading.isBusy());
    }
}
