// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.leiogauge.image.Box;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.task.InputException;

/**
 * The lesion as the reader draws it on one series, with the strokes that say what surely belongs to it and what does not.
 *
 * <p>Every change can be taken back and done again, without limit. Cost of a change: linear in the voxels of the slices that it
 * touches, but for {@link #replace} and {@link #clear}, linear in the grid. For one thread.
 */
final class Drawing {
    private static final byte REGION = 1;
    private static final byte ADDED = 2;
    private static final byte REMOVED = 4;

    private final Grid grid;
    private final UndoableVoxels voxels;
    private Optional<Mask> region = Optional.empty();

    /** Nothing drawn yet. */
    Drawing(Grid grid) {
        this.grid = grid;
        this.voxels = new UndoableVoxels(grid.size().voxels());
    }

    Grid grid() {
        return grid;
    }

    /** Another number after every change. */
    long version() {
        return voxels.version();
    }

    boolean isEmpty() {
        return region().isEmpty();
    }

    /** The lesion as it stands. */
    Mask region() {
        if (region.isEmpty()) region = Optional.of(layer(REGION));
        return region.get();
    }

    /** What belongs to the lesion because the reader says so. */
    Mask added() {
        return layer(ADDED);
    }

    /** What does not. */
    Mask removed() {
        return layer(REMOVED);
    }

    /** The borders on one slice, in patient space. */
    List<Contour> borders(int z) {
        Size size = grid.size();
        byte[] slice = new byte[size.x() * size.y()];
        int from = grid.offset(0, 0, z);
        for (int i = 0; i < slice.length; i++) slice[i] = (byte) (voxels.at(from + i) & REGION);
        return MaskContours.of(new Mask(slice(z), slice));
    }

    /** The slice with most of the lesion; none if nothing is drawn. */
    OptionalInt largestSlice() {
        int best = -1;
        int most = 0;
        int length = grid.size().x() * grid.size().y();
        for (int z = 0; z < grid.size().z(); z++) {
            int count = 0;
            for (int i = z * length; i < (z + 1) * length; i++) count += voxels.at(i) & REGION;
            if (count > most) {
                most = count;
                best = z;
            }
        }
        return best < 0 ? OptionalInt.empty() : OptionalInt.of(best);
    }

    /**
     * Adds what a closed line goes round on a slice, or takes it away.
     *
     * @param line in patient space; fewer than three points, or a line beside the image, change nothing
     */
    void fill(int z, List<Point> line, boolean adding) {
        if (line.size() < 3 || z < 0 || z >= grid.size().z()) return;
        Grid slice = slice(z);
        // a hand is not steady to the last digit: onto the slice's plane
        List<Point> flat = line.stream().map(point -> onPlane(slice, point)).toList();
        Mask inside;
        try {
            inside = ContourFill.fill("drawing", List.of(new Contour(flat)), slice)
                    .mask();
        } catch (InputException e) {
            return; // wholly beside the image
        }
        edit(z, (i, old) -> inside.voxels()[i] == 0 ? old : draw(old, adding));
    }

    /** Adds or takes away what lies within a radius of a path on a slice. */
    void brush(int z, List<Point> path, double radiusMm, boolean adding) {
        if (path.isEmpty() || z < 0 || z >= grid.size().z()) return;
        boolean[] near = Brush.near(slice(z), path, radiusMm);
        edit(z, (i, old) -> near[i] ? draw(old, adding) : old);
    }

    /** The same, and refinement has to hold to it. */
    void correct(int z, List<Point> path, double radiusMm, boolean adding) {
        if (path.isEmpty() || z < 0 || z >= grid.size().z()) return;
        boolean[] near = Brush.near(slice(z), path, radiusMm);
        byte settled = adding ? REGION | ADDED : REMOVED;
        edit(z, (i, old) -> near[i] ? settled : old);
    }

    /** Puts the region of one slice on another, in place of what is there. */
    void copy(int from, int to) {
        int slices = grid.size().z();
        if (from < 0 || to < 0 || from >= slices || to >= slices || from == to) return;
        int start = grid.offset(0, 0, from);
        edit(to, (i, old) -> (byte) (old & ~REGION | voxels.at(start + i) & REGION));
    }

    /** Puts another region in place of the drawn one; the reader's corrections stay. */
    void replace(Mask other) {
        if (!other.grid().size().equals(grid.size()))
            throw new IllegalArgumentException("other must have the drawing's size " + grid.size() + ", got "
                    + other.grid().size());
        byte[] next = new byte[voxels.count()];
        for (int i = 0; i < next.length; i++) next[i] = (byte) (voxels.at(i) & ~REGION | other.voxels()[i]);
        put(0, next);
    }

    /** Takes all away, corrections too. */
    void clear() {
        put(0, new byte[voxels.count()]);
    }

    /** @return whether there was anything to take back */
    boolean undo() {
        return moved(voxels.undo());
    }

    /** @return whether there was anything to do again */
    boolean redo() {
        return moved(voxels.redo());
    }

    /** How many changes can be taken back. */
    int changes() {
        return voxels.changes();
    }

    private interface Rule {
        byte of(int inSlice, byte old);
    }

    // A line drawn by hand says more than an older correction does.
    private static byte draw(byte old, boolean adding) {
        return (byte) (adding ? old & ~REMOVED | REGION : old & ~(REGION | ADDED));
    }

    private void edit(int z, Rule rule) {
        Size size = grid.size();
        int from = grid.offset(0, 0, z);
        byte[] next = new byte[size.x() * size.y()];
        for (int i = 0; i < next.length; i++) next[i] = rule.of(i, voxels.at(from + i));
        put(from, next);
    }

    private void put(int from, byte[] next) {
        moved(voxels.put(from, next));
    }

    private boolean moved(boolean isAnother) {
        if (isAnother) region = Optional.empty();
        return isAnother;
    }

    private Mask layer(byte bit) {
        byte[] layer = new byte[voxels.count()];
        for (int i = 0; i < layer.length; i++) layer[i] = (byte) ((voxels.at(i) & bit) == 0 ? 0 : 1);
        return new Mask(grid, layer);
    }

    private Grid slice(int z) {
        Size size = grid.size();
        return grid.crop(new Box(0, 0, z, size.x() - 1, size.y() - 1, z));
    }

    private static Point onPlane(Grid slice, Point point) {
        Index at = slice.index(point);
        return slice.point(at.x(), at.y(), 0);
    }
}
