// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings.Discretise;
import org.leiogauge.feature.Settings.ImageKernel;
import org.leiogauge.feature.Settings.IntensityVolume;
import org.leiogauge.task.InputException;

class SettingsFileTest {
    // The example of the settings contract.
    private static final String FULL = """
            features:
              dimensions: 3
              resegment: {range: [-500, 400], outliers: 3.0}
              resample:
                spacing: [2.0, 2.0, 2.0]
                image: cubic
                mask: linear
                round: true
              discretise: {method: fixed-width, width: 25.0, origin: -500.0}
              intensity-volume: {method: fixed-number, bins: 1000}
              texture: {distance: 1, ngldm-alpha: 0}
              families: [shape, local-intensity, intensity, histogram, intensity-volume, glcm]
            """;

    @TempDir
    Path folder;

    @Test
    void theWholeExampleIsReadAndWrittenInFull() throws IOException, InputException {
        Settings settings = read(FULL);
        assertThat(settings.features().resegment().range().orElseThrow().low()).isEqualTo(-500);
        assertThat(settings.features().resample().orElseThrow().image()).isEqualTo(ImageKernel.CUBIC);
        assertThat(settings.features().discretise()).isEqualTo(new Discretise.FixedWidth(25, -500));
        assertThat(settings.features().intensityVolume()).isEqualTo(new IntensityVolume.FixedNumber(1000));
        assertThat(settings.features().families()).hasSize(6).endsWith(Family.GLCM);
        assertThat(read(SettingsFile.text(settings))).isEqualTo(settings);
    }

    @Test
    void whatIsAbsentIsStandard() throws IOException, InputException {
        assertThat(SettingsFile.read(Optional.empty(), List.of())).isEqualTo(Settings.standard());
        assertThat(read("features: {dimensions: 3}\n")).isEqualTo(Settings.standard());
        assertThat(read(SettingsFile.text(Settings.standard()))).isEqualTo(Settings.standard());
    }

    @Test
    void oneSettingCanBeSetOnTheCommandLine() throws InputException {
        Settings settings = SettingsFile.read(
                Optional.empty(),
                List.of("features.discretise={method: fixed-number, bins: 64}", "features.texture.distance=2"));
        assertThat(settings.features().discretise()).isEqualTo(new Discretise.FixedNumber(64));
        assertThat(settings.features().texture().distance()).isEqualTo(2);
    }

    @Test
    void whatIsWrongIsNamed() {
        assertWrong("features: {dimension: 3}\n", "unknown key 'dimension'");
        assertWrong("features: {dimensions: 4}\n", "dimensions must be 2 or 3, got 4");
        assertWrong("features:\n  discretise: {method: fixed-number, bins: 0}\n", "bins must be 1 to 65535, got 0");
        assertWrong("features:\n  discretise: {method: fixed-number, bins: 70000}\n", "got 70000");
        assertWrong(
                "features:\n  discretise: {method: fixed-width, width: -1, origin: 0}\n",
                "width must be finite and > 0");
        assertWrong("features:\n  discretise: {method: fixed-width, bins: 4}\n", "must be {method");
        assertWrong("features:\n  resample: {spacing: [2, 2]}\n", "three lengths in mm");
        assertWrong("features:\n  resample: {spacing: [2, 2, 0]}\n", "spacing must be finite and > 0 mm");
        assertWrong("features:\n  families: [shape, colour]\n", "families");
    }

    private void assertWrong(String text, String message) {
        assertThatThrownBy(() -> read(text))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("settings.yaml")
                .hasMessageContaining(message);
    }

    private Settings read(String text) throws IOException, InputException {
        return SettingsFile.read(Optional.of(Files.writeString(folder.resolve("settings.yaml"), text)), List.of());
    }
}
