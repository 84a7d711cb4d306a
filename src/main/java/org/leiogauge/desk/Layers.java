// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;

/** The maps of the study on the desk, which two of them lie over the images, and how much they cover. For one thread. */
final class Layers {
    private final Runnable changed;
    private final List<Layer> all = new ArrayList<>();
    private final List<String> chosen = new ArrayList<>(List.of("", ""));
    private double opacity = 0.45;

    /** @param changed told of every change */
    Layers(Runnable changed) {
        this.changed = changed;
    }

    /** Another study has other maps; who puts it on the desk tells of it. */
    void begin() {
        all.clear();
        chosen.set(0, "");
        chosen.set(1, "");
    }

    List<Layer> all() {
        return List.copyOf(all);
    }

    /** Adds a map, or puts it in place of the one of the same title. */
    void add(Layer layer) {
        for (int i = 0; i < all.size(); i++)
            if (all.get(i).title().equals(layer.title())) {
                all.set(i, layer);
                changed.run();
                return;
            }
        all.add(layer);
        changed.run();
    }

    /** Takes a map away that no longer holds. */
    void remove(String title) {
        if (all.removeIf(layer -> layer.title().equals(title))) changed.run();
    }

    /** The maps that are laid over the images, up to two. */
    List<Layer> shown() {
        List<Layer> shown = new ArrayList<>();
        for (String title : chosen)
            all.stream().filter(layer -> layer.title().equals(title)).forEach(shown::add);
        return shown;
    }

    /** @param place 0 for the lower, 1 for the upper map; an empty title shows none */
    void choose(int place, String title) {
        chosen.set(place, title);
        changed.run();
    }

    String chosen(int place) {
        return chosen.get(place);
    }

    /** The next map, and after the last one none. */
    void next(int place) {
        List<String> titles = new ArrayList<>(List.of(""));
        all.forEach(layer -> titles.add(layer.title()));
        choose(place, titles.get((titles.indexOf(chosen.get(place)) + 1) % titles.size()));
    }

    double opacity() {
        return opacity;
    }

    void opacity(double share) {
        opacity = Math.max(0, Math.min(1, share));
        changed.run();
    }
}
