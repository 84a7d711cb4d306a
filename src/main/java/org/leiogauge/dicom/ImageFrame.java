// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.task.InputException;

/**
 * One frame of an image object and what sorts it into a volume: its place and what it was acquired with.
 *
 * @param number of the frame in its object, from 0
 * @param position centre of the first pixel
 * @param row the direction in which columns count up, and {@code column} that in which rows do
 * @param rowSpacing between rows, and {@code columnSpacing} between columns, in mm
 * @param thickness of the slice or distance to the next as stated, in mm
 * @param bValue in s/mm²
 * @param acquired time of day in s
 * @param kind the third value of the image type on, which parts maps from the images they were made of
 */
record ImageFrame(
        DicomReader.Header header,
        int number,
        Point position,
        Vector row,
        Vector column,
        double rowSpacing,
        double columnSpacing,
        OptionalDouble thickness,
        Optional<BValue> bValue,
        OptionalDouble temporalPosition,
        OptionalDouble acquired,
        OptionalDouble echoTime,
        String kind,
        Scale scale) {

    /** All frames of an image object; classic (PS3.3 C.8.3) or enhanced (C.7.6.16). */
    static List<ImageFrame> of(DicomReader.Header header) throws InputException {
        DataSet set = header.set();
        List<DataSet> perFrame = set.items(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE);
        if (perFrame.isEmpty()) return List.of(frame(header, 0, set, set, set, set, set, set, set));
        DataSet shared = set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE).orElse(new DataSet());
        int frames = set.needWhole(Tag.NUMBER_OF_FRAMES, 1, 1 << 20);
        if (perFrame.size() != frames)
            throw set.unusable(
                    Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE, perFrame.size() + " items", "one per frame, " + frames);
        List<ImageFrame> all = new ArrayList<>();
        for (int i = 0; i < frames; i++) {
            DataSet own = perFrame.get(i);
            all.add(frame(
                    header,
                    i,
                    group(own, shared, Tag.PLANE_POSITION_SEQUENCE),
                    group(own, shared, Tag.PLANE_ORIENTATION_SEQUENCE),
                    group(own, shared, Tag.PIXEL_MEASURES_SEQUENCE),
                    group(own, shared, Tag.MR_DIFFUSION_SEQUENCE),
                    group(own, shared, Tag.FRAME_CONTENT_SEQUENCE),
                    group(own, shared, Tag.MR_ECHO_SEQUENCE),
                    valueGroup(own, shared)));
        }
        return all;
    }

    private static DataSet group(DataSet own, DataSet shared, int tag) {
        return own.item(tag).or(() -> shared.item(tag)).orElse(new DataSet());
    }

    private static DataSet valueGroup(DataSet own, DataSet shared) {
        DataSet merged =
                group(own, shared, Tag.PIXEL_VALUE_TRANSFORMATION_SEQUENCE).copy();
        merged.putAll(group(own, shared, Tag.MR_IMAGE_FRAME_TYPE_SEQUENCE));
        List<DataSet> maps = own.items(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE);
        if (maps.isEmpty()) maps = shared.items(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE);
        return maps.isEmpty() ? merged : merged.put(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE, maps);
    }

    private static ImageFrame frame(
            DicomReader.Header header,
            int number,
            DataSet position,
            DataSet orientation,
            DataSet measures,
            DataSet diffusion,
            DataSet content,
            DataSet echo,
            DataSet values)
            throws InputException {
        DataSet set = header.set();
        double[] p = from(set, position, Tag.IMAGE_POSITION_PATIENT, 3);
        double[] o = from(set, orientation, Tag.IMAGE_ORIENTATION_PATIENT, 6);
        double[] s = from(set, measures, Tag.PIXEL_SPACING, 2);
        if (!(s[0] > 0 && s[1] > 0)) throw set.unusable(Tag.PIXEL_SPACING, Arrays.toString(s), "two lengths > 0 mm");
        OptionalDouble spacing = measures.number(Tag.SPACING_BETWEEN_SLICES);
        List<String> type =
                values.texts(Tag.FRAME_TYPE).isEmpty() ? set.texts(Tag.IMAGE_TYPE) : values.texts(Tag.FRAME_TYPE);
        return new ImageFrame(
                header,
                number,
                new Point(p[0], p[1], p[2]),
                new Vector(o[0], o[1], o[2]),
                new Vector(o[3], o[4], o[5]),
                s[0],
                s[1],
                spacing.isPresent() ? spacing : measures.number(Tag.SLICE_THICKNESS),
                BValue.of(set, diffusion),
                temporal(set, content),
                time(set, content),
                first(echo.number(Tag.EFFECTIVE_ECHO_TIME), echo.number(Tag.ECHO_TIME)),
                String.join("/", type.subList(Math.min(2, type.size()), type.size())),
                scale(values));
    }

    private static double[] from(DataSet set, DataSet group, int tag, int count) throws InputException {
        // an absent group is an empty set without a file: the object itself makes the message
        return group.has(tag) ? group.needNumbers(tag, count) : set.needNumbers(tag, count);
    }

    private static OptionalDouble temporal(DataSet set, DataSet content) throws InputException {
        return first(content.number(Tag.TEMPORAL_POSITION_INDEX), set.number(Tag.TEMPORAL_POSITION_IDENTIFIER));
    }

    private static OptionalDouble time(DataSet set, DataSet content) {
        Optional<String> stamp = content.text(Tag.FRAME_ACQUISITION_DATE_TIME)
                .or(() -> set.text(Tag.ACQUISITION_DATE_TIME))
                .filter(text -> text.length() >= 14)
                .map(text -> text.substring(8));
        return stamp.or(() -> set.text(Tag.ACQUISITION_TIME))
                .map(TimeOfDay::seconds)
                .orElse(OptionalDouble.empty());
    }

    private static OptionalDouble first(OptionalDouble one, OptionalDouble other) {
        return one.isPresent() ? one : other;
    }

    // The rescale of the image where there is one; else the real-world map, which some scanners give alone.
    private static Scale scale(DataSet values) throws InputException {
        OptionalDouble slope = values.number(Tag.RESCALE_SLOPE);
        if (slope.isPresent() && slope.getAsDouble() != 0)
            return new Scale(
                    slope.getAsDouble(), values.number(Tag.RESCALE_INTERCEPT).orElse(0));
        Optional<DataSet> map =
                values.item(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE).filter(item -> item.has(Tag.REAL_WORLD_VALUE_SLOPE));
        if (map.isEmpty()) return Scale.NONE;
        return new Scale(
                map.get().number(Tag.REAL_WORLD_VALUE_SLOPE).orElse(1),
                map.get().number(Tag.REAL_WORLD_VALUE_INTERCEPT).orElse(0));
    }

    /** What frames of one volume share; volumes differ in it. */
    String volumeKey() {
        return String.format(
                Locale.ROOT,
                "%s|%s|%s|%s",
                bValue.map(b -> Double.toString(b.value())).orElse(""),
                temporalPosition,
                echoTime,
                kind);
    }

    /** What all frames of a series must share to be read as volumes. */
    String planeKey() throws InputException {
        DataSet set = header.set();
        return String.format(
                Locale.ROOT,
                "%d × %d pixels of %.4f × %.4f mm, rows along (%.3f, %.3f, %.3f), columns along (%.3f, %.3f, %.3f)",
                set.needWhole(Tag.COLUMNS, 1, 65535),
                set.needWhole(Tag.ROWS, 1, 65535),
                columnSpacing,
                rowSpacing,
                row.x() + 0.0,
                row.y() + 0.0,
                row.z() + 0.0,
                column.x() + 0.0,
                column.y() + 0.0,
                column.z() + 0.0);
    }

    String sopInstance() {
        return header.set().text(Tag.SOP_INSTANCE_UID).orElse("") + "#" + number;
    }

    double along(Vector normal) {
        return position.minus(new Point(0, 0, 0)).dot(normal);
    }
}
