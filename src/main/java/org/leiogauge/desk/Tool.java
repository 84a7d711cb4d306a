// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import org.leiogauge.study.Tissue;

/** What the reader has in hand: what a press does, and how wide or for which tissue it does it. For one thread. */
final class Tool {
    private final Runnable changed;
    private Hand hand = Hand.LOOK;
    private Tissue tissue = Tissue.MUSCLE;
    private double brushMm = 4;
    private double ballMm = 7;

    /** @param changed told of every change */
    Tool(Runnable changed) {
        this.changed = changed;
    }

    /** Another study is looked at first; who puts it on the desk tells of it. */
    void begin() {
        hand = Hand.LOOK;
    }

    Hand hand() {
        return hand;
    }

    void take(Hand next) {
        hand = next;
        changed.run();
    }

    Tissue tissue() {
        return tissue;
    }

    /** Clicks place regions of a tissue from now on. */
    void refer(Tissue to) {
        tissue = to;
        take(Hand.REFERENCE);
    }

    /** Radius of the brush. */
    double brushMm() {
        return brushMm;
    }

    void brushMm(double radius) {
        brushMm = Math.max(0.5, Math.min(50, radius));
        changed.run();
    }

    /** Radius of a reference region. */
    double ballMm() {
        return ballMm;
    }

    void ballMm(double radius) {
        ballMm = Math.max(1, Math.min(30, radius));
        changed.run();
    }
}
