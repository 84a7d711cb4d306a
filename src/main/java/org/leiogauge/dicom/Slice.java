// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.task.InputException;

/**
 * One frame of one image object: where it lies in the patient, when and how it was acquired, how its values scale.
 *
 * <p>An attribute of an enhanced object is looked up in the frame's functional groups, then in the shared ones, then in the
 * data set; of a classic object, in the data set. Source: PS3.3 C.7.6.2, C.7.6.16, C.8.13.5.
 *
 * @param row direction in which the column index grows
 * @param column direction in which the row index grows
 * @param spacingX between columns, in mm
 * @param acquired seconds of the day
 * @param offset seconds after the first time point, as the object states it
 */
record Slice(
        DicomReader.Header header,
        int frame,
        String instanceUid,
        int instanceNumber,
        Point position,
        Vector row,
        Vector column,
        double spacingX,
        double spacingY,
        OptionalDouble thickness,
        int rows,
        int columns,
        Scale scale,
        String unit,
        String scaleSource,
        String imageType,
        Optional<BValue> bValue,
        OptionalInt temporalPosition,
        OptionalDouble echoTime,
        OptionalDouble acquired,
        OptionalDouble offset) {

    static List<Slice> of(DicomReader.Header header) throws InputException {
        PixelFormat format = PixelFormat.of(header);
        int frames = format.frames();
        List<DataSet> groups = header.set().items(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE);
        if (frames > 1 && groups.size() != frames)
            throw header.set()
                    .unusable(
                            Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE,
                            groups.size() + " items",
                            "one for each of " + frames + " frames");
        DataSet shared =
                header.set().item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE).orElseGet(DataSet::new);
        List<Slice> slices = new ArrayList<>();
        for (int i = 0; i < frames; i++)
            slices.add(new Places(header, i < groups.size() ? groups.get(i) : new DataSet(), shared).slice(i, format));
        return slices;
    }

    Vector normal() {
        return row.cross(column).unit();
    }

    double along(Vector normal) {
        return position.minus(new Point(0, 0, 0)).dot(normal);
    }

    private record Places(DicomReader.Header header, DataSet own, DataSet shared) {

        /** The item of a functional group, or the data set. */
        DataSet group(int sequence) {
            return own.item(sequence).or(() -> shared.item(sequence)).orElse(header.set());
        }

        Slice slice(int frame, PixelFormat format) throws InputException {
            DataSet set = header.set();
            double[] at = group(Tag.PLANE_POSITION_SEQUENCE).needNumbers(Tag.IMAGE_POSITION_PATIENT, 3);
            double[] axes = group(Tag.PLANE_ORIENTATION_SEQUENCE).needNumbers(Tag.IMAGE_ORIENTATION_PATIENT, 6);
            DataSet measures = group(Tag.PIXEL_MEASURES_SEQUENCE);
            double[] spacing = measures.needNumbers(Tag.PIXEL_SPACING, 2);
            if (!(spacing[0] > 0 && spacing[1] > 0))
                throw set.unusable(Tag.PIXEL_SPACING, spacing[0] + "\\" + spacing[1], "more than 0 mm");
            Vector row = new Vector(axes[0], axes[1], axes[2]);
            Vector column = new Vector(axes[3], axes[4], axes[5]);
            requireSquare(row, column);
            Scaling scaling = scaling();
            return new Slice(
                    header,
                    frame,
                    set.needText(Tag.SOP_INSTANCE_UID),
                    set.whole(Tag.INSTANCE_NUMBER).orElse(0),
                    new Point(at[0], at[1], at[2]),
                    row,
                    column,
                    spacing[1],
                    spacing[0],
                    thickness(measures),
                    format.rows(),
                    format.columns(),
                    scaling.scale,
                    scaling.unit,
                    scaling.source,
                    String.join("\\", imageType()),
                    BValue.of(group(Tag.MR_DIFFUSION_SEQUENCE), set),
                    temporalPosition(),
                    echoTime(),
                    acquired(),
                    offset());
        }

        private void requireSquare(Vector row, Vector column) throws InputException {
            if (Math.abs(row.length() - 1) < 1e-3
                    && Math.abs(column.length() - 1) < 1e-3
                    && Math.abs(row.dot(column)) < 1e-3) return;
            throw header.set()
                    .unusable(
                            Tag.IMAGE_ORIENTATION_PATIENT,
                            row + " and " + column,
                            "two directions of length 1 at right angles");
        }

        private OptionalDouble thickness(DataSet measures) throws InputException {
            OptionalDouble between = measures.number(Tag.SPACING_BETWEEN_SLICES);
            if (between.isEmpty() || !(between.getAsDouble() > 0)) between = measures.number(Tag.SLICE_THICKNESS);
            return between.isPresent() && between.getAsDouble() > 0 && Double.isFinite(between.getAsDouble())
                    ? between
                    : OptionalDouble.empty();
        }

        private List<String> imageType() {
            List<String> type = group(Tag.MR_IMAGE_FRAME_TYPE_SEQUENCE).texts(Tag.FRAME_TYPE);
            return type.isEmpty() ? header.set().texts(Tag.IMAGE_TYPE) : type;
        }

        private OptionalInt temporalPosition() throws InputException {
            OptionalInt index = group(Tag.FRAME_CONTENT_SEQUENCE).whole(Tag.TEMPORAL_POSITION_INDEX);
            return index.isPresent() ? index : header.set().whole(Tag.TEMPORAL_POSITION_IDENTIFIER);
        }

        private OptionalDouble echoTime() throws InputException {
            OptionalDouble effective = group(Tag.MR_ECHO_SEQUENCE).number(Tag.EFFECTIVE_ECHO_TIME);
            return effective.isPresent() ? effective : header.set().number(Tag.ECHO_TIME);
        }

        private OptionalDouble acquired() {
            OptionalDouble frame =
                    Moment.ofDateTime(group(Tag.FRAME_CONTENT_SEQUENCE).text(Tag.FRAME_ACQUISITION_DATE_TIME));
            if (frame.isPresent()) return frame;
            OptionalDouble time = Moment.ofTime(header.set().text(Tag.ACQUISITION_TIME));
            return time.isPresent() ? time : Moment.ofDateTime(header.set().text(Tag.ACQUISITION_DATE_TIME));
        }

        // PS3.3 C.7.6.16.2.2.6 in s; (0018,1060) in ms
        private OptionalDouble offset() throws InputException {
            double[] offsets = header.set().numbers(Tag.TEMPORAL_POSITION_TIME_OFFSET);
            if (offsets.length == 1) return OptionalDouble.of(offsets[0]);
            OptionalDouble trigger = header.set().number(Tag.TRIGGER_TIME);
            return trigger.isPresent() ? OptionalDouble.of(trigger.getAsDouble() / 1000) : trigger;
        }

        private record Scaling(Scale scale, String unit, String source) {}

        // A real-world map with a unit says what is meant; without one, the rescale attributes go first.
        private Scaling scaling() throws InputException {
            DataSet transformation = group(Tag.PIXEL_VALUE_TRANSFORMATION_SEQUENCE);
            OptionalDouble slope = transformation.number(Tag.RESCALE_SLOPE);
            OptionalDouble intercept = transformation.number(Tag.RESCALE_INTERCEPT);
            Optional<DataSet> map = own.item(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE)
                    .or(() -> shared.item(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE))
                    .or(() -> header.set().item(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE))
                    .filter(m -> m.has(Tag.REAL_WORLD_VALUE_SLOPE));
            String unit = map.flatMap(m -> m.item(Tag.MEASUREMENT_UNITS_CODE_SEQUENCE))
                    .flatMap(m -> m.text(Tag.CODE_VALUE))
                    .orElse("");
            boolean isPhysical = !unit.isEmpty() && !unit.equals("1") && !unit.startsWith("{");
            if (map.isPresent() && (isPhysical || slope.isEmpty()))
                return new Scaling(
                        scale(
                                map.get().number(Tag.REAL_WORLD_VALUE_SLOPE).orElse(1),
                                map.get().number(Tag.REAL_WORLD_VALUE_INTERCEPT).orElse(0)),
                        unit,
                        Tag.text(Tag.REAL_WORLD_VALUE_MAPPING_SEQUENCE));
            return new Scaling(
                    scale(slope.orElse(1), intercept.orElse(0)),
                    transformation.text(Tag.RESCALE_TYPE).orElse(""),
                    slope.isPresent() ? Tag.text(Tag.RESCALE_SLOPE) : "");
        }

        private Scale scale(double slope, double intercept) throws InputException {
            if (slope != 0 && Double.isFinite(slope) && Double.isFinite(intercept)) return new Scale(slope, intercept);
            throw header.set().unusable(Tag.RESCALE_SLOPE, slope + " and " + intercept, "finite numbers, slope not 0");
        }
    }
}
