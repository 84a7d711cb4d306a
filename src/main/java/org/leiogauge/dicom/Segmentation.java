// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;

/**
 * The segments of a DICOM segmentation object: binary, or fractional and taken from half of the maximum on.
 *
 * <p>Source: DICOM PS3.3 A.51, C.8.20.
 */
public final class Segmentation {
    // Frames of a segmentation repeat their images' geometry up to the digits of its text.
    private static final double SAME_PLACE_VOXELS = 0.05;

    private final Path file;
    private final FrameReader pixels;
    private final DataSet set;
    private final Map<Integer, String> labels = new LinkedHashMap<>();

    private Segmentation(Path file, FrameReader pixels, DataSet set) {
        this.file = file;
        this.pixels = pixels;
        this.set = set;
    }

    /** @throws InputException if the file is no segmentation */
    public static Segmentation read(Path file) throws IOException, InputException {
        DicomReader.Header header = DicomReader.readHeader(file);
        DataSet set = header.set();
        String kind = set.text(Tag.SOP_CLASS_UID).orElse("");
        if (!kind.equals(Uid.SEGMENTATION))
            throw new InputException(file, Tag.text(Tag.SOP_CLASS_UID), kind, "a segmentation");
        Segmentation segmentation = new Segmentation(file, FrameReader.open(header), set);
        for (DataSet segment : set.items(Tag.SEGMENT_SEQUENCE)) {
            int number = segment.needWhole(Tag.SEGMENT_NUMBER, 1, 65535);
            segmentation.labels.put(number, segment.text(Tag.SEGMENT_LABEL).orElse("segment " + number));
        }
        return segmentation;
    }

    /** The segments' labels, in the order of the file. */
    public List<String> labels() {
        return List.copyOf(labels.values());
    }

    /** UID; empty where none is stated. */
    public String frameOfReference() {
        return set.text(Tag.FRAME_OF_REFERENCE_UID).orElse("");
    }

    /**
     * One segment on the grid of the series that it was made on.
     *
     * @return none if its frames do not lie on that grid
     * @throws InputException if the file is not usable
     */
    public Optional<Mask> mask(String label, Grid grid) throws IOException, InputException {
        PixelFormat format = pixels.format();
        if (format.columns() != grid.size().x() || format.rows() != grid.size().y()) return Optional.empty();
        byte[] voxels = new byte[grid.size().voxels()];
        int plane = grid.size().x() * grid.size().y();
        List<DataSet> perFrame = set.items(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE);
        if (perFrame.size() != format.frames())
            throw new InputException(
                    file,
                    Tag.text(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE),
                    perFrame.size() + " items",
                    "one per frame, " + format.frames());
        boolean fractional = set.text(Tag.SEGMENTATION_TYPE).orElse("").equals("FRACTIONAL");
        double half =
                fractional ? 0.5 * set.number(Tag.MAXIMUM_FRACTIONAL_VALUE).orElse(255) : 0.5;
        for (int frame = 0; frame < format.frames(); frame++) {
            DataSet groups = perFrame.get(frame);
            if (!labelOf(groups).equals(label)) continue;
            Optional<Integer> slice = slice(groups, grid);
            if (slice.isEmpty()) return Optional.empty();
            float[] values = values(frame, plane);
            for (int i = 0; i < plane; i++) if (values[i] >= half) voxels[slice.get() * plane + i] = 1;
        }
        return Optional.of(new Mask(grid, voxels));
    }

    private String labelOf(DataSet groups) throws InputException {
        Optional<DataSet> identification = functional(groups, Tag.SEGMENT_IDENTIFICATION_SEQUENCE);
        int number =
                identification.isEmpty() ? 1 : identification.get().needWhole(Tag.REFERENCED_SEGMENT_NUMBER, 1, 65535);
        return labels.getOrDefault(number, "segment " + number);
    }

    private Optional<Integer> slice(DataSet groups, Grid grid) throws InputException {
        DataSet plane = functional(groups, Tag.PLANE_POSITION_SEQUENCE)
                .orElseThrow(() -> new InputException(
                        file, Tag.text(Tag.PLANE_POSITION_SEQUENCE), "nothing", "the position of each frame"));
        double[] p = plane.needNumbers(Tag.IMAGE_POSITION_PATIENT, 3);
        Index at = grid.index(new Point(p[0], p[1], p[2]));
        long z = Math.round(at.z());
        boolean same = Math.abs(at.x()) < SAME_PLACE_VOXELS
                && Math.abs(at.y()) < SAME_PLACE_VOXELS
                && Math.abs(at.z() - z) < SAME_PLACE_VOXELS
                && z >= 0
                && z < grid.size().z();
        return same ? Optional.of((int) z) : Optional.empty();
    }

    private Optional<DataSet> functional(DataSet groups, int tag) {
        Optional<DataSet> own = groups.item(tag);
        return own.isPresent()
                ? own
                : set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE).flatMap(shared -> shared.item(tag));
    }

    private float[] values(int frame, int plane) throws IOException, InputException {
        float[] values = new float[plane];
        if (pixels.format().bits() != 1) {
            pixels.read(frame, values, 0, Scale.NONE);
            return values;
        }
        ByteBuffer bits = pixels.packedBits();
        for (int i = 0; i < plane; i++) {
            long bit = (long) frame * plane + i;
            values[i] = bits.get((int) (bit >> 3)) >> (bit & 7) & 1;
        }
        return values;
    }
}
