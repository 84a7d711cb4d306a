// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;

/**
 * Masks as a binary segmentation object, to be written: bits packed, slices without a voxel left out.
 *
 * <p>Source: PS3.3 A.51, C.8.20.2 to C.8.20.4, C.7.6.16, C.7.6.17.
 */
public final class SegmentationObject {
    private static final double SAME_PLACE_MM = 0.01;
    private static final long SERIES_NUMBER = 9101;
    private static final Code SOURCE_IMAGE = Code.dcm("121322", "Source image for image processing operation");
    private static final Code SEGMENTATION = Code.dcm("113076", "Segmentation");

    private SegmentationObject() {}

    /**
     * One segment.
     *
     * @param description how it was found; empty where nothing is to be said
     * @param region of the body
     */
    public record Segment(
            String label,
            Code category,
            Code type,
            Mask mask,
            String description,
            Optional<Code> region,
            Optional<Tracking> tracking) {
        /** One of which no more is known. */
        public Segment(String label, Code category, Code type, Mask mask) {
            this(label, category, type, mask, "", Optional.empty(), Optional.empty());
        }
    }

    /** What is followed from object to object: a name and a UID. */
    public record Tracking(String id, String uid) {}

    /**
     * The data set.
     *
     * @param on the volume on whose grid the masks lie; one of them at least has a voxel
     * @param name what tells this object from others made of the same series: its UID comes from it
     */
    public static DataSet of(DrawnOn on, List<Segment> segments, String label, String name) {
        DataSet header = on.header();
        Grid grid = on.grid();
        String series = on.seriesUid();
        String id = "segmentation " + series + " " + name;
        String imageClass = on.imageClass();
        List<DataSet> frames = new ArrayList<>();
        byte[] bits = pack(grid, segments, frames, on, imageClass);
        DataSet set = Reference.start(header, Uid.SEGMENTATION, Uid.of(id), Uid.of(id + " series"), "SEG")
                .put(Tag.IMAGE_TYPE, "DERIVED", "PRIMARY")
                .put(Tag.SERIES_NUMBER, SERIES_NUMBER)
                .put(Tag.INSTANCE_NUMBER, 1)
                .put(Tag.CONTENT_LABEL, "SEGMENTATION")
                .putText(Tag.CONTENT_DESCRIPTION, label)
                .put(Tag.CONTENT_CREATOR_NAME, "")
                .put(Tag.SEGMENTATION_TYPE, "BINARY")
                .put(Tag.LOSSY_IMAGE_COMPRESSION, "00")
                .put(Tag.SAMPLES_PER_PIXEL, 1)
                .put(Tag.PHOTOMETRIC_INTERPRETATION, "MONOCHROME2")
                .put(Tag.NUMBER_OF_FRAMES, frames.size())
                .put(Tag.ROWS, grid.size().y())
                .put(Tag.COLUMNS, grid.size().x())
                .put(Tag.BITS_ALLOCATED, 1)
                .put(Tag.BITS_STORED, 1)
                .put(Tag.HIGH_BIT, 0)
                .put(Tag.PIXEL_REPRESENTATION, 0)
                .put(Tag.SEGMENT_SEQUENCE, segmentItems(segments))
                .put(Tag.REFERENCED_SERIES_SEQUENCE, List.of(seriesItem(series, imageClass, on)));
        Reference.putMoment(set, header);
        dimensions(set, id);
        DataSet shared = new DataSet()
                .put(Tag.PIXEL_MEASURES_SEQUENCE, List.of(MrImages.measures(new DataSet(), grid)))
                .put(Tag.PLANE_ORIENTATION_SEQUENCE, List.of(MrImages.orientation(new DataSet(), grid)));
        return set.put(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE, List.of(shared))
                .put(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE, frames)
                .put(Element.bytes(Tag.PIXEL_DATA, Vr.OB, bits));
    }

    // PS3.5 8.2: from the least significant bit on, frames without padding between them
    private static byte[] pack(Grid grid, List<Segment> segments, List<DataSet> frames, DrawnOn on, String imageClass) {
        int pixels = grid.size().x() * grid.size().y();
        List<int[]> kept = new ArrayList<>();
        for (int s = 0; s < segments.size(); s++) {
            if (!segments.get(s).mask.grid().coincides(grid, SAME_PLACE_MM))
                throw new IllegalArgumentException("masks must lie on the volume's grid");
            for (int z = 0; z < grid.size().z(); z++)
                if (!isEmpty(segments.get(s).mask, z * pixels, pixels)) kept.add(new int[] {s, z});
        }
        if (kept.isEmpty()) throw new IllegalArgumentException("masks must hold a voxel, all are empty");
        byte[] bits = new byte[Math.toIntExact(((long) kept.size() * pixels + 7) / 8)];
        for (int f = 0; f < kept.size(); f++) {
            int z = kept.get(f)[1];
            byte[] voxels = segments.get(kept.get(f)[0]).mask.voxels();
            for (int i = 0; i < pixels; i++) {
                long bit = (long) f * pixels + i;
                bits[(int) (bit >> 3)] |= (byte) (voxels[z * pixels + i] << (bit & 7));
            }
            frames.add(frame(
                    grid, kept.get(f)[0] + 1, z, imageClass, on.sopInstances().get(z)));
        }
        return bits;
    }

    private static boolean isEmpty(Mask mask, int from, int count) {
        for (int i = from; i < from + count; i++) if (mask.voxels()[i] != 0) return false;
        return true;
    }

    private static DataSet frame(Grid grid, int segment, int z, String imageClass, String instance) {
        DataSet source = Reference.instance(imageClass, instance)
                .put(Tag.PURPOSE_OF_REFERENCE_CODE_SEQUENCE, List.of(SOURCE_IMAGE.item()));
        DataSet derivation = new DataSet()
                .put(Tag.SOURCE_IMAGE_SEQUENCE, List.of(source))
                .put(Tag.DERIVATION_CODE_SEQUENCE, List.of(SEGMENTATION.item()));
        return new DataSet()
                .put(Tag.DERIVATION_IMAGE_SEQUENCE, List.of(derivation))
                .put(Tag.FRAME_CONTENT_SEQUENCE, List.of(new DataSet().put(Tag.DIMENSION_INDEX_VALUES, segment, z + 1)))
                .put(Tag.PLANE_POSITION_SEQUENCE, List.of(MrImages.position(new DataSet(), grid, z)))
                .put(
                        Tag.SEGMENT_IDENTIFICATION_SEQUENCE,
                        List.of(new DataSet().put(Tag.REFERENCED_SEGMENT_NUMBER, segment)));
    }

    private static List<DataSet> segmentItems(List<Segment> segments) {
        List<DataSet> items = new ArrayList<>();
        for (int i = 0; i < segments.size(); i++) {
            Segment segment = segments.get(i);
            DataSet item = new DataSet()
                    .put(Tag.SEGMENT_NUMBER, i + 1)
                    .putText(Tag.SEGMENT_LABEL, segment.label)
                    .put(Tag.SEGMENT_ALGORITHM_TYPE, "SEMIAUTOMATIC")
                    .put(Tag.SEGMENT_ALGORITHM_NAME, "Leiogauge")
                    .put(Tag.SEGMENTED_PROPERTY_CATEGORY_CODE_SEQUENCE, List.of(segment.category.item()))
                    .put(Tag.SEGMENTED_PROPERTY_TYPE_CODE_SEQUENCE, List.of(segment.type.item()));
            addKnown(item, segment);
            items.add(item);
        }
        return items;
    }

    private static void addKnown(DataSet item, Segment segment) {
        if (!segment.description.isEmpty()) item.putText(Tag.SEGMENT_DESCRIPTION, segment.description);
        segment.region.ifPresent(region -> item.put(Tag.ANATOMIC_REGION_SEQUENCE, List.of(region.item())));
        segment.tracking.ifPresent(
                tracking -> item.putText(Tag.TRACKING_ID, tracking.id()).put(Tag.TRACKING_UID, tracking.uid()));
    }

    private static DataSet seriesItem(String series, String imageClass, DrawnOn on) {
        return new DataSet()
                .put(Tag.SERIES_INSTANCE_UID, series)
                .put(
                        Tag.REFERENCED_INSTANCE_SEQUENCE,
                        on.sopInstances().stream()
                                .distinct()
                                .map(uid -> Reference.instance(imageClass, uid))
                                .toList());
    }

    private static void dimensions(DataSet set, String id) {
        String organisation = Uid.of(id + " dimensions");
        set.put(
                        Tag.DIMENSION_ORGANIZATION_SEQUENCE,
                        List.of(new DataSet().put(Tag.DIMENSION_ORGANIZATION_UID, organisation)))
                .put(
                        Tag.DIMENSION_INDEX_SEQUENCE,
                        List.of(
                                index(organisation, Tag.REFERENCED_SEGMENT_NUMBER, Tag.SEGMENT_IDENTIFICATION_SEQUENCE),
                                index(organisation, Tag.IMAGE_POSITION_PATIENT, Tag.PLANE_POSITION_SEQUENCE)));
    }

    private static DataSet index(String organisation, int tag, int group) {
        return new DataSet()
                .put(Tag.DIMENSION_ORGANIZATION_UID, organisation)
                .put(Tag.DIMENSION_INDEX_POINTER, tag & 0xFFFFFFFFL)
                .put(Tag.FUNCTIONAL_GROUP_POINTER, group & 0xFFFFFFFFL);
    }
}
