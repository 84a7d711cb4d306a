// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.MrImages;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.Uid;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.phantom.SeriesSettings.Kind;

/**
 * The study's DICOM objects, of an invented site: one UID tree, one frame of reference, all UIDs from the settings.
 *
 * <p>Diffusion gives two series, the images and the scanner's own ADC map; a dynamic series two as well, before and after
 * contrast agent. Source: PS3.3 A.4, A.36 and C.8.3.1; contrast agent C.7.6.4; diffusion C.8.13.5.9.
 */
final class StudyObjects {
    private static final LocalDateTime STUDY_START = LocalDateTime.of(2026, 3, 2, 8, 15);
    private static final long SLOT_SECONDS = 240;
    private static final long BEFORE_INJECTION_SECONDS = 60;
    // in mm²/s
    private static final double WHITE_ADC = 3e-3;
    private static final DateTimeFormatter DATE = DateTimeFormatter.ofPattern("yyyyMMdd", Locale.ROOT);
    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("HHmmss.SSSSSS", Locale.ROOT);

    private final PhantomSettings settings;
    private final String studyUid;

    StudyObjects(PhantomSettings settings) {
        this.settings = settings;
        studyUid = Uid.of("org.leiogauge.phantom " + settings.yaml());
    }

    /**
     * One series, to be written.
     *
     * @param folder name of its folder
     */
    record Series(String folder, List<DataSet> objects) {
        /** What contours and masks of it refer to. */
        DrawnOn drawnOn(Grid grid) {
            List<String> instances = IntStream.range(0, grid.size().z())
                    .mapToObj(z -> objects.get(objects.size() == 1 ? 0 : z))
                    .map(set -> set.text(Tag.SOP_INSTANCE_UID).orElseThrow())
                    .toList();
            return new DrawnOn(objects.get(0).copy().remove(Tag.PIXEL_DATA), grid, instances);
        }
    }

    String studyUid() {
        return studyUid;
    }

    String frameOfReferenceUid() {
        return Uid.of(studyUid + " frame of reference");
    }

    /** Of the main images of a series of the settings, counted from 0: not the ADC map, not those before contrast agent. */
    String seriesUid(int number) {
        SeriesSettings series = settings.series().get(number);
        return dicomSeriesUid(seriesNumber(number) + (series.kind() == Kind.DYNAMIC ? 1 : 0));
    }

    private String dicomSeriesUid(int dicomNumber) {
        return Uid.of(studyUid + " series " + dicomNumber);
    }

    // Of the first of its DICOM series.
    private int seriesNumber(int number) {
        int next = 1;
        for (SeriesSettings before : settings.series().subList(0, number))
            next += before.kind() == Kind.DWI || before.kind() == Kind.DYNAMIC ? 2 : 1;
        return next;
    }

    /** The DICOM series of one rendered series, counted from 0. */
    List<Series> of(int number, SeriesImages images, Optional<Volume> adc) {
        SeriesSettings series = images.settings();
        int first = seriesNumber(number);
        LocalDateTime start = start(number);
        List<Series> all = new ArrayList<>();
        if (series.kind() == Kind.DYNAMIC) {
            all.add(series(
                    series,
                    template(first, series, series.description() + " pre contrast", start),
                    List.of(part(images.images().get(0), OptionalInt.empty(), start))));
            all.add(series(
                    series,
                    contrast(template(first + 1, series, series.description(), start), injection(start)),
                    phases(images, injection(start))));
            return all;
        }
        all.add(series(series, template(first, series, series.description(), start), parts(images, start)));
        adc.ifPresent(map -> all.add(series(
                series,
                adc(template(first + 1, series, series.description() + " ADC", start)),
                List.of(part(map, OptionalInt.empty(), start)))));
        return all;
    }

    private Series series(SeriesSettings series, DataSet template, List<MrImages.Part> parts) {
        List<DataSet> objects = settings.dicom().form() == DicomSettings.Form.CLASSIC
                ? MrImages.classic(windowed(template), parts)
                : List.of(EnhancedAttributes.with(template, series, parts));
        String name = template.text(Tag.SERIES_DESCRIPTION)
                .orElse("")
                .toLowerCase(Locale.ROOT)
                .replaceAll("[^a-z0-9]+", "-");
        String number = template.text(Tag.SERIES_NUMBER).orElse("");
        return new Series(number + (name.isEmpty() ? "" : "-" + name), objects);
    }

    private DataSet windowed(DataSet template) {
        double white = template.texts(Tag.IMAGE_TYPE).contains("ADC")
                ? WHITE_ADC * settings.scanner().adcPerMm2PerSecond()
                : StudyImages.BRIGHTEST;
        return template.put(Tag.WINDOW_CENTER, white / 2).put(Tag.WINDOW_WIDTH, white);
    }

    // Each series has its slot on the clock.
    private LocalDateTime start(int number) {
        LocalDateTime at = STUDY_START;
        for (SeriesSettings before : settings.series().subList(0, number)) {
            List<Double> phases = before.phaseSeconds();
            double last = phases.isEmpty() ? 0 : phases.get(phases.size() - 1);
            at = at.plusSeconds(SLOT_SECONDS + (long) last);
        }
        return at;
    }

    private static LocalDateTime injection(LocalDateTime start) {
        return start.plusSeconds(BEFORE_INJECTION_SECONDS);
    }

    private static List<MrImages.Part> parts(SeriesImages images, LocalDateTime start) {
        List<MrImages.Part> parts = new ArrayList<>();
        for (int i = 0; i < images.images().size(); i++) {
            OptionalDouble b = images.settings().bValues().isEmpty()
                    ? OptionalDouble.empty()
                    : OptionalDouble.of(images.settings().bValues().get(i));
            parts.add(new MrImages.Part(images.images().get(i), b, OptionalInt.empty(), Optional.of(stamp(start, 0))));
        }
        return parts;
    }

    private static List<MrImages.Part> phases(SeriesImages images, LocalDateTime injection) {
        List<MrImages.Part> parts = new ArrayList<>();
        List<Double> seconds = images.settings().phaseSeconds();
        for (int i = 0; i < seconds.size(); i++)
            parts.add(new MrImages.Part(
                    images.images().get(i + 1),
                    OptionalDouble.empty(),
                    OptionalInt.of(i + 1),
                    Optional.of(stamp(injection, seconds.get(i)))));
        return parts;
    }

    private static MrImages.Part part(Volume volume, OptionalInt temporal, LocalDateTime at) {
        return new MrImages.Part(volume, OptionalDouble.empty(), temporal, Optional.of(stamp(at, 0)));
    }

    private static String stamp(LocalDateTime at, double seconds) {
        LocalDateTime time = at.plusNanos(Math.round(seconds * 1e6) * 1000);
        return DATE.format(time) + TIME.format(time);
    }

    private DataSet template(int dicomNumber, SeriesSettings series, String description, LocalDateTime start) {
        return common().put(Tag.SERIES_INSTANCE_UID, dicomSeriesUid(dicomNumber))
                .put(Tag.SERIES_NUMBER, dicomNumber)
                .put(Tag.SERIES_DESCRIPTION, description)
                .put(Tag.PROTOCOL_NAME, series.description())
                .put(Tag.SERIES_DATE, DATE.format(start))
                .put(Tag.SERIES_TIME, TIME.format(start))
                .put(Tag.IMAGE_TYPE, "ORIGINAL", "PRIMARY", series.kind() == Kind.DWI ? "DIFFUSION" : "OTHER", "NONE")
                .put(Tag.SCANNING_SEQUENCE, scanningSequence(series))
                .put(Tag.SEQUENCE_VARIANT, isSpinEcho(series) ? "SK" : "SP")
                .put(Tag.SCAN_OPTIONS, series.fatSuppressed() ? "FS" : "")
                .put(Tag.MR_ACQUISITION_TYPE, series.kind() == Kind.DYNAMIC ? "3D" : "2D")
                .put(Tag.REPETITION_TIME, series.trMs())
                .put(Tag.ECHO_TIME, series.teMs())
                .put(Tag.ECHO_TRAIN_LENGTH, series.kind() == Kind.T2 ? 16 : 1)
                .put(Tag.FLIP_ANGLE, series.flipDegrees())
                .put(Tag.IN_PLANE_PHASE_ENCODING_DIRECTION, "COL");
    }

    private DataSet common() {
        return new DataSet()
                .put(Tag.SPECIFIC_CHARACTER_SET, "ISO_IR 192")
                .put(Tag.STUDY_INSTANCE_UID, studyUid)
                .put(Tag.STUDY_DATE, DATE.format(STUDY_START))
                .put(Tag.STUDY_TIME, TIME.format(STUDY_START))
                .put(Tag.STUDY_ID, "1")
                .put(Tag.STUDY_DESCRIPTION, "INVENTED PELVIS, NO PATIENT")
                .put(Tag.ACCESSION_NUMBER, "")
                .put(Tag.REFERRING_PHYSICIAN_NAME, "")
                .put(Tag.MANUFACTURER, "Leiogauge, computed")
                .put(Tag.INSTITUTION_NAME, "Invented site")
                .put(Tag.PATIENT_NAME, "INVENTED^PHANTOM")
                .put(Tag.PATIENT_ID, patientId())
                .put(Tag.PATIENT_BIRTH_DATE, "")
                .put(Tag.PATIENT_SEX, "F")
                .put(Tag.BODY_PART_EXAMINED, "PELVIS")
                .put(Tag.PATIENT_POSITION, "HFS")
                .put(Tag.FRAME_OF_REFERENCE_UID, frameOfReferenceUid())
                .put(Tag.POSITION_REFERENCE_INDICATOR, "")
                .put(Tag.MAGNETIC_FIELD_STRENGTH, settings.scanner().fieldTesla())
                .put(Tag.IMAGE_COMMENTS, settings.preset().title() + ". Computed; no patient was scanned.");
    }

    private String patientId() {
        return "PHANTOM-" + settings.preset().key().toUpperCase(Locale.ROOT) + "-" + settings.seed();
    }

    private static DataSet contrast(DataSet template, LocalDateTime injection) {
        return template.put(Tag.CONTRAST_BOLUS_AGENT, "Invented gadolinium chelate")
                .put(Tag.CONTRAST_BOLUS_START_TIME, TIME.format(injection));
    }

    private static DataSet adc(DataSet template) {
        return template.put(Tag.IMAGE_TYPE, "DERIVED", "PRIMARY", "DIFFUSION", "ADC")
                .put(Tag.DERIVATION_DESCRIPTION, "ADC, least squares over ln of the images");
    }

    private static boolean isSpinEcho(SeriesSettings series) {
        return series.kind() == Kind.T2 || series.kind() == Kind.DWI;
    }

    private static String[] scanningSequence(SeriesSettings series) {
        return switch (series.kind()) {
            case T2 -> new String[] {"SE"};
            case DWI -> new String[] {"EP", "SE"};
            default -> new String[] {"GR"};
        };
    }
}
