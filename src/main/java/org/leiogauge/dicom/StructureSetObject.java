// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.leiogauge.image.Contour;

/**
 * Contours as an RTSTRUCT object, to be written.
 *
 * <p>Source: PS3.3 A.19.3, C.8.8.5, C.8.8.6, C.8.8.8.
 */
public final class StructureSetObject {
    private static final long[][] COLOURS = {{255, 64, 64}, {64, 160, 255}, {64, 200, 64}, {255, 176, 0}};

    private StructureSetObject() {}

    /** One region: its name and its closed lines. */
    public record Region(String name, List<Contour> contours) {
        public Region {
            contours = List.copyOf(contours);
        }
    }

    /**
     * The data set; contours on a slice's plane name that slice's image.
     *
     * @param name what tells this object from others made of the same series: its UID comes from it
     */
    public static DataSet of(DrawnOn on, String label, List<Region> regions, String name) {
        DataSet header = on.header();
        String series = on.seriesUid();
        String frame = header.text(Tag.FRAME_OF_REFERENCE_UID).orElse("");
        String imageClass = on.imageClass();
        String id = "structure set " + series + " " + name;
        return Reference.start(header, Uid.RT_STRUCTURE_SET, Uid.of(id), Uid.of(id + " series"), "RTSTRUCT")
                .put(Tag.OPERATORS_NAME, "")
                .put(Tag.STRUCTURE_SET_LABEL, label)
                .put(Tag.STRUCTURE_SET_DATE, header.texts(Tag.STUDY_DATE).toArray(String[]::new))
                .put(Tag.STRUCTURE_SET_TIME, header.texts(Tag.STUDY_TIME).toArray(String[]::new))
                .put(Tag.APPROVAL_STATUS, "UNAPPROVED")
                .put(
                        Tag.REFERENCED_FRAME_OF_REFERENCE_SEQUENCE,
                        List.of(frameItem(header, on, imageClass, series, frame)))
                .put(Tag.STRUCTURE_SET_ROI_SEQUENCE, numbered(regions, (n, r) -> new DataSet()
                        .put(Tag.ROI_NUMBER, n)
                        .put(Tag.REFERENCED_FRAME_OF_REFERENCE_UID, frame)
                        .put(Tag.ROI_NAME, r.name)
                        .put(Tag.ROI_GENERATION_ALGORITHM, "")))
                .put(Tag.ROI_CONTOUR_SEQUENCE, numbered(regions, (n, r) -> new DataSet()
                        .put(Tag.REFERENCED_ROI_NUMBER, n)
                        .put(Tag.ROI_DISPLAY_COLOR, COLOURS[(n - 1) % COLOURS.length])
                        .put(
                                Tag.CONTOUR_SEQUENCE,
                                r.contours.stream()
                                        .map(c -> contour(c, on, imageClass))
                                        .toList())))
                .put(Tag.RTROI_OBSERVATIONS_SEQUENCE, numbered(regions, (n, r) -> new DataSet()
                        .put(Tag.OBSERVATION_NUMBER, n)
                        .put(Tag.REFERENCED_ROI_NUMBER, n)
                        .put(Tag.RTROI_INTERPRETED_TYPE, "")
                        .put(Tag.ROI_INTERPRETER, "")));
    }

    private static DataSet frameItem(DataSet header, DrawnOn on, String imageClass, String series, String frame) {
        List<DataSet> images = on.sopInstances().stream()
                .distinct()
                .map(uid -> Reference.instance(imageClass, uid))
                .toList();
        DataSet seriesItem = new DataSet().put(Tag.SERIES_INSTANCE_UID, series).put(Tag.CONTOUR_IMAGE_SEQUENCE, images);
        DataSet study = Reference.instance(
                        "1.2.840.10008.3.1.2.3.1",
                        header.text(Tag.STUDY_INSTANCE_UID).orElse(""))
                .put(Tag.RT_REFERENCED_SERIES_SEQUENCE, List.of(seriesItem));
        return new DataSet()
                .put(Tag.FRAME_OF_REFERENCE_UID, frame)
                .put(Tag.RT_REFERENCED_STUDY_SEQUENCE, List.of(study));
    }

    private static DataSet contour(Contour contour, DrawnOn on, String imageClass) {
        double[] data = contour.points().stream()
                .flatMap(p -> Stream.of(p.x(), p.y(), p.z()))
                .mapToDouble(Double::doubleValue)
                .toArray();
        DataSet item = new DataSet()
                .put(Tag.CONTOUR_GEOMETRIC_TYPE, "CLOSED_PLANAR")
                .put(Tag.NUMBER_OF_CONTOUR_POINTS, contour.points().size())
                .put(Tag.CONTOUR_DATA, data);
        double z = on.grid().index(contour.points().get(0)).z();
        int slice = (int) Math.rint(z);
        if (Math.abs(z - slice) < 1e-3
                && slice >= 0
                && slice < on.sopInstances().size())
            item.put(
                    Tag.CONTOUR_IMAGE_SEQUENCE,
                    List.of(Reference.instance(imageClass, on.sopInstances().get(slice))));
        return item;
    }

    private interface Item {
        DataSet of(int number, Region region);
    }

    private static List<DataSet> numbered(List<Region> regions, Item item) {
        List<DataSet> items = new ArrayList<>();
        for (int i = 0; i < regions.size(); i++) items.add(item.of(i + 1, regions.get(i)));
        return items;
    }
}
