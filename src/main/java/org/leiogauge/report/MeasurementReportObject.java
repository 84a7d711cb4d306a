// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import static org.leiogauge.dicom.ContentItem.Relation.CONTAINS;
import static org.leiogauge.dicom.ContentItem.Relation.HAS_ACQ_CONTEXT;
import static org.leiogauge.dicom.ContentItem.Relation.HAS_CONCEPT_MOD;
import static org.leiogauge.dicom.ContentItem.Relation.HAS_OBS_CONTEXT;
import static org.leiogauge.dicom.ContentItem.Relation.HAS_PROPERTIES;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.leiogauge.dicom.Code;
import org.leiogauge.dicom.ContentItem;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.SegmentationObject.Tracking;
import org.leiogauge.dicom.StructuredReport;
import org.leiogauge.dicom.StructuredReport.Evidence;
import org.leiogauge.dicom.Uid;
import org.leiogauge.feature.Family;
import org.leiogauge.table.Interval;
import org.leiogauge.table.LesionRow;

/**
 * A lesion's values as a DICOM structured report: one measurement group per series, each of the outline's segment.
 *
 * <p>In it are the lesion's own values and, of the standard's features, shape on the outline's own grid and the statistics of
 * intensity; texture stays in the table. What was not measured is left out, its number said.
 *
 * <p>Source: PS3.16, TID 1500 with 1001, 1004, 1204, 1411, 1419, 1600 and 1601; the extensions that these allow are the
 * comments, the software's version and the two ends of the stability interval.
 */
public final class MeasurementReportObject {
    private static final Code COMMENT = Code.dcm("121106", "Comment");
    private static final Code SERIES_UID = Code.dcm("112002", "Series Instance UID");
    private static final Set<String> STANDARD = Set.of(Family.SHAPE.group(), Family.INTENSITY.group());
    private static final String CAUTION = "Research measurement, not a diagnosis. Numbers depend on the outline, the"
            + " scanner and the settings; each interval was calibrated on invented lesions, not on patients.";

    private MeasurementReportObject() {}

    /** A series that values come from: its name in the table and its images. */
    public record SourceSeries(String key, Evidence images) {}

    /**
     * What the report refers to.
     *
     * @param on the outline's series
     * @param segmentation of whose segment 1 everything is measured
     * @param tracking of the lesion
     * @param series all that values come from, the outline's own first
     */
    public record References(DrawnOn on, Evidence segmentation, Tracking tracking, List<SourceSeries> series) {
        public References {
            series = List.copyOf(series);
            if (series.isEmpty()) throw new IllegalArgumentException("series must hold the outline's own, got none");
        }
    }

    /** @param name what tells this report from others of the same series: its UID comes from it */
    public static DataSet of(ReportContent content, References references, String name) {
        List<Evidence> evidence = new ArrayList<>();
        references.series.forEach(series -> evidence.add(series.images));
        evidence.add(references.segmentation);
        return StructuredReport.of(
                references.on,
                root(content, references),
                "1500",
                evidence,
                "Lesion measurements " + content.lesion(),
                name);
    }

    // TID 1500
    private static ContentItem root(ReportContent content, References references) {
        List<ContentItem> items = new ArrayList<>();
        items.add(ContentItem.code(
                HAS_CONCEPT_MOD,
                Code.dcm("121049", "Language of Content Item and Descendants"),
                new Code("en", "RFC5646", "English")));
        items.addAll(observer(content));
        items.add(ContentItem.code(
                HAS_CONCEPT_MOD,
                Code.dcm("121058", "Procedure reported"),
                new Code("25056-3", "LN", "MRI unspecified body region")));
        items.add(comment(CONTAINS, CAUTION));
        content.notices().forEach(notice -> items.add(comment(CONTAINS, notice)));
        items.add(imageLibrary(references));
        items.add(ContentItem.container(Code.dcm("126010", "Imaging Measurements"), groups(content, references)));
        comments(content).forEach(items::add);
        return ContentItem.container(Code.dcm("126000", "Imaging Measurement Report"), items);
    }

    // TID 1001, 1002, 1004
    private static List<ContentItem> observer(ReportContent content) {
        return List.of(
                ContentItem.code(HAS_OBS_CONTEXT, Code.dcm("121005", "Observer Type"), Code.dcm("121007", "Device")),
                ContentItem.uid(HAS_OBS_CONTEXT, Code.dcm("121012", "Device Observer UID"), Uid.of(content.software())),
                ContentItem.text(HAS_OBS_CONTEXT, Code.dcm("121013", "Device Observer Name"), content.software()),
                ContentItem.text(HAS_OBS_CONTEXT, Code.dcm("121014", "Device Observer Manufacturer"), "Leiogauge"),
                ContentItem.text(HAS_OBS_CONTEXT, Code.dcm("121015", "Device Observer Model Name"), "Leiogauge"));
    }

    // TID 1600, 1601: a group per series
    private static ContentItem imageLibrary(References references) {
        List<ContentItem> groups = new ArrayList<>();
        for (SourceSeries series : references.series) {
            List<ContentItem> items = new ArrayList<>(List.of(
                    ContentItem.code(
                            HAS_ACQ_CONTEXT, Code.dcm("121139", "Modality"), Code.dcm("MR", "Magnetic Resonance")),
                    ContentItem.uid(HAS_ACQ_CONTEXT, SERIES_UID, series.images.seriesUid()),
                    ContentItem.text(HAS_ACQ_CONTEXT, Code.ours("role of the series"), series.key)));
            series.images.instances().forEach(uid -> items.add(ContentItem.image(series.images.classUid(), uid)));
            groups.add(ContentItem.container(Code.dcm("126200", "Image Library Group"), items));
        }
        return ContentItem.container(Code.dcm("111028", "Image Library"), groups);
    }

    private static List<ContentItem> groups(ReportContent content, References references) {
        String own = references.series.get(0).key;
        Map<String, List<ContentItem>> numbers = new LinkedHashMap<>();
        for (LesionRow row : content.rows())
            if (isReported(row, own))
                numbers.computeIfAbsent(seriesOf(row), key -> new ArrayList<>()).add(number(row));
        return numbers.entrySet().stream()
                .map(entry -> group(content, references, entry.getKey(), entry.getValue()))
                .toList();
    }

    private static boolean isReported(LesionRow row, String own) {
        String group = row.value().definition().group();
        if (row.value().measurement().number().isEmpty()) return false;
        boolean isShape = group.equals(Family.SHAPE.group());
        return group.equals("lesion")
                || STANDARD.contains(group) && (!isShape || row.series().equals(own));
    }

    // Shape is of the outline, whatever the series shows.
    private static String seriesOf(LesionRow row) {
        return row.value().definition().group().equals(Family.SHAPE.group()) ? "" : row.series();
    }

    // TID 1411
    private static ContentItem group(
            ReportContent content, References references, String key, List<ContentItem> numbers) {
        List<ContentItem> items = new ArrayList<>(List.of(
                ContentItem.text(HAS_OBS_CONTEXT, Code.dcm("112039", "Tracking Identifier"), references.tracking.id()),
                ContentItem.uid(
                        HAS_OBS_CONTEXT, Code.dcm("112040", "Tracking Unique Identifier"), references.tracking.uid()),
                ContentItem.code(CONTAINS, Code.dcm("121071", "Finding"), Code.MASS),
                ContentItem.code(HAS_CONCEPT_MOD, new Code("363698007", "SCT", "Finding Site"), Code.UTERUS),
                ContentItem.text(HAS_CONCEPT_MOD, Code.dcm("111001", "Algorithm Name"), "Leiogauge"),
                ContentItem.text(HAS_CONCEPT_MOD, Code.dcm("111003", "Algorithm Version"), content.software()),
                ContentItem.segment(
                        Code.dcm("121191", "Referenced Segment"),
                        references.segmentation.instances().get(0),
                        1),
                ContentItem.uid(
                        CONTAINS, Code.dcm("121232", "Source series for segmentation"), references.on.seriesUid())));
        references.series.stream()
                .filter(series -> series.key.equals(key))
                .forEach(series -> items.add(ContentItem.uid(
                        CONTAINS,
                        Code.dcm("121323", "Source series for image processing operation"),
                        series.images.seriesUid())));
        items.addAll(numbers);
        return ContentItem.container(Code.dcm("125007", "Measurement Group"), items);
    }

    // TID 1419
    private static ContentItem number(LesionRow row) {
        var definition = row.value().definition();
        Code unit = MeasurementCodes.unit(definition.unit());
        List<ContentItem> below = new ArrayList<>();
        MeasurementCodes.derivation(definition)
                .ifPresent(
                        code -> below.add(ContentItem.code(HAS_CONCEPT_MOD, Code.dcm("121401", "Derivation"), code)));
        MeasurementCodes.method(definition, row.value().aggregation())
                .ifPresent(code -> below.add(
                        ContentItem.code(HAS_CONCEPT_MOD, new Code("370129005", "SCT", "Measurement Method"), code)));
        row.interval().ifPresent(interval -> below.addAll(ends(interval, unit)));
        if (!row.note().isEmpty()) below.add(comment(HAS_PROPERTIES, row.note()));
        double value = row.value().measurement().number().orElseThrow();
        return ContentItem.number(CONTAINS, MeasurementCodes.concept(definition), value, unit, below);
    }

    private static List<ContentItem> ends(Interval interval, Code unit) {
        return List.of(
                ContentItem.number(
                        HAS_PROPERTIES, Code.ours("stability interval low"), interval.low(), unit, List.of()),
                ContentItem.number(
                        HAS_PROPERTIES, Code.ours("stability interval high"), interval.high(), unit, List.of()));
    }

    private static List<ContentItem> comments(ReportContent content) {
        long missing = content.rows().stream()
                .filter(row -> row.value().definition().group().equals("lesion"))
                .filter(row -> row.value().measurement().number().isEmpty())
                .count();
        return missing == 0
                ? List.of()
                : List.of(comment(
                        CONTAINS,
                        missing + " values of the lesion could not be measured; the reasons are in features.csv."));
    }

    private static ContentItem comment(ContentItem.Relation relation, String text) {
        return ContentItem.text(relation, COMMENT, text);
    }
}
