// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.demo;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.Element;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.dicom.Uid;
import org.leiogauge.dicom.Vr;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Seed;

/**
 * Writes the study under test-images/ellipsoids: an invented pelvis of a few ellipsoids, as T2-weighted sagittal and T1-weighted
 * axial series, with the contours of its lesion. Run {@code main} with the folder to write it anew.
 *
 * <p>The lesion is an ellipsoid with half axes of 30, 25 and 22 mm about the point (0, 0, 0).
 */
final class EllipsoidStudy {
    static final double[] LESION = {30, 25, 22};

    private static final int OPERATORS_NAME = 0x00081070;
    private static final String ROOT = "org.leiogauge.demo.";
    private static final Grid SAGITTAL =
            grid(new Vector(0, 1, 0), new Vector(0, 0, -1), new Size(96, 96, 20), new Spacing(1.25, 1.25, 4.0));
    private static final Grid AXIAL =
            grid(new Vector(1, 0, 0), new Vector(0, 1, 0), new Size(96, 96, 18), new Spacing(1.25, 1.25, 4.0));

    private EllipsoidStudy() {}

    /** An ellipsoid and the signals of its tissue. */
    private record Part(Point centre, double[] halfAxes, double t2, double t1) {
        boolean has(Point p) {
            double x = (p.x() - centre.x()) / halfAxes[0];
            double y = (p.y() - centre.y()) / halfAxes[1];
            double z = (p.z() - centre.z()) / halfAxes[2];
            return x * x + y * y + z * z <= 1;
        }
    }

    // Later parts lie over earlier ones. Signals are invented: only their order follows what is seen on MRI.
    private static final List<Part> PARTS = List.of(
            new Part(new Point(0, 0, 0), new double[] {75, 65, 90}, 620, 700),
            new Part(new Point(0, 0, 0), new double[] {66, 54, 80}, 300, 260),
            new Part(new Point(0, -20, -45), new double[] {24, 20, 18}, 1150, 120),
            new Part(new Point(0, 4, 0), new double[] {46, 40, 40}, 480, 300),
            new Part(new Point(0, 30, 4), new double[] {6, 4, 20}, 800, 280),
            new Part(new Point(58, 30, 0), new double[] {9, 12, 40}, 160, 310),
            new Part(new Point(-58, 30, 0), new double[] {9, 12, 40}, 160, 310),
            new Part(new Point(0, 0, 0), LESION, 240, 290),
            new Part(new Point(8, -4, 5), new double[] {8, 7, 6}, 900, 180));

    public static void main(String[] folder) throws IOException {
        write(Path.of(folder[0]));
    }

    static void write(Path folder) throws IOException {
        Files.createDirectories(folder);
        Files.writeString(folder.resolve("case.yaml"), """
                # An invented case: no patient was scanned.
                case: demo
                lesion: L1
                outline: {reader: computed, drawn: 2026-03-02T10:15:00}
                """);
        writeSeries(folder.resolve("study"), 1, "T2 sagittal", SAGITTAL, 4000, 100);
        writeSeries(folder.resolve("study"), 2, "T1 axial", AXIAL, 550, 12);
        DicomWriter.write(folder.resolve("outline.dcm"), contours(), TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    private static Grid grid(Vector row, Vector column, Size size, Spacing spacing) {
        DirectionCosines directions = DirectionCosines.of(row, column);
        Grid atOrigin = new Grid(size, spacing, directions, new Point(0, 0, 0));
        Point middle = atOrigin.point((size.x() - 1) / 2.0, (size.y() - 1) / 2.0, (size.z() - 1) / 2.0);
        return new Grid(size, spacing, directions, new Point(-middle.x(), -middle.y(), -middle.z()));
    }

    private static void writeSeries(Path folder, int number, String name, Grid grid, int repetition, int echo)
            throws IOException {
        for (int z = 0; z < grid.size().z(); z++) {
            DataSet set = common(number, name)
                    .put(Tag.SOP_CLASS_UID, Uid.MR_IMAGE)
                    .put(Tag.SOP_INSTANCE_UID, imageUid(number, z))
                    .put(Tag.MODALITY, "MR")
                    .put(Tag.IMAGE_TYPE, "DERIVED", "PRIMARY", "OTHER")
                    .put(Tag.SCANNING_SEQUENCE, "SE")
                    .put(Tag.SEQUENCE_VARIANT, "SK")
                    .put(Tag.SCAN_OPTIONS, "")
                    .put(Tag.MR_ACQUISITION_TYPE, "2D")
                    .put(Tag.REPETITION_TIME, repetition)
                    .put(Tag.ECHO_TIME, echo)
                    .put(Tag.ECHO_TRAIN_LENGTH, "")
                    .put(Tag.SLICE_THICKNESS, grid.spacing().z())
                    .put(Tag.INSTANCE_NUMBER, z + 1L)
                    .put(Tag.IMAGE_POSITION_PATIENT, numbers(grid.point(0, 0, z)))
                    .put(Tag.IMAGE_ORIENTATION_PATIENT, orientation(grid))
                    .put(Tag.PIXEL_SPACING, grid.spacing().y(), grid.spacing().x())
                    .put(Tag.SAMPLES_PER_PIXEL, 1L)
                    .put(Tag.PHOTOMETRIC_INTERPRETATION, "MONOCHROME2")
                    .put(Tag.ROWS, (long) grid.size().y())
                    .put(Tag.COLUMNS, (long) grid.size().x())
                    .put(Tag.BITS_ALLOCATED, 16L)
                    .put(Tag.BITS_STORED, 12L)
                    .put(Tag.HIGH_BIT, 11L)
                    .put(Tag.PIXEL_REPRESENTATION, 0L)
                    .put(Element.bytes(Tag.PIXEL_DATA, Vr.OW, pixels(grid, z, number)));
            DicomWriter.write(
                    folder.resolve(String.format(Locale.ROOT, "s%d-%02d.dcm", number, z + 1)), set, TransferSyntax.RLE);
        }
    }

    private static DataSet common(int number, String name) {
        return new DataSet()
                .put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192")
                .put(Tag.STUDY_DATE, "20260302")
                .put(Tag.STUDY_TIME, "101500")
                .put(Tag.ACCESSION_NUMBER, "")
                .put(Tag.MANUFACTURER, "Leiogauge, computed")
                .put(Tag.REFERRING_PHYSICIAN_NAME, "")
                .put(Tag.STUDY_DESCRIPTION, "Invented pelvis, no patient")
                .put(Tag.SERIES_DESCRIPTION, name)
                .put(Tag.PATIENT_NAME, "Invented^Pelvis")
                .put(Tag.PATIENT_ID, "INVENTED")
                .put(Tag.PATIENT_BIRTH_DATE, "")
                .put(Tag.PATIENT_SEX, "F")
                .put(Tag.PATIENT_POSITION, "HFS")
                .put(Tag.STUDY_INSTANCE_UID, Uid.of(ROOT + "study"))
                .put(Tag.SERIES_INSTANCE_UID, Uid.of(ROOT + "series" + number))
                .put(Tag.STUDY_ID, "1")
                .put(Tag.SERIES_NUMBER, (long) number)
                .put(Tag.FRAME_OF_REFERENCE_UID, Uid.of(ROOT + "frame"))
                .put(Tag.LATERALITY, "")
                .put(Tag.POSITION_REFERENCE_INDICATOR, "");
    }

    private static String imageUid(int series, int z) {
        return Uid.of(ROOT + "series" + series + ".image" + z);
    }

    // The mean over 2 × 2 × 4 points of each voxel, with noise.
    private static byte[] pixels(Grid grid, int z, int series) {
        SplittableRandom random = new Seed(series).draw(z);
        ByteBuffer bytes =
                ByteBuffer.allocate(2 * grid.size().x() * grid.size().y()).order(ByteOrder.LITTLE_ENDIAN);
        for (int y = 0; y < grid.size().y(); y++)
            for (int x = 0; x < grid.size().x(); x++) {
                double sum = 0;
                for (int k = 0; k < 16; k++)
                    sum += signal(
                            grid.point(
                                    x + (k & 1) * 0.5 - 0.25,
                                    y + (k >> 1 & 1) * 0.5 - 0.25,
                                    z + (k >> 2) * 0.25 - 0.375),
                            series);
                double real = sum / 16 + 14 * normal(random);
                double imaginary = 14 * normal(random);
                bytes.putShort((short) Math.round(Math.min(4095, StrictMath.hypot(real, imaginary))));
            }
        return bytes.array();
    }

    private static double normal(SplittableRandom random) {
        return StrictMath.sqrt(-2 * StrictMath.log(1 - random.nextDouble()))
                * StrictMath.cos(2 * Math.PI * random.nextDouble());
    }

    private static double signal(Point p, int series) {
        for (int i = PARTS.size() - 1; i >= 0; i--)
            if (PARTS.get(i).has(p))
                return series == 1 ? PARTS.get(i).t2() : PARTS.get(i).t1();
        return 0;
    }

    // The lesion's section with each sagittal slice, an ellipse of 72 points.
    private static DataSet contours() {
        List<DataSet> contours = new ArrayList<>();
        for (int z = 0; z < SAGITTAL.size().z(); z++) {
            double x = SAGITTAL.point(0, 0, z).x();
            double share = 1 - x * x / (LESION[0] * LESION[0]);
            if (share <= 0) continue;
            List<String> data = new ArrayList<>();
            for (int i = 0; i < 72; i++) {
                double angle = 2 * Math.PI * i / 72;
                data.add(decimal(x));
                data.add(decimal(LESION[1] * Math.sqrt(share) * StrictMath.cos(angle)));
                data.add(decimal(LESION[2] * Math.sqrt(share) * StrictMath.sin(angle)));
            }
            contours.add(new DataSet()
                    .put(Tag.CONTOUR_GEOMETRIC_TYPE, "CLOSED_PLANAR")
                    .put(Tag.NUMBER_OF_CONTOUR_POINTS, 72L)
                    .put(Tag.CONTOUR_DATA, data.toArray(String[]::new))
                    .put(
                            Tag.CONTOUR_IMAGE_SEQUENCE,
                            List.of(new DataSet()
                                    .put(Tag.REFERENCED_SOP_CLASS_UID, Uid.MR_IMAGE)
                                    .put(Tag.REFERENCED_SOP_INSTANCE_UID, imageUid(1, z)))));
        }
        return common(3, "Outline")
                .put(Tag.SOP_CLASS_UID, Uid.RT_STRUCTURE_SET)
                .put(Tag.SOP_INSTANCE_UID, Uid.of(ROOT + "outline"))
                .put(Tag.MODALITY, "RTSTRUCT")
                .put(Element.text(OPERATORS_NAME, Vr.PN, ""))
                .put(Tag.STRUCTURE_SET_LABEL, "Lesion")
                .put(Tag.STRUCTURE_SET_DATE, "20260302")
                .put(Tag.STRUCTURE_SET_TIME, "101500")
                .put(
                        Tag.STRUCTURE_SET_ROI_SEQUENCE,
                        List.of(new DataSet()
                                .put(Tag.ROI_NUMBER, 1L)
                                .put(Tag.REFERENCED_FRAME_OF_REFERENCE_UID, Uid.of(ROOT + "frame"))
                                .put(Tag.ROI_NAME, "lesion")
                                .put(Tag.ROI_GENERATION_ALGORITHM, "AUTOMATIC")))
                .put(
                        Tag.ROI_CONTOUR_SEQUENCE,
                        List.of(new DataSet().put(Tag.REFERENCED_ROI_NUMBER, 1L).put(Tag.CONTOUR_SEQUENCE, contours)))
                .put(
                        Tag.RTROI_OBSERVATIONS_SEQUENCE,
                        List.of(new DataSet()
                                .put(Tag.OBSERVATION_NUMBER, 1L)
                                .put(Tag.REFERENCED_ROI_NUMBER, 1L)
                                .put(Tag.RTROI_INTERPRETED_TYPE, "")
                                .put(Tag.ROI_INTERPRETER, "")));
    }

    private static String decimal(double value) {
        return String.format(Locale.ROOT, "%.4f", value);
    }

    private static double[] numbers(Point p) {
        return new double[] {p.x(), p.y(), p.z()};
    }

    private static double[] orientation(Grid grid) {
        Vector r = grid.direction().x();
        Vector c = grid.direction().y();
        return new double[] {r.x(), r.y(), r.z(), c.x(), c.y(), c.z()};
    }
}
