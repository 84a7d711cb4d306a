// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.nio.file.Path;
import java.util.Optional;

/**
 * One row of a manifest: one outline of one lesion.
 *
 * @param line of the manifest, where the row begins
 * @param name the case's pseudonym
 * @param study its folder
 * @param outline its file
 * @param site where it was scanned; may be empty
 * @param reader who drew the outline; may be empty
 * @param outcome what it was; may be empty
 */
public record CohortCase(
        long line,
        String name,
        Path study,
        Path outline,
        Optional<Path> caseFile,
        String site,
        String reader,
        String outcome) {}
