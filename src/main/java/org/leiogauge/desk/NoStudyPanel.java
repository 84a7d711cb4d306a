// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import net.miginfocom.swing.MigLayout;

/** What stands in place of the images until a study is open. For the event thread. */
final class NoStudyPanel extends JPanel {
    private static final long serialVersionUID = 1L;

    /** @param choose what the button does */
    NoStudyPanel(Runnable choose) {
        super(new MigLayout("fill, wrap 1, insets 20", "[center]", "push[]8[]16[]push"));
        JLabel title = new JLabel("No study is open");
        title.setFont(title.getFont().deriveFont(title.getFont().getSize2D() * 1.4f));
        add(title);
        add(new JLabel("A study is a folder of DICOM files, or of NIfTI files with a study.yaml."));
        JButton open = new JButton("Open a study …");
        open.setName("open-study");
        open.addActionListener(event -> choose.run());
        add(open);
    }
}
