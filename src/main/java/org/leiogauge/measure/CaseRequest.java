// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * One case to measure.
 *
 * @param study the study's folder
 * @param outline RTSTRUCT, SEG or NIfTI mask
 * @param roi which region of the outline's file; may be absent where it holds one
 * @param references regions named as the reference tissues, in place of the case file's
 * @param caseFile what the reader keeps beside the study
 * @param criteria folder of further criteria cards
 * @param prevalence of the disease before the images: a number or a preset's name; none: the standard one
 * @param software name and version, for the report
 * @param notices what must be known before any number is read, as that the data are synthetic
 * @param withIdentity whether DICOM outputs bear the patient's name and ID instead of the case's name
 */
public record CaseRequest(
        Path study,
        Path outline,
        Optional<String> roi,
        Optional<Path> references,
        Optional<Path> caseFile,
        Settings settings,
        Optional<Path> criteria,
        Optional<String> prevalence,
        String software,
        List<String> notices,
        boolean withIdentity) {
    public CaseRequest {
        notices = List.copyOf(notices);
    }

    /** Held against the criteria that come with the program, at the standard prevalence; outputs do not name the patient. */
    public CaseRequest(
            Path study,
            Path outline,
            Optional<String> roi,
            Optional<Path> references,
            Optional<Path> caseFile,
            Settings settings,
            String software,
            List<String> notices) {
        this(
                study,
                outline,
                roi,
                references,
                caseFile,
                settings,
                Optional.empty(),
                Optional.empty(),
                software,
                notices,
                false);
    }
}
