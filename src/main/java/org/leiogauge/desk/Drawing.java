// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
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
 * <p>Every change can be taken back and done again, without limit: a change is kept as the runs of voxels that it altered.
 * Cost of a change: linear in the voxels of the slices that it touches, but for {@link #replace}, linear in the grid.
 */
final class Drawing {
    private static final byte REGION = 1;
    private static final byte ADDED = 2;
    private static final byte REMOVED = 4;

    private final Grid grid;
    private final byte[] voxels;
    private final Deque<int[]> done = new ArrayDeque<>();
    private final Deque<int[]> undone = new ArrayDeque<>();
    private long version;
    private Optional<Mask> region = Optional.empty();

    /** Nothing drawn yet. */
    Drawing(Grid grid) {
        this.grid = grid;
        this.voxels = new byte[grid.size().voxels()];
    }

    Grid grid() {
        return grid;
    }

    /** Another number after every change. */
    long version() {
        return version;
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
        for (int i = 0; i < slice.length; i++) slice[i] = (byte) (voxels[from + i] & REGION);
        return MaskContours.of(new Mask(slice(z), slice));
    }

    /** The slice with most of the lesion; none if nothing is drawn. */
    OptionalInt largestSlice() {
        int best = -1;
        int most = 0;
        int length = grid.size().x() * grid.size().y();
        for (int z = 0; z < grid.size().z(); z++) {
            int count = 0;
            for (int i = z * length; i < (z + 1) * length; i++) count += voxels[i] & REGION;
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
        boolean[] near = near(slice(z), path, radiusMm);
        edit(z, (i, old) -> near[i] ? draw(old, adding) : old);
    }

    /** The same, and refinement has to hold to it. */
    void correct(int z, List<Point> path, double radiusMm, boolean adding) {
        if (path.isEmpty() || z < 0 || z >= grid.size().z()) return;
        boolean[] near = near(slice(z), path, radiusMm);
        byte settled = adding ? REGION | ADDED : REMOVED;
        edit(z, (i, old) -> near[i] ? settled : old);
    }

    /** Puts the region of one slice on another, in place of what is there. */
    void copy(int from, int to) {
        int slices = grid.size().z();
        if (from < 0 || to < 0 || from >= slices || to >= slices || from == to) return;
        int start = grid.offset(0, 0, from);
        edit(to, (i, old) -> (byte) (old & ~REGION | voxels[start + i] & REGION));
    }

    /** Puts another region in place of the drawn one; the reader's corrections stay. */
    void replace(Mask other) {
        if (!other.grid().size().equals(grid.size()))
            throw new IllegalArgumentException("other must have the drawing's size " + grid.size() + ", got "
                    + other.grid().size());
        Runs runs = new Runs();
        for (int i = 0; i < voxels.length; i++) runs.add(i, (voxels[i] ^ (voxels[i] & ~REGION | other.voxels()[i])));
        change(runs);
    }

    /** Takes all away, corrections too. */
    void clear() {
        Runs runs = new Runs();
        for (int i = 0; i < voxels.length; i++) runs.add(i, voxels[i]);
        change(runs);
    }

    /** @return whether there was anything to take back */
    boolean undo() {
        return move(done, undone);
    }

    /** @return whether there was anything to do again */
    boolean redo() {
        return move(undone, done);
    }

    /** How many changes can be taken back. */
    int changes() {
        return done.size();
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
        Runs runs = new Runs();
        for (int i = 0; i < size.x() * size.y(); i++)
            runs.add(from + i, voxels[from + i] ^ rule.of(i, voxels[from + i]));
        change(runs);
    }

    private void change(Runs runs) {
        int[] made = runs.array();
        if (made.length == 0) return;
        flip(made);
        done.push(made);
        undone.clear();
    }

    private boolean move(Deque<int[]> from, Deque<int[]> to) {
        if (from.isEmpty()) return false;
        int[] runs = from.pop();
        flip(runs);
        to.push(runs);
        return true;
    }

    // What differs is the same both ways.
    private void flip(int[] runs) {
        for (int r = 0; r < runs.length; r += 3)
            for (int i = runs[r]; i < runs[r] + runs[r + 1]; i++) voxels[i] ^= (byte) runs[r + 2];
        version++;
        region = Optional.empty();
    }

    /** Runs of voxels that change alike: first voxel, number, bits that change. */
    private static final class Runs {
        private int[] runs = new int[48];
        private int length;

        void add(int voxel, int bits) {
            if (bits == 0) return;
            int last = length - 3;
            if (last >= 0 && runs[last] + runs[last + 1] == voxel && runs[last + 2] == bits) {
                runs[last + 1]++;
                return;
            }
            if (length == runs.length) runs = Arrays.copyOf(runs, 2 * length);
            runs[length++] = voxel;
            runs[length++] = 1;
            runs[length++] = bits;
        }

        int[] array() {
            return Arrays.copyOf(runs, length);
        }
    }

    private Mask layer(byte bit) {
        byte[] layer = new byte[voxels.length];
        for (int i = 0; i < layer.length; i++) layer[i] = (byte) ((voxels[i] & bit) == 0 ? 0 : 1);
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

    private static boolean[] near(Grid slice, List<Point> path, double radiusMm) {
        Size size = slice.size();
        List<double[]> at = new ArrayList<>();
        for (Point point : path) {
            Index index = slice.index(point);
            at.add(new double[] {
                index.x() * slice.spacing().x(), index.y() * slice.spacing().y()
            });
        }
        boolean[] near = new boolean[size.x() * size.y()];
        for (int p = 0; p < at.size(); p++) dab(slice, at.get(Math.max(0, p - 1)), at.get(p), radiusMm, near);
        return near;
    }

    /** What lies within the radius of one straight piece, in mm in the slice. */
    private static void dab(Grid slice, double[] a, double[] b, double radius, boolean[] near) {
        Size size = slice.size();
        double sx = slice.spacing().x();
        double sy = slice.spacing().y();
        int left = (int) Math.max(0, Math.ceil((Math.min(a[0], b[0]) - radius) / sx));
        int right = (int) Math.min(size.x() - 1, Math.floor((Math.max(a[0], b[0]) + radius) / sx));
        int top = (int) Math.max(0, Math.ceil((Math.min(a[1], b[1]) - radius) / sy));
        int bottom = (int) Math.min(size.y() - 1, Math.floor((Math.max(a[1], b[1]) + radius) / sy));
        double dx = b[0] - a[0];
        double dy = b[1] - a[1];
        double square = dx * dx + dy * dy;
        for (int y = top; y <= bottom; y++)
            for (int x = left; x <= right; x++) {
                double px = x * sx - a[0];
                double py = y * sy - a[1];
                double t = square == 0 ? 0 : Math.max(0, Math.min(1, (px * dx + py * dy) / square));
                if (Math.hypot(px - t * dx, py - t * dy) <= radius) near[y * size.x() + x] = true;
            }
    }
}
