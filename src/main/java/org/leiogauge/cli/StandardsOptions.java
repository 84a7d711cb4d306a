// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.nio.file.Path;
import java.util.Iterator;
import java.util.Optional;
import org.leiogauge.appraise.Prevalence;
import picocli.CommandLine.Option;

/** What measurements are held against: further criteria, and how common the disease is. */
final class StandardsOptions {
    @Option(
            names = "--criteria",
            paramLabel = "DIR",
            description = "folder of further criteria cards, one YAML file each")
    private Optional<Path> criteria = Optional.empty();

    @Option(
            names = "--prevalence",
            paramLabel = "P",
            completionCandidates = Presets.class,
            description =
                    "how common the disease is before the images: a number between 0 and 1, or a preset's name, one of ${COMPLETION-CANDIDATES}")
    private Optional<String> prevalence = Optional.empty();

    /** The presets' names, for the help. */
    private static final class Presets implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return Prevalence.presets().stream().map(Prevalence::id).iterator();
        }
    }

    Optional<Path> criteria() {
        return criteria;
    }

    Optional<String> prevalence() {
        return prevalence;
    }
}
