// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;

/** The command {@code filter}, and {@code features} of a filtered image. */
class FilterCommandTest {
    private static final Grid GRID =
            new Grid(new Size(12, 11, 9), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(10, 20, 30));

    @TempDir
    Path folder;

    @BeforeEach
    void writeImage() throws Exception {
        NiftiWriter.write(folder.resolve("t2.nii.gz"), ramp());
    }

    @Test
    void theHelpsExampleIsFilteredOnTheImagesGrid() throws Exception {
        assertThat(filter("filter={kind: log, sigma: 3, dimensions: 2}").exit()).isZero();
        Volume response = NiftiReader.read(folder.resolve("out.nii.gz"));
        assertThat(response.grid().coincides(GRID, 1e-4)).isTrue();
    }

    // Oracle: counted, the mean of a ramp over a symmetric neighbourhood inside the image is the ramp.
    @Test
    void aSettingsFileNamesTheFilter() throws Exception {
        Path settings = Files.writeString(
                folder.resolve("settings.yaml"),
                "filter:\n  kind: mean\n  support: 3\n  dimensions: 2\n  boundary: nearest\n");
        assertThat(run("--settings", settings.toString()).exit()).isZero();
        Volume response = NiftiReader.read(folder.resolve("out.nii.gz"));
        assertThat(response.at(5, 5, 4)).isEqualTo(ramp().at(5, 5, 4));
        // at the border the first of three is repeated: (0 + 0 + 1) / 3 more than at x = 0
        assertThat(response.at(0, 5, 4)).isEqualTo(ramp().at(0, 5, 4) + 1 / 3f);
    }

    @Test
    void theImageIsInterpolatedFirstWhereTheSettingsSaySo() throws Exception {
        assertThat(filter("features.resample={spacing: [1, 1, 1], round: false}", "filter={kind: log, sigma: 2}")
                        .exit())
                .isZero();
        assertThat(NiftiReader.read(folder.resolve("out.nii.gz")).grid().size()).isEqualTo(new Size(12, 11, 27));
    }

    // Oracle: features of the response written to a file, measured without a filter.
    @Test
    void featuresOfAFilteredImageAreThoseOfItsResponse() throws Exception {
        byte[] region = new byte[GRID.size().voxels()];
        Arrays.fill(region, 200, 700, (byte) 1);
        NiftiWriter.write(folder.resolve("mask.nii.gz"), new Mask(GRID, region));
        String filter = "filter={kind: laws, kernels: E5S5, rotation: max}";
        assertThat(filter(filter).exit()).isZero();
        assertThat(features("t2.nii.gz", "a.csv", filter).exit()).isZero();
        assertThat(features("out.nii.gz", "b.csv").exit()).isZero();
        assertThat(Files.readString(folder.resolve("a.csv"))).isEqualTo(Files.readString(folder.resolve("b.csv")));
    }

    @Test
    void settingsThatAreWrongAreNamed() {
        assertRefused(
                "filter: found none, expected one, by --set 'filter={kind: mean, support: 5}' or as the key filter of a --settings file");
        assertRefused("key filter.kind: found \"blur\", expected one of mean, log, laws, gabor", "filter={kind: blur}");
        assertRefused("kind mean must have support", "filter={kind: mean}");
        assertRefused(
                "kind mean must have no other keys than support, dimensions, boundary, got sigma",
                "filter={kind: mean, support: 3, sigma: 1}");
        assertRefused("unknown key 'sgma'", "filter={kind: log, sigma: 3, sgma: 3}");
        assertRefused("key filter.support", "filter={kind: mean, support: wide}");
        assertRefused("key filter.support", "filter={kind: mean, support: 3.5}");
        assertRefused("support must be an odd number of voxels, 1 to 1023, got 4", "filter={kind: mean, support: 4}");
        assertRefused("sigma must be finite and > 0, got 0.0", "filter={kind: log, sigma: 0}");
        assertRefused("sigma must be finite and > 0, got -1.0", "filter={kind: log, sigma: -1}");
        assertRefused("dimensions must be 2 or 3, got 4", "filter={kind: log, sigma: 1, dimensions: 4}");
        assertRefused("at most 1024 voxels", "filter={kind: log, sigma: 1e300, dimensions: 2}");
        assertRefused("voxels must have equal sides", "filter={kind: log, sigma: 2}");
        assertRefused("level must be 1 to 6, got 99", "filter={kind: wavelet, wavelet: haar, response: LH, level: 99}");
        assertRefused("one of theta and theta-step", "filter={kind: gabor, sigma: 2, lambda: 2, gamma: 1}");
        assertRefused(
                "order must be three whole numbers",
                "filter={kind: riesz, order: [1, null, 0], of: {kind: simoncelli, level: 1}}");
        assertRefused("kind must be one of mean, log", "filter={}");
    }

    @Test
    void memoryThatIsNotThereIsNotAskedFor() {
        assertRefused(
                "MB of memory needed for",
                "features.resample={spacing: [0.02, 0.02, 0.02]}",
                "filter={kind: mean, support: 3}");
        assertRefused(
                "fewer than 2³¹ voxels",
                "features.resample={spacing: [1e-9, 1, 1]}",
                "filter={kind: mean, support: 3}");
    }

    @Test
    void aVoxelWithoutAValueIsRefused() throws Exception {
        float[] voxels = ramp().voxels().clone();
        voxels[7] = Float.NaN;
        NiftiWriter.write(folder.resolve("t2.nii.gz"), new Volume(GRID, voxels));
        assertRefused("found 1 voxel of the image without a finite value", "filter={kind: mean, support: 3}");
    }

    @Test
    void aCaseIsMeasuredOnImagesAsTheyAre() {
        StringWriter err = new StringWriter();
        int exit = Main.commandLine()
                .setErr(new PrintWriter(err))
                .execute(
                        "measure",
                        "study",
                        "--outline",
                        "outline.dcm",
                        "--out",
                        folder.resolve("case").toString(),
                        "--set",
                        "filter={kind: mean, support: 3}");
        assertThat(exit).isEqualTo(2);
        assertThat(err.toString()).contains("key filter: found a filter, expected none");
    }

    private void assertRefused(String message, String... settings) {
        Run run = filter(settings);
        assertThat(run.err()).contains(message).doesNotContain("\tat ");
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.exit()).isEqualTo(2);
        assertThat(folder.resolve("out.nii.gz")).doesNotExist();
    }

    private record Run(int exit, String err) {}

    private Run filter(String... settings) {
        List<String> options = new ArrayList<>();
        for (String setting : settings) options.addAll(List.of("--set", setting));
        return run(options.toArray(String[]::new));
    }

    private Run run(String... options) {
        List<String> arguments = new ArrayList<>(List.of(
                "filter",
                folder.resolve("t2.nii.gz").toString(),
                "--out",
                folder.resolve("out.nii.gz").toString()));
        arguments.addAll(List.of(options));
        return execute(arguments);
    }

    private Run features(String image, String out, String... settings) {
        List<String> arguments = new ArrayList<>(List.of(
                "features",
                folder.resolve(image).toString(),
                folder.resolve("mask.nii.gz").toString(),
                "--out",
                folder.resolve(out).toString()));
        for (String setting : settings) arguments.addAll(List.of("--set", setting));
        return execute(arguments);
    }

    private static Run execute(List<String> arguments) {
        StringWriter err = new StringWriter();
        int exit = Main.commandLine().setErr(new PrintWriter(err)).execute(arguments.toArray(String[]::new));
        return new Run(exit, err.toString());
    }

    private static Volume ramp() {
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            int x = i % 12;
            int y = i / 12 % 11;
            voxels[i] = x + 2 * y + 3 * (i / 132);
        }
        return new Volume(GRID, voxels);
    }
}
