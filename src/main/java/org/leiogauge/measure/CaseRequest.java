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
 * @param software name and version, for the report
 * @param notices what must be known before any number is read, as that the data are synthetic
 */
public record CaseRequest(
        Path study,
        Path outline,
        Optional<String> roi,
        Optional<Path> references,
        Optional<Path> caseFile,
        Settings settings,
        String software,
        List<String> notices) {
    public CaseRequest {
        notices = List.copyOf(notices);
    }
}
