// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.task.InputException;

/**
 * Regions from a segmentation object, on the grid of the series that they were drawn on.
 *
 * <p>Binary segments are taken as they are; of fractional ones, what reaches half of the maximum. Source: PS3.3 A.51, C.8.20.2,
 * C.8.20.3.
 */
public final class Segmentation {
    private static final double SAME_PLACE_MM = 0.01;
    private static final double SHARE = 0.5;

    private Segmentation() {}

    /** One segment. */
    public record Segment(int number, String label, Mask mask, List<String> decisions) {
        public Segment {
            decisions = List.copyOf(decisions);
        }
    }

    /**
     * The segments of an object, in the order of their numbers; those without a frame are empty.
     *
     * @param on the volume that they are meant for
     * @throws InputException if frame of reference or pixels are not that volume's
     */
    public static List<Segment> read(Path file, SeriesVolume on) throws InputException {
        try {
            return read(DicomReader.readHeader(file), on);
        } catch (IOException e) {
            throw new InputException(file, "", "a file that cannot be read", "a readable file");
        }
    }

    private static List<Segment> read(DicomReader.Header header, SeriesVolume on) throws IOException, InputException {
        DataSet set = header.set();
        if (!set.has(Tag.SEGMENT_SEQUENCE))
            throw set.unusable(Tag.SEGMENT_SEQUENCE, "nothing", "the segments of a segmentation");
        List<String> decisions = new ArrayList<>();
        requireFrame(set, on, decisions);
        Map<Integer, String> labels = new LinkedHashMap<>();
        Map<Integer, byte[]> voxels = new LinkedHashMap<>();
        for (DataSet item : set.items(Tag.SEGMENT_SEQUENCE)) {
            int number = item.needWhole(Tag.SEGMENT_NUMBER, 1, 65535);
            labels.put(number, item.text(Tag.SEGMENT_LABEL).orElse("segment " + number));
        }
        Grid grid = on.volume().grid();
        Frames frames = Frames.open(header, decisions);
        List<Slice> slices = Slice.of(header);
        for (Slice slice : slices) {
            int number = segment(set, slice.frame());
            if (!labels.containsKey(number))
                throw set.unusable(Tag.REFERENCED_SEGMENT_NUMBER, String.valueOf(number), "a segment of this object");
            int z = place(slice, grid);
            byte[] target =
                    voxels.computeIfAbsent(number, n -> new byte[grid.size().voxels()]);
            frames.mark(slice.frame(), target, grid.offset(0, 0, z));
        }
        List<Segment> segments = new ArrayList<>();
        for (Map.Entry<Integer, String> label : labels.entrySet()) {
            byte[] inside = voxels.get(label.getKey());
            Mask mask = new Mask(grid, inside == null ? new byte[grid.size().voxels()] : inside);
            segments.add(new Segment(label.getKey(), label.getValue(), mask, decisions));
        }
        return segments;
    }

    private static void requireFrame(DataSet set, SeriesVolume on, List<String> decisions) throws InputException {
        String own = set.text(Tag.FRAME_OF_REFERENCE_UID).orElse("");
        if (own.isEmpty() || on.frameOfReferenceUid().isEmpty())
            decisions.add("the frame of reference is not stated: taken as the same");
        else if (!own.equals(on.frameOfReferenceUid()))
            throw set.unusable(Tag.FRAME_OF_REFERENCE_UID, own, "that of the series, " + on.frameOfReferenceUid());
    }

    private static int segment(DataSet set, int frame) throws InputException {
        List<DataSet> own = set.items(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE);
        Optional<DataSet> group =
                frame < own.size() ? own.get(frame).item(Tag.SEGMENT_IDENTIFICATION_SEQUENCE) : Optional.empty();
        DataSet found = group.or(() -> set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE)
                        .flatMap(s -> s.item(Tag.SEGMENT_IDENTIFICATION_SEQUENCE)))
                .orElse(set);
        return found.needWhole(Tag.REFERENCED_SEGMENT_NUMBER, 1, 65535);
    }

    /** The slice of the grid whose pixels are the frame's. */
    private static int place(Slice slice, Grid grid) throws InputException {
        Index at = grid.index(slice.position());
        int z = (int) Math.rint(Math.max(0, Math.min(grid.size().z() - 1.0, at.z())));
        boolean fits = slice.columns() == grid.size().x()
                && slice.rows() == grid.size().y()
                && grid.point(0, 0, z).distance(slice.position()) <= SAME_PLACE_MM
                && far(slice)
                                .distance(grid.point(
                                        grid.size().x() - 1.0, grid.size().y() - 1.0, z))
                        <= SAME_PLACE_MM
                && slice.row().dot(grid.direction().x()) > 1 - 1e-4;
        if (fits) return z;
        throw new InputException(
                slice.header().file(),
                "frame " + (slice.frame() + 1),
                slice.columns() + " × " + slice.rows() + " pixels from " + slice.position(),
                "the pixels of a slice of the series: " + grid.size() + " voxels from " + grid.origin());
    }

    private static org.leiogauge.image.Point far(Slice slice) {
        return slice.position()
                .plus(slice.row().times((slice.columns() - 1) * slice.spacingX()))
                .plus(slice.column().times((slice.rows() - 1) * slice.spacingY()));
    }

    /** The frames as inside or outside. */
    private record Frames(FrameReader reader, PixelFormat format, Optional<ByteBuffer> bits, double least) {

        static Frames open(DicomReader.Header header, List<String> decisions) throws IOException, InputException {
            FrameReader reader = FrameReader.open(header);
            FrameReader.requirePlausible(header);
            PixelFormat format = reader.format();
            if (format.bits() == 1) return new Frames(reader, format, Optional.of(reader.packedBits()), 1);
            if (!header.set().text(Tag.SEGMENTATION_TYPE).equals(Optional.of("FRACTIONAL")))
                return new Frames(reader, format, Optional.empty(), 1);
            double most = header.set().number(Tag.MAXIMUM_FRACTIONAL_VALUE).orElse(255);
            decisions.add("fractional segmentation: voxels of at least half of the maximum " + most);
            return new Frames(reader, format, Optional.empty(), SHARE * most);
        }

        void mark(int frame, byte[] target, int at) throws IOException, InputException {
            int pixels = (int) format.pixels();
            if (bits.isPresent()) {
                long first = (long) frame * pixels;
                for (int i = 0; i < pixels; i++) {
                    long bit = first + i;
                    target[at + i] |= (byte) (bits.get().get((int) (bit >> 3)) >> (bit & 7) & 1);
                }
                return;
            }
            float[] values = new float[pixels];
            reader.read(frame, values, 0, Scale.NONE);
            for (int i = 0; i < pixels; i++) if (values[i] >= least) target[at + i] = 1;
        }
    }
}
