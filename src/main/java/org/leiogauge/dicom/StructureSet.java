// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;

/**
 * The drawn regions of an RT structure set.
 *
 * <p>Source: DICOM PS3.3 A.19, C.8.8.5 and C.8.8.6.
 */
public record StructureSet(List<Roi> rois) {
    private static final int MOST_POINTS = 10_000_000;

    public StructureSet {
        rois = List.copyOf(rois);
    }

    /**
     * One region.
     *
     * @param frameOfReference UID; empty where none is stated
     * @param contours closed planar ones
     * @param images SOP instance UIDs that the contours name
     * @param decisions what was passed over
     */
    public record Roi(
            String name, String frameOfReference, List<Contour> contours, Set<String> images, List<String> decisions) {
        public Roi {
            contours = List.copyOf(contours);
            images = Set.copyOf(images);
            decisions = List.copyOf(decisions);
        }
    }

    /** @throws InputException if the file is no RT structure set or a contour is not usable */
    public static StructureSet read(Path file) throws IOException, InputException {
        return of(file, DicomReader.read(file));
    }

    static StructureSet of(Path file, DataSet set) throws InputException {
        String kind = set.text(Tag.SOP_CLASS_UID).orElse("");
        if (!kind.equals(Uid.RT_STRUCTURE_SET))
            throw new InputException(file, Tag.text(Tag.SOP_CLASS_UID), kind, "an RT structure set");
        Map<Integer, DataSet> named = new LinkedHashMap<>();
        for (DataSet roi : set.items(Tag.STRUCTURE_SET_ROI_SEQUENCE))
            named.put(roi.needWhole(Tag.ROI_NUMBER, 0, Integer.MAX_VALUE), roi);
        List<Roi> rois = new ArrayList<>();
        for (DataSet drawn : set.items(Tag.ROI_CONTOUR_SEQUENCE)) {
            int number = drawn.needWhole(Tag.REFERENCED_ROI_NUMBER, 0, Integer.MAX_VALUE);
            rois.add(roi(file, named.getOrDefault(number, new DataSet()), number, drawn));
        }
        return new StructureSet(rois);
    }

    private static Roi roi(Path file, DataSet named, int number, DataSet drawn) throws InputException {
        String name = named.text(Tag.ROI_NAME).orElse("region " + number);
        List<Contour> contours = new ArrayList<>();
        Set<String> images = new LinkedHashSet<>();
        int passedOver = 0;
        for (DataSet contour : drawn.items(Tag.CONTOUR_SEQUENCE)) {
            for (DataSet image : contour.items(Tag.CONTOUR_IMAGE_SEQUENCE))
                image.text(Tag.REFERENCED_SOP_INSTANCE_UID).ifPresent(images::add);
            if (contour.text(Tag.CONTOUR_GEOMETRIC_TYPE).orElse("").startsWith("CLOSED"))
                contours.add(contour(file, name, contour));
            else passedOver++;
        }
        List<String> decisions = passedOver == 0
                ? List.of()
                : List.of(passedOver + " contours of " + name + " that are not closed were passed over");
        return new Roi(name, named.text(Tag.REFERENCED_FRAME_OF_REFERENCE_UID).orElse(""), contours, images, decisions);
    }

    private static Contour contour(Path file, String name, DataSet contour) throws InputException {
        double[] numbers = contour.numbers(Tag.CONTOUR_DATA);
        String field = name + ", " + Tag.text(Tag.CONTOUR_DATA);
        if (numbers.length % 3 != 0 || numbers.length > MOST_POINTS)
            throw new InputException(file, field, numbers.length + " numbers", "three per point");
        List<Point> points = new ArrayList<>();
        try {
            for (int i = 0; i < numbers.length; i += 3)
                points.add(new Point(numbers[i], numbers[i + 1], numbers[i + 2]));
            return new Contour(points);
        } catch (IllegalArgumentException e) {
            throw InputException.refused(file, field, e);
        }
    }
}
