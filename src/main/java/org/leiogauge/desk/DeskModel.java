// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.outline.Refined;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.study.Tissue;

/**
 * What is open on the desk and how it is looked at: series, the crosshair's place in patient space, grey levels, maps, the
 * drawing, the reference regions. No window; for one thread.
 */
final class DeskModel {
    private static final double LEAST_ZOOM = 0.2;
    private static final double MOST_ZOOM = 40;
    private static final double INSIDE_MM = 1e-9;

    private final List<Runnable> listeners = new ArrayList<>();
    private Optional<Path> folder = Optional.empty();
    private Optional<Study> study = Optional.empty();
    private CaseFile caseFile = CaseFile.named("none");
    private List<Slot> slots = List.of();
    private int active;
    private int lead;
    private Point cursor = new Point(0, 0, 0);
    private Point centre = new Point(0, 0, 0);
    private double zoom = 1;
    private final List<Layer> layers = new ArrayList<>();
    private final List<String> chosen = new ArrayList<>(List.of("", ""));
    private double opacity = 0.45;
    private Optional<Drawing> drawing = Optional.empty();
    private OptionalInt drawnOn = OptionalInt.empty();
    private Optional<Refined> preview = Optional.empty();
    private final Map<Tissue, List<Ball>> references = new EnumMap<>(Tissue.class);
    private Hand hand = Hand.LOOK;
    private Tissue tissue = Tissue.MUSCLE;
    private double brushMm = 4;
    private double ballMm = 7;
    private boolean showingName;
    private String message = "";
    private long edits;
    private long corrections;

    /** A series on the desk: still being read, there, or not to be had. */
    static final class Slot {
        private final Series series;
        private Optional<Picture> picture = Optional.empty();
        private String problem = "";
        private int frame;
        private GreyRange range = new GreyRange(0, 1);

        private Slot(Series series) {
            this.series = series;
        }

        Series series() {
            return series;
        }

        Optional<Picture> picture() {
            return picture;
        }

        /** Why it cannot be shown; empty where it can, or is still being read. */
        String problem() {
            return problem;
        }

        int frame() {
            return frame;
        }

        GreyRange range() {
            return range;
        }
    }

    /** To be told of every change. */
    void listen(Runnable listener) {
        listeners.add(listener);
    }

    private void changed() {
        listeners.forEach(Runnable::run);
    }

    /** Puts another study on the desk, none of whose series has been read yet; what was there is put away. */
    void open(Path newFolder, Study newStudy, CaseFile newCase, List<Series> shown) {
        folder = Optional.of(newFolder);
        study = Optional.of(newStudy);
        caseFile = newCase;
        slots = shown.stream().map(Slot::new).toList();
        active = 0;
        lead = 0;
        zoom = 1;
        layers.clear();
        chosen.set(0, "");
        chosen.set(1, "");
        drawing = Optional.empty();
        drawnOn = OptionalInt.empty();
        preview = Optional.empty();
        references.clear();
        newCase.references().forEach((where, reference) -> references.put(where, new ArrayList<>(reference.points())));
        hand = Hand.LOOK;
        message = "";
        changed();
    }

    /** A series has been read; the first one brings the crosshair into its middle. */
    void show(Picture picture) {
        boolean first = slots.stream().allMatch(slot -> slot.picture.isEmpty());
        for (Slot slot : slots)
            if (slot.series.id().equals(picture.series().id())) {
                slot.picture = Optional.of(picture);
                slot.frame = picture.firstFrame();
                slot.range = picture.range();
                if (first) lookAt(middle(picture.grid()));
            }
        changed();
    }

    /** A series cannot be read. */
    void fail(Series series, String why) {
        for (Slot slot : slots) if (slot.series.id().equals(series.id())) slot.problem = why;
        say(why);
    }

    Optional<Path> folder() {
        return folder;
    }

    Optional<Study> study() {
        return study;
    }

    List<Slot> slots() {
        return slots;
    }

    /** What is to be told to the reader; empty if nothing. */
    String message() {
        return message;
    }

    void say(String words) {
        message = words;
        changed();
    }

    // ---- looking

    Point cursor() {
        return cursor;
    }

    Point centre() {
        return centre;
    }

    double zoom() {
        return zoom;
    }

    int active() {
        return active;
    }

    int lead() {
        return lead;
    }

    void activate(int slot) {
        if (slot < 0 || slot >= slots.size() || slot == active) return;
        active = slot;
        changed();
    }

    /** Gives the active series the largest place. */
    void leadActive() {
        lead = active;
        changed();
    }

    void moveCursor(Point to) {
        cursor = to;
        changed();
    }

    /** Moves the crosshair and the middle of all views. */
    void lookAt(Point point) {
        cursor = point;
        centre = point;
        changed();
    }

    void pan(Vector by) {
        centre = centre.plus(by);
        changed();
    }

    /** @param about stays where it is */
    void zoom(double factor, Point about) {
        double next = Math.max(LEAST_ZOOM, Math.min(MOST_ZOOM, zoom * factor));
        centre = about.plus(centre.minus(about).times(zoom / next));
        zoom = next;
        changed();
    }

    /** All of the image, at the grey levels that it came with. */
    void reset() {
        zoom = 1;
        slots.forEach(slot -> slot.picture.ifPresent(picture -> slot.range = picture.range()));
        activePicture().ifPresent(picture -> centre = middle(picture.grid()));
        changed();
    }

    private static Point middle(Grid grid) {
        Size size = grid.size();
        return grid.point((size.x() - 1) / 2.0, (size.y() - 1) / 2.0, (size.z() - 1) / 2);
    }

    Optional<Picture> picture(int slot) {
        return slot < slots.size() ? slots.get(slot).picture : Optional.empty();
    }

    Optional<Picture> activePicture() {
        return picture(active);
    }

    /** The slice of a series that is nearest to the crosshair. */
    int slice(int slot) {
        Grid grid = picture(slot).orElseThrow().grid();
        long z = Math.round(grid.index(cursor).z());
        return (int) Math.max(0, Math.min(grid.size().z() - 1, z));
    }

    /** Moves the crosshair by slices of a series, onto the plane of the one it comes to. */
    void scroll(int slot, int slices) {
        picture(slot).ifPresent(picture -> {
            Grid grid = picture.grid();
            int z = Math.max(0, Math.min(grid.size().z() - 1, slice(slot) + slices));
            Index at = grid.index(cursor);
            moveCursor(grid.point(at.x(), at.y(), z));
        });
    }

    /** Moves the crosshair by pixels of the active series. */
    void nudge(int right, int down) {
        activePicture().ifPresent(picture -> {
            Grid grid = picture.grid();
            Index at = grid.index(cursor);
            Size size = grid.size();
            moveCursor(grid.point(
                    Math.max(0, Math.min(size.x() - 1, at.x() + right)),
                    Math.max(0, Math.min(size.y() - 1, at.y() + down)),
                    at.z()));
        });
    }

    void range(int slot, GreyRange range) {
        slots.get(slot).range = range;
        changed();
    }

    /** The next or last volume of a series that has several. */
    void step(int slot, int by) {
        picture(slot).ifPresent(picture -> {
            Slot shown = slots.get(slot);
            shown.frame = Math.floorMod(shown.frame + by, picture.frames());
            changed();
        });
    }

    // ---- maps

    List<Layer> layers() {
        return List.copyOf(layers);
    }

    /** Adds a map, or puts it in place of the one of the same title. */
    void add(Layer layer) {
        for (int i = 0; i < layers.size(); i++)
            if (layers.get(i).title().equals(layer.title())) {
                layers.set(i, layer);
                changed();
                return;
            }
        layers.add(layer);
        changed();
    }

    /** Takes a map away that no longer holds. */
    void remove(String title) {
        if (layers.removeIf(layer -> layer.title().equals(title))) changed();
    }

    /** The maps that are laid over the images, up to two. */
    List<Layer> shownLayers() {
        List<Layer> shown = new ArrayList<>();
        for (String title : chosen)
            layers.stream().filter(layer -> layer.title().equals(title)).forEach(shown::add);
        return shown;
    }

    /** @param place 0 for the lower, 1 for the upper map; an empty title shows none */
    void choose(int place, String title) {
        chosen.set(place, title);
        changed();
    }

    String chosen(int place) {
        return chosen.get(place);
    }

    /** The next map, and after the last one none. */
    void nextLayer(int place) {
        List<String> titles = new ArrayList<>(List.of(""));
        layers.forEach(layer -> titles.add(layer.title()));
        choose(place, titles.get((titles.indexOf(chosen.get(place)) + 1) % titles.size()));
    }

    double opacity() {
        return opacity;
    }

    void opacity(double share) {
        opacity = Math.max(0, Math.min(1, share));
        changed();
    }

    // ---- drawing

    Hand hand() {
        return hand;
    }

    void take(Hand next) {
        hand = next;
        changed();
    }

    double brushMm() {
        return brushMm;
    }

    void brushMm(double radius) {
        brushMm = Math.max(0.5, Math.min(50, radius));
        changed();
    }

    Optional<Drawing> drawing() {
        return drawing;
    }

    /** Whether there is a lesion. */
    boolean isDrawn() {
        return drawing.isPresent() && !drawing.get().isEmpty();
    }

    /** The series that the lesion is drawn on. */
    OptionalInt drawnOn() {
        return drawnOn;
    }

    /** Another number after every change of what is to be saved. */
    long edits() {
        return edits;
    }

    /**
     * The drawing, to be drawn on a series: a new one where there is none.
     *
     * @return none, with a word to the reader, if the lesion is being drawn on another series
     */
    Optional<Drawing> drawOn(int slot) {
        Optional<Picture> picture = picture(slot);
        if (picture.isEmpty()) return Optional.empty();
        if (drawing.isEmpty() || drawing.get().isEmpty() && drawnOn.orElse(slot) != slot) {
            drawing = Optional.of(new Drawing(picture.get().grid()));
            drawnOn = OptionalInt.of(slot);
        }
        if (drawnOn.getAsInt() == slot) return drawing;
        say("The lesion is drawn on " + Picture.title(slots.get(drawnOn.getAsInt()).series)
                + ": go on there, or clear it first.");
        return Optional.empty();
    }

    /** A region from a file. */
    void drawn(int slot, Mask region) {
        Drawing fresh = new Drawing(region.grid());
        fresh.replace(region);
        drawing = Optional.of(fresh);
        drawnOn = OptionalInt.of(slot);
        fresh.largestSlice().ifPresent(z -> {
            Box box = region.boundingBox().orElseThrow();
            lookAt(region.grid().point((box.minX() + box.maxX()) / 2.0, (box.minY() + box.maxY()) / 2.0, z));
        });
        edited();
    }

    /** After every change of drawing or references. */
    void edited() {
        preview = Optional.empty();
        edits++;
        message = "";
        changed();
    }

    /** After a stroke that refinement has to hold to. */
    void corrected() {
        corrections++;
        edited();
    }

    /** Another number after every such stroke. */
    long corrections() {
        return corrections;
    }

    void undo() {
        if (drawing.isPresent() && drawing.get().undo()) edited();
        else say("There is nothing to take back.");
    }

    /** Takes the whole drawing away; that, too, can be taken back. */
    void clear() {
        drawing.ifPresent(Drawing::clear);
        edited();
    }

    void redo() {
        if (drawing.isPresent() && drawing.get().redo()) edited();
        else say("There is nothing to do again.");
    }

    /** Puts the lesion of this slice on the next one, and goes there. */
    void copySlice(int by) {
        if (drawing.isEmpty() || drawnOn.isEmpty()) {
            say("There is nothing drawn to copy.");
            return;
        }
        int slot = drawnOn.getAsInt();
        int z = slice(slot);
        drawing.get().copy(z, z + by);
        scroll(slot, by);
        edited();
    }

    /** What refinement found, until the reader keeps or leaves it. */
    Optional<Refined> preview() {
        return preview;
    }

    void preview(Refined refined) {
        preview = Optional.of(refined);
        changed();
    }

    /** @return whether there was one */
    boolean keepPreview() {
        if (preview.isEmpty() || drawing.isEmpty()) return false;
        drawing.get().replace(preview.get().mask());
        edited();
        return true;
    }

    /** @return whether there was one */
    boolean leavePreview() {
        if (preview.isEmpty()) return false;
        preview = Optional.empty();
        changed();
        return true;
    }

    // ---- references and case

    Tissue tissue() {
        return tissue;
    }

    /** Clicks place regions of a tissue from now on. */
    void refer(Tissue to) {
        tissue = to;
        take(Hand.REFERENCE);
    }

    double ballMm() {
        return ballMm;
    }

    void ballMm(double radius) {
        ballMm = Math.max(1, Math.min(30, radius));
        changed();
    }

    Map<Tissue, List<Ball>> references() {
        return references;
    }

    /** A region about a point; a point in one that is there takes that away. */
    void referTo(Point point) {
        for (List<Ball> balls : references.values())
            if (balls.removeIf(ball -> ball.centre().distance(point) <= ball.radius() + INSIDE_MM)) {
                references.values().removeIf(List::isEmpty);
                edited();
                return;
            }
        references
                .computeIfAbsent(tissue, any -> new ArrayList<>())
                .add(new Ball(List.of(rounded(point.x()), rounded(point.y()), rounded(point.z())), ballMm));
        edited();
    }

    // A hand is not steadier, and the file stays easy to read.
    private static double rounded(double mm) {
        return Math.rint(mm * 100) / 100;
    }

    /** The case as it came or was last told, with the references as they stand. */
    CaseFile caseFile() {
        Map<Tissue, CaseFile.Reference> now = new EnumMap<>(Tissue.class);
        // masks that the case file names are not changed by clicks
        caseFile.references().forEach((where, reference) -> {
            if (reference.mask().isPresent()) now.put(where, reference);
        });
        references.forEach((where, balls) -> {
            if (!balls.isEmpty()) now.put(where, new CaseFile.Reference(balls, Optional.empty()));
        });
        return new CaseFile(
                caseFile.caseName(),
                caseFile.lesion(),
                caseFile.outline(),
                caseFile.series(),
                now,
                caseFile.clinical(),
                caseFile.impression(),
                caseFile.numbersShown(),
                caseFile.outcome());
    }

    /** The case file now says something else: an impression, who drew, that numbers were shown. */
    void caseFile(CaseFile now) {
        caseFile = now;
        edits++;
        changed();
    }

    /** Who drew the outline, and when: no edit of its own. */
    void drawn(CaseFile.Drawn how) {
        caseFile = caseFile.drawn(how);
        changed();
    }

    boolean isShowingName() {
        return showingName;
    }

    void showName(boolean on) {
        showingName = on;
        changed();
    }
}
