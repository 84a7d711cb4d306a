// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * One slice of a series in grey with maps see-through over it, one pixel per voxel. A map is looked up at the place in
 * patient space of each pixel: between voxel centres by straight lines, of parts by the nearest voxel.
 *
 * <p>Cost: linear in the pixels of the slice, times one more than the maps.
 */
final class SlicePainter {
    private SlicePainter() {}

    /**
     * Paints the slice.
     *
     * @param opacity of the maps, 0 to 1
     * @param every of so many voxels along x and y one is painted, beginning with the first: 1 for all
     * @param pixels one RGB value per voxel that is painted, x fastest
     */
    static void paint(
            Volume volume, int z, GreyRange range, List<Layer> layers, double opacity, int every, int[] pixels) {
        grey(volume, z, range, every, pixels);
        for (Layer layer : layers) over(volume.grid(), z, layer, opacity, every, pixels);
    }

    /** How many of so many voxels are painted. */
    static int painted(int voxels, int every) {
        return (voxels + every - 1) / every;
    }

    private static void grey(Volume volume, int z, GreyRange range, int every, int[] pixels) {
        float[] v = volume.voxels();
        Size size = volume.grid().size();
        float low = (float) range.low();
        float scale = (float) (255 / (range.high() - range.low()));
        int i = 0;
        for (int y = 0; y < size.y(); y += every) {
            int row = volume.grid().offset(0, y, z);
            for (int x = 0; x < size.x(); x += every, i++) {
                // a voxel without a value becomes 0 here: black
                int grey = Math.max(0, Math.min(255, (int) ((v[row + x] - low) * scale + 0.5f)));
                pixels[i] = 0x010101 * grey;
            }
        }
    }

    private static void over(Grid grid, int z, Layer layer, double opacity, int every, int[] pixels) {
        int[] colours = layer.colours();
        float low = layer.isParts() ? 0 : (float) layer.range().low();
        float scale = layer.isParts()
                ? 1
                : (float) ((Layer.COLOURS - 1)
                        / (layer.range().high() - layer.range().low()));
        int share = (int) Math.round(256 * Math.max(0, Math.min(1, opacity)));
        Size size = grid.size();
        Volume map = layer.volume();
        Step step = new Step(map.grid(), grid.stepX().times(every));
        float[] values = new float[painted(size.x(), every)];
        for (int y = 0; y < size.y(); y += every) {
            Index first = map.grid().index(grid.point(0, y, z));
            if (layer.isParts()) nearest(map, first, step, values);
            else linear(map, first, step, values);
            int row = y / every * values.length;
            for (int x = 0; x < values.length; x++) {
                float value = values[x];
                if (value != value) continue;
                int at = Math.max(0, Math.min(Layer.COLOURS - 1, (int) ((value - low) * scale + 0.5f)));
                pixels[row + x] = mixed(pixels[row + x], colours[at], share);
            }
        }
    }

    private static int mixed(int under, int over, int share) {
        int rest = 256 - share;
        int redBlue = ((under & 0xff00ff) * rest + (over & 0xff00ff) * share) >>> 8 & 0xff00ff;
        int green = ((under & 0x00ff00) * rest + (over & 0x00ff00) * share) >>> 8 & 0x00ff00;
        return redBlue | green;
    }

    /** From one pixel to the next, in the map's voxels. */
    private record Step(double x, double y, double z) {
        Step(Grid map, Vector step) {
            this(
                    step.dot(map.direction().x()) / map.spacing().x(),
                    step.dot(map.direction().y()) / map.spacing().y(),
                    step.dot(map.direction().z()) / map.spacing().z());
        }
    }

    private static void nearest(Volume map, Index first, Step step, float[] values) {
        Size size = map.grid().size();
        float[] v = map.voxels();
        for (int i = 0; i < values.length; i++) {
            int x = (int) Math.floor(first.x() + i * step.x + 0.5);
            int y = (int) Math.floor(first.y() + i * step.y + 0.5);
            int z = (int) Math.floor(first.z() + i * step.z + 0.5);
            boolean inside = x >= 0 && y >= 0 && z >= 0 && x < size.x() && y < size.y() && z < size.z();
            values[i] = inside ? v[(z * size.y() + y) * size.x() + x] : Float.NaN;
        }
    }

    private static void linear(Volume map, Index first, Step step, float[] values) {
        Size size = map.grid().size();
        float[] v = map.voxels();
        int nx = size.x();
        int ny = size.y();
        int nz = size.z();
        int slice = nx * ny;
        for (int i = 0; i < values.length; i++) {
            double px = first.x() + i * step.x;
            double py = first.y() + i * step.y;
            double pz = first.z() + i * step.z;
            // half a voxel beyond the outermost centres the map still has its border's value
            if (!(px >= -0.5 && py >= -0.5 && pz >= -0.5 && px <= nx - 0.5 && py <= ny - 0.5 && pz <= nz - 0.5)) {
                values[i] = Float.NaN;
                continue;
            }
            px = Math.max(0, Math.min(nx - 1, px));
            py = Math.max(0, Math.min(ny - 1, py));
            pz = Math.max(0, Math.min(nz - 1, pz));
            int x = (int) px;
            int y = (int) py;
            int z = (int) pz;
            float fx = (float) (px - x);
            float fy = (float) (py - y);
            float fz = (float) (pz - z);
            int at = z * slice + y * nx + x;
            int right = x + 1 < nx ? 1 : 0;
            int down = y + 1 < ny ? nx : 0;
            int next = z + 1 < nz ? slice : 0;
            float here = plane(v, at, right, down, fx, fy);
            values[i] = next == 0 || fz == 0 ? here : here + fz * (plane(v, at + next, right, down, fx, fy) - here);
        }
    }

    private static float plane(float[] v, int at, int right, int down, float fx, float fy) {
        float top = v[at] + fx * (v[at + right] - v[at]);
        float bottom = v[at + down] + fx * (v[at + down + right] - v[at + down]);
        return top + fy * (bottom - top);
    }

    /** A map's value at one place; NaN where it has none. */
    static double value(Layer layer, Point point) {
        float[] value = new float[1];
        Index at = layer.volume().grid().index(point);
        Step still = new Step(0, 0, 0);
        if (layer.isParts()) nearest(layer.volume(), at, still, value);
        else linear(layer.volume(), at, still, value);
        return value[0];
    }
}
