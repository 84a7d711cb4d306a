// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.leiogauge.desk.KeyAction.Group.LOOK;
import static org.leiogauge.desk.KeyAction.Group.MAPS;
import static org.leiogauge.desk.KeyAction.Group.OUTLINE;
import static org.leiogauge.desk.KeyAction.Group.READING;
import static org.leiogauge.desk.KeyAction.Group.REFERENCES;
import static org.leiogauge.desk.KeyAction.Group.REFINE;
import static org.leiogauge.desk.KeyAction.Group.STUDY;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.UnaryOperator;
import org.leiogauge.study.Tissue;

/** All that can be done on the desk, each with its key. */
final class DeskActions {
    private static final double ZOOM = 1.25;
    private static final double WIDER = 1.15;
    private static final double SHIFT = 0.06;
    private static final double COVER = 0.1;
    private static final double BRUSH = 1.25;
    private static final int PAGE = 5;
    private static final int PAN_PIXELS = 40;

    private final DeskModel model;
    private final Lightbox lightbox;
    private final Layers layers;
    private final Tool tool;
    private final DeskWindow window;
    private final List<KeyAction> all = new ArrayList<>();
    private final Map<Hand, KeyAction> hands = new EnumMap<>(Hand.class);
    private final Map<Tissue, KeyAction> tissues = new EnumMap<>(Tissue.class);

    DeskActions(DeskModel model, DeskWindow window) {
        this.model = model;
        this.lightbox = model.lightbox();
        this.layers = model.layers();
        this.tool = model.tool();
        this.window = window;
        outline();
        refine();
        references();
        reading();
        maps();
        look();
        study();
    }

    List<KeyAction> all() {
        return List.copyOf(all);
    }

    Map<Hand, KeyAction> hands() {
        return hands;
    }

    Map<Tissue, KeyAction> tissues() {
        return tissues;
    }

    private KeyAction add(KeyAction.Group group, String stroke, String key, String words, Runnable action) {
        KeyAction made = new KeyAction(group, stroke, key, words, action);
        all.add(made);
        return made;
    }

    private void hand(KeyAction.Group group, Hand hand, String stroke, String key) {
        hands.put(hand, add(group, stroke, key, hand.words(), () -> {
            window.strokes().drop();
            tool.take(hand);
            model.say(hand == Hand.LOOK ? "" : hand.words() + ": " + hand.does() + ".");
        }));
    }

    private void outline() {
        hand(OUTLINE, Hand.LOOK, "typed l", "L");
        hand(OUTLINE, Hand.FREEHAND, "typed d", "D");
        hand(OUTLINE, Hand.POLYGON, "typed p", "P");
        hand(OUTLINE, Hand.ELLIPSE, "typed e", "E");
        hand(OUTLINE, Hand.BRUSH, "typed b", "B");
        add(OUTLINE, "typed c", "C", "Copy to next slice", () -> model.lesion().copySlice(1));
        add(OUTLINE, "control Z", "Ctrl Z", "Take back", () -> {
            if (!window.strokes().back()) model.lesion().undo();
        });
        add(OUTLINE, "control Y", "Ctrl Y", "Do again", model.lesion()::redo);
        add(OUTLINE, "control DELETE", "Ctrl Del", "Clear all", model.lesion()::clear);
    }

    private void refine() {
        add(REFINE, "typed r", "R", "Refine the border", () -> window.session()
                .refiner()
                .refine());
        add(REFINE, "ENTER", "Enter", "Keep it", window::enter);
        hand(REFINE, Hand.ADD, "typed a", "A");
        hand(REFINE, Hand.TAKE, "typed x", "X");
    }

    private void references() {
        tissue(Tissue.MUSCLE, "typed 1", "1", "Muscle");
        tissue(Tissue.MYOMETRIUM, "typed 2", "2", "Myometrium");
        tissue(Tissue.ENDOMETRIUM, "typed 3", "3", "Endometrium");
        tissue(Tissue.URINE, "typed 4", "4", "Urine");
    }

    private void tissue(Tissue tissue, String stroke, String key, String words) {
        tissues.put(tissue, add(REFERENCES, stroke, key, words, () -> {
            window.strokes().drop();
            tool.refer(tissue);
            model.say(words + ": " + Hand.REFERENCE.does() + ".");
        }));
    }

    private void reading() {
        add(READING, "typed i", "I", "Impression", window::goToImpression);
        add(READING, "typed m", "M", "Measure", window::measure);
        add(READING, "typed s", "S", "Export the report", window::export);
    }

    private void maps() {
        add(MAPS, "typed o", "O", "Next lower map", () -> layers.next(0));
        add(MAPS, "typed O", "Shift O", "Next upper map", () -> layers.next(1));
        add(MAPS, "typed (", "(", "Maps cover less", () -> layers.opacity(layers.opacity() - COVER));
        add(MAPS, "typed )", ")", "Maps cover more", () -> layers.opacity(layers.opacity() + COVER));
        add(MAPS, "typed y", "Y", "How sure the lesion's border is", () -> window.session()
                .mapBorder());
    }

    private void look() {
        add(LOOK, "DOWN", "Down", "Next slice", () -> lightbox.scroll(lightbox.active(), 1));
        add(LOOK, "UP", "Up", "Slice before", () -> lightbox.scroll(lightbox.active(), -1));
        add(LOOK, "PAGE_DOWN", "Page down", "Five slices on", () -> lightbox.scroll(lightbox.active(), PAGE));
        add(LOOK, "PAGE_UP", "Page up", "Five slices back", () -> lightbox.scroll(lightbox.active(), -PAGE));
        add(LOOK, "RIGHT", "Right", "Next series", () -> window.goToSeries(1));
        add(LOOK, "LEFT", "Left", "Series before", () -> window.goToSeries(-1));
        add(LOOK, "typed f", "F", "Give this series the large place", lightbox::leadActive);
        add(LOOK, "typed .", ".", "Next volume of this series", () -> lightbox.step(lightbox.active(), 1));
        add(LOOK, "typed ,", ",", "Volume before", () -> lightbox.step(lightbox.active(), -1));
        add(LOOK, "typed +", "+", "Nearer", () -> lightbox.zoom(ZOOM, lightbox.cursor()));
        add(LOOK, "typed -", "-", "Farther", () -> lightbox.zoom(1 / ZOOM, lightbox.cursor()));
        add(LOOK, "typed 0", "0", "All of the image, first grey levels", lightbox::reset);
        grey("typed ]", "]", "Less contrast", range -> range.wider(WIDER));
        grey("typed [", "[", "More contrast", range -> range.wider(1 / WIDER));
        grey("typed {", "{", "Lighter", range -> range.moved(-SHIFT));
        grey("typed }", "}", "Darker", range -> range.moved(SHIFT));
        // the four arrows stand once in the list
        crosshair("LEFT", "arrows", -1, 0);
        crosshair("RIGHT", "", 1, 0);
        crosshair("UP", "", 0, -1);
        crosshair("DOWN", "", 0, 1);
        pan("LEFT", "arrows", -PAN_PIXELS, 0);
        pan("RIGHT", "", PAN_PIXELS, 0);
        pan("UP", "", 0, -PAN_PIXELS);
        pan("DOWN", "", 0, PAN_PIXELS);
        add(LOOK, "SPACE", "Space", "A point, a dab or a region at the crosshair", () -> window.point(false));
        add(LOOK, "shift SPACE", "Shift Space", "The same, taking away", () -> window.point(true));
        add(LOOK, "typed >", ">", "Wider brush or region", () -> size(BRUSH));
        add(LOOK, "typed <", "<", "Narrower brush or region", () -> size(1 / BRUSH));
        add(LOOK, "ESCAPE", "Escape", "Drop, leave, stop: whatever is on its way", window::escape);
    }

    private void grey(String stroke, String key, String words, UnaryOperator<GreyRange> change) {
        add(LOOK, stroke, key, words, () -> {
            if (lightbox.activePicture().isPresent())
                lightbox.range(
                        lightbox.active(),
                        change.apply(lightbox.slots().get(lightbox.active()).range()));
        });
    }

    private void crosshair(String arrow, String key, int right, int down) {
        add(LOOK, "shift " + arrow, named("Shift ", key), "Crosshair by a pixel", () -> lightbox.nudge(right, down));
        add(
                LOOK,
                "shift control " + arrow,
                named("Shift Ctrl ", key),
                "Crosshair by ten",
                () -> lightbox.nudge(10 * right, 10 * down));
    }

    private static String named(String with, String key) {
        return key.isEmpty() ? "" : with + key;
    }

    private void pan(String arrow, String key, int right, int down) {
        add(LOOK, "alt " + arrow, named("Alt ", key), "Move the image", () -> window.activeView()
                .ifPresent(view -> lightbox.pan(view.step(right, down))));
    }

    private void size(double factor) {
        if (tool.hand() == Hand.REFERENCE) {
            tool.ballMm(tool.ballMm() * factor);
            model.say(String.format(Locale.ROOT, "Reference radius %.1f mm", tool.ballMm()));
        } else {
            tool.brushMm(tool.brushMm() * factor);
            model.say(String.format(Locale.ROOT, "Brush radius %.1f mm", tool.brushMm()));
        }
    }

    private void study() {
        add(STUDY, "control O", "Ctrl O", "Open a study", window::chooseStudy);
        add(STUDY, "control L", "Ctrl L", "Open an outline", window::chooseOutline);
        add(STUDY, "typed t", "T", "Light or dark", window::turnLight);
        add(STUDY, "typed n", "N", "Patient's name on or off", () -> model.showName(!model.isShowingName()));
        add(STUDY, "typed h", "H", "All keys", window::showKeys);
    }
}
