// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.leiogauge.dicom.DicomFolder;
import org.leiogauge.dicom.DicomSeries;
import org.leiogauge.dicom.Tag;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** A study of DICOM files. */
final class DicomStudy {
    private DicomStudy() {}

    static Study open(Path folder, Workers workers, Progress progress) throws InputException {
        List<Series> series = new ArrayList<>();
        Set<String> studies = new TreeSet<>();
        DicomFolder.Content content = DicomFolder.content(folder, workers, progress);
        for (DicomSeries found : content.series()) {
            series.add(series(found));
            studies.add(found.studyUid());
        }
        if (series.isEmpty())
            throw new InputException(folder, "", "no DICOM images", "DICOM images, or NIfTI files with a study.yaml");
        List<String> decisions = new ArrayList<>(content.decisions());
        if (studies.size() > 1)
            decisions.add("the folder holds images of " + studies.size() + " studies; all were taken as one");
        return new Study(pseudonym(studies), series, decisions);
    }

    private static Series series(DicomSeries found) {
        SeriesFacts facts = facts(found);
        RoleRules.Verdict verdict = RoleRules.of(facts);
        return new Series(
                found.uid(),
                first(found, Tag.SERIES_DESCRIPTION).orElse(""),
                facts,
                new Acquisition(OptionalDouble.of(found.pixelMm()), found.sliceMm(), found.acquired(), found.seconds()),
                verdict.role(),
                verdict.reason(),
                found.images(),
                found.frameOfReference(),
                found.sopInstances(),
                (workers, progress) -> content(found, found.read(workers, progress)));
    }

    private static Series.Content content(DicomSeries found, DicomSeries.Content content) {
        return new Series.Content(
                content.stacks().stream()
                        .map(stack -> new Frame(stack.volume(), stack.bValue(), stack.seconds()))
                        .toList(),
                content.stacks().stream().findFirst().map(found::drawnOn),
                content.decisions());
    }

    private static SeriesFacts facts(DicomSeries found) {
        return new SeriesFacts(
                first(found, Tag.MODALITY).orElse(""),
                first(found, Tag.SERIES_DESCRIPTION).orElse("") + " "
                        + first(found, Tag.PROTOCOL_NAME).orElse(""),
                found.texts(Tag.IMAGE_TYPE),
                found.texts(Tag.SCANNING_SEQUENCE),
                found.texts(Tag.SCAN_OPTIONS),
                found.number(Tag.REPETITION_TIME),
                found.echoTime(),
                found.number(Tag.INVERSION_TIME),
                found.bValues(),
                first(found, Tag.CONTRAST_BOLUS_AGENT).isPresent(),
                found.phases());
    }

    private static Optional<String> first(DicomSeries found, int tag) {
        return found.texts(tag).stream().findFirst().filter(text -> !text.isEmpty());
    }

    // Stable for a study, and nothing that names the patient: not the folder's name, which often does.
    private static String pseudonym(Set<String> studies) {
        try {
            byte[] hash = MessageDigest.getInstance("SHA-256")
                    .digest(String.join(" ", studies).getBytes(StandardCharsets.UTF_8));
            return "case-" + HexFormat.of().formatHex(hash, 0, 4);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e);
        }
    }
}
