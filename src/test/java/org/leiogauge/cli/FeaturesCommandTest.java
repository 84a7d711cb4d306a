// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiWriter;

/** What the command refuses, and how it says so. */
class FeaturesCommandTest {
    private static final Size SIZE = new Size(8, 7, 6);
    private static final Point ORIGIN = new Point(10, 20, 30);
    private static final Grid AXIAL = new Grid(SIZE, new Spacing(1, 1, 3), DirectionCosines.AXIAL, ORIGIN);

    @TempDir
    Path folder;

    @Test
    void binsThatAreNoneOrTooManyAreRefused() throws IOException {
        for (int bins : new int[] {0, -3, 65_536})
            for (String part : List.of("discretise", "intensity-volume"))
                assertRefused(
                        "bins must be 1 to 65535, got " + bins,
                        AXIAL,
                        AXIAL,
                        "features." + part + "={method: fixed-number, bins: " + bins + "}");
        assertRefused("bins must be 1 to 65535, got 0", AXIAL, AXIAL, "features.discretise.bins=0");
    }

    @Test
    void widthsThatAreNoneOrTooFineAreRefused() throws IOException {
        for (String width : List.of("0.0", "-25.0", "NaN"))
            for (String part : List.of("discretise", "intensity-volume"))
                assertRefused(
                        "width must be finite and > 0 the image's unit, got " + width,
                        AXIAL,
                        AXIAL,
                        "features." + part + "={method: fixed-width, width: " + width + ", origin: 0}");
        // Oracle: the ramp of 0 to 16 in steps of 1e-4 has 160 001 levels.
        assertRefused(
                "width of the bins must give at most 65535 grey levels, got 1.0E-4 from 0.0 to 16.0",
                AXIAL,
                AXIAL,
                "features.discretise={method: fixed-width, width: 0.0001, origin: 0}");
    }

    @Test
    void anOriginAboveAllDataIsRefused() throws IOException {
        assertRefused(
                "origin of the bins must be at most the region's lowest intensity, 0.0, got 100.0",
                AXIAL,
                AXIAL,
                "features.discretise={method: fixed-width, width: 25, origin: 100}");
        assertRefused(
                "origin of the intensity-volume histogram must be at most the region's lowest intensity, 0.0, got 100.0",
                AXIAL,
                AXIAL,
                "features.intensity-volume={method: fixed-width, width: 25, origin: 100}");
    }

    @Test
    void spacingsThatAreNoneOrTooFineAreRefused() throws IOException {
        assertRefused("must be finite and > 0 mm", AXIAL, AXIAL, "features.resample={spacing: [2, 0, 2]}");
        assertRefused("must be finite and > 0 mm", AXIAL, AXIAL, "features.resample={spacing: [2, 2, -1]}");
        assertRefused("three lengths in mm", AXIAL, AXIAL, "features.resample={spacing: [2, 2]}");
        assertRefused("fewer than 2³¹ voxels", AXIAL, AXIAL, "features.resample={spacing: [1e-9, 1, 1]}");
    }

    @Test
    void imageAndMaskOnDifferentGridsAreRefused() throws IOException {
        assertRefused("grid: found 8 × 7 × 6 voxels", AXIAL, grid(SIZE, new Spacing(1, 1, 3), new Point(11, 20, 30)));
        assertRefused("of 1.00 × 1.00 × 2.50 mm", AXIAL, grid(SIZE, new Spacing(1, 1, 2.5), ORIGIN));
        assertRefused("grid: found 8 × 7 × 5", AXIAL, grid(new Size(8, 7, 5), new Spacing(1, 1, 3), ORIGIN));
        Grid turned = new Grid(SIZE, new Spacing(1, 1, 3), sagittal(), ORIGIN);
        assertRefused(" mm turned otherwise or a little moved, as ", AXIAL, turned);
    }

    @Test
    void twoDimensionsAreRefusedForASagittalStack() throws IOException {
        String reason = "dimensions must be 3 for a sagittal stack, got 2";
        // The slices along the third axis of the file, and along the first: thick voxels tell.
        assertRefused(reason, new Grid(SIZE, new Spacing(1, 1, 3), sagittal(), ORIGIN), "features.dimensions=2");
        assertRefused(reason, grid(SIZE, new Spacing(4, 0.8, 0.8), ORIGIN), "features.dimensions=2");
        assertRefused(
                "dimensions must be 3 for a coronal stack, got 2",
                grid(SIZE, new Spacing(0.8, 4, 0.8), ORIGIN),
                "features.dimensions=2");
        DirectionCosines upright = new DirectionCosines(new Vector(0, 1, 0), new Vector(0, 0, 1), new Vector(1, 0, 0));
        assertRefused(
                "the standard's 2-D features are defined in axial slices",
                new Grid(SIZE, new Spacing(0.8, 4, 0.8), upright, ORIGIN),
                "features.dimensions=2");
    }

    @Test
    void axialSlicesAndTheHelpsExampleAreMeasured() throws IOException {
        for (Grid grid : List.of(AXIAL, grid(SIZE, new Spacing(1, 0.9, 1), ORIGIN)))
            assertThat(run(grid, grid, "features.dimensions=2").exit()).isZero();
        // Oracle: the example of `features --help`.
        Run run = run(AXIAL, AXIAL, "features.discretise.bins=64");
        assertThat(run.err()).isEmpty();
        assertThat(run.exit()).isZero();
    }

    // Oracle: the same image by itself.
    @Test
    void ofSeveralSeriesTheOneOfTheMaskIsTakenAndNamed() throws IOException {
        assertThat(run(AXIAL, AXIAL).exit()).isZero();
        String alone = Files.readString(folder.resolve("features.csv"));
        NiftiWriter.write(folder.resolve("other.nii.gz"), ramp(grid(new Size(8, 7, 5), new Spacing(1, 1, 3), ORIGIN)));
        Files.writeString(
                folder.resolve("study.yaml"),
                "series:\n  - {file: other.nii.gz, role: t1}\n  - {file: image.nii.gz, role: t2}\n");
        StringWriter err = new StringWriter();
        int exit = Main.commandLine()
                .setErr(new PrintWriter(err))
                .execute("features", folder.toString(), path("mask.nii.gz"), "--out", path("of-several.csv"));
        assertThat(err).hasToString("of 2 series the one that the mask is of was taken: image.nii.gz\n");
        assertThat(exit).isZero();
        assertThat(folder.resolve("of-several.csv")).content().isEqualTo(alone);
    }

    private record Run(int exit, String err) {}

    private void assertRefused(String message, Grid both, String setting) throws IOException {
        assertRefused(message, both, both, setting);
    }

    private void assertRefused(String message, Grid image, Grid mask, String... settings) throws IOException {
        Run run = run(image, mask, settings);
        assertThat(run.err()).contains(message).doesNotContain("\tat ");
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.exit()).isEqualTo(2);
        assertThat(folder.resolve("features.csv")).doesNotExist();
    }

    private Run run(Grid image, Grid mask, String... settings) throws IOException {
        Files.deleteIfExists(folder.resolve("features.csv"));
        NiftiWriter.write(folder.resolve("image.nii.gz"), ramp(image));
        byte[] region = new byte[mask.size().voxels()];
        java.util.Arrays.fill(region, 0, 120, (byte) 1);
        NiftiWriter.write(folder.resolve("mask.nii.gz"), new Mask(mask, region));
        List<String> arguments = new ArrayList<>(List.of("features", path("image.nii.gz"), path("mask.nii.gz")));
        for (String setting : settings) arguments.addAll(List.of("--set", setting));
        arguments.addAll(List.of("--quiet", "--out", path("features.csv")));
        StringWriter err = new StringWriter();
        int exit = Main.commandLine().setErr(new PrintWriter(err)).execute(arguments.toArray(String[]::new));
        return new Run(exit, err.toString());
    }

    private String path(String name) {
        return folder.resolve(name).toString();
    }

    private static Grid grid(Size size, Spacing spacing, Point origin) {
        return new Grid(size, spacing, DirectionCosines.AXIAL, origin);
    }

    private static DirectionCosines sagittal() {
        return new DirectionCosines(new Vector(0, 1, 0), new Vector(0, 0, -1), new Vector(-1, 0, 0));
    }

    private static Volume ramp(Grid grid) {
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = i % 17;
        return new Volume(grid, voxels);
    }
}
