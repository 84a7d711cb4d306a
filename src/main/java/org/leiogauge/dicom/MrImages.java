// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * Volumes as MR image objects, to be written: one object per slice, or all in one.
 *
 * <p>The caller's template holds what all images share: patient, study, series UID, frame of reference, description, and the
 * attributes of the acquisition. Geometry, pixels and UIDs are filled in. Source: PS3.3 A.4.3 and A.36.2, C.8.3.1, C.7.6.16.
 */
public final class MrImages {
    private MrImages() {}

    /**
     * One volume of a series.
     *
     * @param bValue in s/mm²
     * @param acquired date and time as in DICOM's DT, {@code 20260302101500.000000}
     */
    public record Part(Volume volume, OptionalDouble bValue, OptionalInt temporalPosition, Optional<String> acquired) {
        /** A volume that is all of its series. */
        public static Part of(Volume volume) {
            return new Part(volume, OptionalDouble.empty(), OptionalInt.empty(), Optional.empty());
        }
    }

    /** One classic object per slice of each part, in that order. */
    public static List<DataSet> classic(DataSet template, List<Part> parts) {
        List<DataSet> objects = new ArrayList<>();
        for (Part part : parts) {
            Volume volume = part.volume;
            Grid grid = volume.grid();
            StoredValues stored = StoredValues.of(volume.voxels());
            int pixels = grid.size().x() * grid.size().y();
            for (int z = 0; z < grid.size().z(); z++) {
                DataSet set = start(template, Uid.MR_IMAGE, objects.size() + 1, grid);
                position(set, grid, z);
                orientation(set, grid);
                measures(set, grid);
                stored.scale(stored.describe(set));
                part.bValue.ifPresent(b -> set.put(Tag.DIFFUSION_B_VALUE, b));
                part.temporalPosition.ifPresent(t -> set.put(Tag.TEMPORAL_POSITION_IDENTIFIER, t));
                part.acquired.ifPresent(t ->
                        set.put(Tag.ACQUISITION_DATE, t.substring(0, 8)).put(Tag.ACQUISITION_TIME, t.substring(8)));
                if (parts.size() > 1 && part.temporalPosition.isPresent())
                    set.put(Tag.NUMBER_OF_TEMPORAL_POSITIONS, parts.size());
                objects.add(set.put(
                        Element.bytes(Tag.PIXEL_DATA, Vr.OW, stored.bytes(volume.voxels(), z * pixels, pixels))));
            }
        }
        return objects;
    }

    /** All parts, which lie on one grid, in one enhanced object. */
    public static DataSet enhanced(DataSet template, List<Part> parts) {
        Grid grid = parts.get(0).volume.grid();
        StoredValues stored = StoredValues.of(joined(parts));
        DataSet set = start(template, Uid.ENHANCED_MR_IMAGE, 1, grid);
        stored.describe(set)
                .put(Tag.NUMBER_OF_FRAMES, parts.size() * grid.size().z());
        DataSet shared = new DataSet()
                .put(Tag.PIXEL_MEASURES_SEQUENCE, List.of(measures(new DataSet(), grid)))
                .put(Tag.PLANE_ORIENTATION_SEQUENCE, List.of(orientation(new DataSet(), grid)))
                .put(Tag.PIXEL_VALUE_TRANSFORMATION_SEQUENCE, List.of(stored.scale(new DataSet())))
                .put(
                        Tag.MR_IMAGE_FRAME_TYPE_SEQUENCE,
                        List.of(new DataSet()
                                .put(
                                        Tag.FRAME_TYPE,
                                        template.texts(Tag.IMAGE_TYPE).toArray(String[]::new))));
        timing(template, shared);
        List<DataSet> frames = new ArrayList<>();
        ByteArrayOutputStream pixels = new ByteArrayOutputStream();
        for (int i = 0; i < parts.size(); i++) {
            Volume volume = parts.get(i).volume;
            if (!volume.grid().equals(grid)) throw new IllegalArgumentException("parts must lie on one grid");
            for (int z = 0; z < grid.size().z(); z++) frames.add(frame(parts.get(i), i + 1, z, grid));
            pixels.writeBytes(stored.bytes(volume.voxels(), 0, volume.voxels().length));
        }
        return set.put(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE, List.of(shared))
                .put(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE, frames)
                .put(Element.bytes(Tag.PIXEL_DATA, Vr.OW, pixels.toByteArray()));
    }

    private static DataSet frame(Part part, int number, int z, Grid grid) {
        DataSet content = new DataSet().put(Tag.STACK_ID, "1").put(Tag.IN_STACK_POSITION_NUMBER, z + 1);
        content.put(Tag.DIMENSION_INDEX_VALUES, number, z + 1);
        part.temporalPosition.ifPresent(t -> content.put(Tag.TEMPORAL_POSITION_INDEX, t));
        part.acquired.ifPresent(t -> content.put(Tag.FRAME_ACQUISITION_DATE_TIME, t));
        DataSet frame = new DataSet()
                .put(Tag.FRAME_CONTENT_SEQUENCE, List.of(content))
                .put(Tag.PLANE_POSITION_SEQUENCE, List.of(position(new DataSet(), grid, z)));
        part.bValue.ifPresent(b -> frame.put(
                Tag.MR_DIFFUSION_SEQUENCE,
                List.of(new DataSet()
                        .put(Tag.DIFFUSION_B_VALUE, b)
                        .put(Tag.DIFFUSION_DIRECTIONALITY, b == 0 ? "NONE" : "ISOTROPIC"))));
        return frame;
    }

    // PS3.3 C.8.13.5.2 and C.8.13.5.4
    private static void timing(DataSet template, DataSet shared) {
        DataSet timing = new DataSet();
        template.get(Tag.REPETITION_TIME).ifPresent(timing::put);
        template.get(Tag.FLIP_ANGLE).ifPresent(timing::put);
        shared.put(Tag.MR_TIMING_AND_RELATED_PARAMETERS_SEQUENCE, List.of(timing));
        template.text(Tag.ECHO_TIME)
                .ifPresent(t -> shared.put(
                        Tag.MR_ECHO_SEQUENCE,
                        List.of(new DataSet().put(Tag.EFFECTIVE_ECHO_TIME, Double.parseDouble(t)))));
    }

    private static DataSet start(DataSet template, String classUid, int number, Grid grid) {
        String series = template.text(Tag.SERIES_INSTANCE_UID)
                .orElseThrow(() -> new IllegalArgumentException("template must have a series instance UID"));
        return template.copy()
                .put(Tag.SOP_CLASS_UID, classUid)
                .put(Tag.MODALITY, "MR")
                .put(Tag.SOP_INSTANCE_UID, Uid.of("image " + series + " " + number))
                .put(Tag.INSTANCE_NUMBER, number)
                .put(Tag.ROWS, grid.size().y())
                .put(Tag.COLUMNS, grid.size().x());
    }

    static DataSet position(DataSet set, Grid grid, int z) {
        Point at = grid.point(0, 0, z);
        return set.put(Tag.IMAGE_POSITION_PATIENT, at.x(), at.y(), at.z());
    }

    static DataSet orientation(DataSet set, Grid grid) {
        Vector x = grid.direction().x();
        Vector y = grid.direction().y();
        return set.put(Tag.IMAGE_ORIENTATION_PATIENT, x.x(), x.y(), x.z(), y.x(), y.y(), y.z());
    }

    static DataSet measures(DataSet set, Grid grid) {
        return set.put(Tag.PIXEL_SPACING, grid.spacing().y(), grid.spacing().x())
                .put(Tag.SLICE_THICKNESS, grid.spacing().z())
                .put(Tag.SPACING_BETWEEN_SLICES, grid.spacing().z());
    }

    private static float[] joined(List<Part> parts) {
        int count = parts.stream().mapToInt(p -> p.volume.voxels().length).sum();
        float[] all = new float[count];
        int at = 0;
        for (Part part : parts) {
            float[] voxels = part.volume.voxels();
            System.arraycopy(voxels, 0, all, at, voxels.length);
            at += voxels.length;
        }
        return all;
    }
}
