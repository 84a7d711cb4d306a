// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.EncapsulatedPdf;
import org.leiogauge.dicom.SegmentationObject;
import org.leiogauge.dicom.SegmentationObject.Segment;
import org.leiogauge.dicom.SegmentationObject.Tracking;
import org.leiogauge.dicom.StructuredReport.Evidence;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.dicom.Uid;
import org.leiogauge.report.MeasurementReportObject;
import org.leiogauge.report.MeasurementReportObject.SourceSeries;
import org.leiogauge.report.ReportContent;
import org.leiogauge.study.Series;

/**
 * The objects that go back beside the images: segmentation, structured report, and the report as a document. Each is in the
 * study of the outline's series and in a series of its own; UIDs follow from the content, so that another result never bears
 * the UID of this one.
 */
final class DicomOutput {
    static final String PSEUDONYM = "DICOM outputs bear the case's name in place of the patient's name and ID;"
            + " --with-identity copies these from the images";
    static final String IDENTITY = "DICOM outputs bear the patient's name and ID, as asked for";
    static final String NONE = "no DICOM outputs: the outline's series is no DICOM series";

    private final DrawnOn on;
    private final LesionSegments parts;
    private final List<SeriesMeasurement> measured;
    private final ReportContent content;
    private final Tracking tracking;

    private DicomOutput(DrawnOn on, LesionSegments parts, List<SeriesMeasurement> measured, ReportContent content) {
        this.on = on;
        this.parts = parts;
        this.measured = measured;
        this.content = content;
        String lesion = content.caseName() + " " + content.lesion();
        tracking = new Tracking(lesion, Uid.of("lesion " + on.seriesUid() + " " + lesion));
    }

    /**
     * None where the outline's series is no DICOM series.
     *
     * @param drawnOn the outline's series
     * @param measured the outline's own series first
     */
    static Optional<DicomOutput> of(
            Optional<DrawnOn> drawnOn,
            boolean withIdentity,
            LesionSegments parts,
            List<SeriesMeasurement> measured,
            ReportContent content) {
        return drawnOn.map(on ->
                new DicomOutput(withIdentity ? on : on.withoutIdentity(content.caseName()), parts, measured, content));
    }

    /** What is said in the log about whose name the objects bear. */
    static String decision(Optional<DrawnOn> drawnOn, boolean withIdentity) {
        if (drawnOn.isEmpty()) return NONE;
        return withIdentity ? IDENTITY : PSEUDONYM;
    }

    void write(Path folder) throws IOException {
        DataSet segmentation = segmentation();
        write(folder.resolve("lesion.seg.dcm"), segmentation);
        write(folder.resolve("report.sr.dcm"), report(segmentation));
    }

    /** Wraps the report's PDF. */
    void writePdf(Path folder, byte[] pdf) throws IOException {
        write(
                folder.resolve("report.pdf.dcm"),
                EncapsulatedPdf.of(on, pdf, "Lesion report " + content.lesion(), tracking.id() + digest(pdf)));
    }

    private static void write(Path file, DataSet set) throws IOException {
        DicomWriter.write(file, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    private DataSet segmentation() {
        List<Segment> segments = parts.segments(tracking);
        StringBuilder name = new StringBuilder(tracking.id());
        for (Segment segment : segments)
            name.append(' ')
                    .append(segment.label())
                    .append(digest(segment.mask().voxels()));
        return SegmentationObject.of(on, segments, "Lesion " + content.lesion(), name.toString());
    }

    private DataSet report(DataSet segmentation) {
        String segmentationUid = segmentation.text(Tag.SOP_INSTANCE_UID).orElseThrow();
        Evidence evidence = new Evidence(
                segmentation.text(Tag.SERIES_INSTANCE_UID).orElseThrow(), Uid.SEGMENTATION, List.of(segmentationUid));
        return MeasurementReportObject.of(
                content,
                new MeasurementReportObject.References(on, evidence, tracking, sources()),
                segmentationUid + " " + content.software() + " " + content.rows());
    }

    private List<SourceSeries> sources() {
        List<SourceSeries> sources = new ArrayList<>();
        for (SeriesMeasurement one : measured) {
            Series series = one.placed().series();
            one.placed()
                    .content()
                    .drawnOn()
                    .ifPresent(drawnOn -> sources.add(new SourceSeries(
                            one.key(),
                            new Evidence(
                                    series.id(),
                                    drawnOn.imageClass(),
                                    series.sopInstances().stream().sorted().toList()))));
        }
        return sources;
    }

    private static String digest(byte[] bytes) {
        try {
            return " "
                    + HexFormat.of()
                            .formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }
}
