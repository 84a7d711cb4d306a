// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.nio.file.Path;
import java.util.Optional;
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
            description = "how common the disease is before the images: a number between 0 and 1, or a preset's name")
    private Optional<String> prevalence = Optional.empty();

    Optional<Path> criteria() {
        return criteria;
    }

    Optional<String> prevalence() {
        return prevalence;
    }
}
