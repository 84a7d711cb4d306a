// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import picocli.CommandLine.Option;

/** A settings file, and single settings in place of what it says. */
final class SettingsOptions {
    @Option(names = "--settings", paramLabel = "FILE", description = "settings as YAML; without, the standard ones")
    private Optional<Path> file = Optional.empty();

    @Option(
            names = "--set",
            paramLabel = "KEY=VALUE",
            description = "one setting, as features.dimensions=2; may be repeated")
    private List<String> overrides = new ArrayList<>();

    Settings read() throws InputException {
        return SettingsFile.read(file, overrides);
    }

    /** Those of one image. */
    SettingsFile.OfImage readOfImage() throws InputException {
        return SettingsFile.readOfImage(file, overrides);
    }
}
