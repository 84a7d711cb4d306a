// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
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
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.measure.Software;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFileWriter;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class MeasureRunTest {
    private static final Grid GRID =
            new Grid(new Size(10, 10, 6), new Spacing(1, 1, 2), DirectionCosines.AXIAL, new Point(0, 0, 0));

    @TempDir
    Path folder;

    private Path study;
    private Path caseFile;
    private Settings settings;
    private boolean written;

    @BeforeEach
    void study() throws Exception {
        study = Files.createDirectories(folder.resolve("study"));
        caseFile = folder.resolve("case.yaml");
        SplittableRandom random = new SplittableRandom(3);
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = random.nextInt(50, 200);
        NiftiWriter.write(study.resolve("t2.nii.gz"), new Volume(GRID, voxels));
        Files.writeString(study.resolve("study.yaml"), "series:\n  - {file: t2.nii.gz, role: t2}\n");
        settings = SettingsFile.read(Optional.empty(), List.of("features.families=[intensity]"));
    }

    @Test
    void withoutAnImpressionNothingIsMeasuredAndNothingWritten() throws Exception {
        Files.writeString(caseFile, "case: a\nlesion: L1\n");
        assertThatThrownBy(() -> run(false))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("The impression comes before the numbers");
        assertThat(written).isFalse();
        assertThat(folder.resolve("out")).doesNotExist();
        // one that is not locked does not count
        Files.writeString(caseFile, "case: a\nlesion: L1\nimpression: {border: irregular}\n");
        assertThatThrownBy(() -> run(false)).isInstanceOf(InputException.class);
    }

    // Oracle: the same case measured as the command line does, byte for byte.
    @Test
    void withALockedImpressionItMeasuresWhatTheCommandLineDoes() throws Exception {
        new CaseFileWriter(caseFile, Sample.CASE).save(Sample.CASE.locking(Sample.impression(Sample.TIME)));
        MeasureRun.Result result = run(false);
        Path plain = folder.resolve("plain");
        CaseMeasurement.run(
                new CaseRequest(
                        study,
                        result.outline(),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.of(caseFile),
                        settings,
                        Software.NAME,
                        List.of()),
                plain,
                Workers.SINGLE,
                Progress.NONE);
        for (String name : List.of("features.csv", "features-wide.csv", "report.html"))
            assertThat(result.out().resolve(name)).hasSameBinaryContentAs(plain.resolve(name));
        assertThat(result.appraisal().comparisons()).hasSize(3);
        assertThat(result.rows()).isNotEmpty();
    }

    @Test
    void whoDeclinesOrHasSeenTheNumbersMayMeasure() throws Exception {
        Files.writeString(caseFile, "case: a\nlesion: L1\n");
        assertThat(run(true).appraisal().comparisons()).isEmpty();
        Files.writeString(caseFile, "case: a\nlesion: L1\nnumbers-shown: 2026-03-02T10:20:00\n");
        assertThat(run(false).rows()).isNotEmpty();
    }

    // Oracle: the numbers that were just measured.
    @Test
    void earlierNumbersComeBackForTheSameOutlineAndALockedImpression() throws Exception {
        CaseFile locked = Sample.CASE.locking(Sample.impression(Sample.TIME));
        new CaseFileWriter(caseFile, Sample.CASE).save(locked);
        ReadingFolder reading = new ReadingFolder(folder);
        MeasureRun.Result fresh = run(false);
        Files.move(fresh.out(), reading.result());
        Mask outline = org.leiogauge.nifti.NiftiReader.readMask(reading.outline());
        MeasureRun.Result earlier =
                EarlierNumbers.of(reading, outline, locked, Sample.STANDARDS).orElseThrow();
        assertThat(earlier.rows()).isEqualTo(fresh.rows());
        assertThat(earlier.origin())
                .matches("These numbers were measured at \\d{4}-\\d\\d-\\d\\d \\d\\d:\\d\\d with " + Software.NAME
                        + "\\.");
        byte[] other = outline.voxels().clone();
        other[0] = (byte) (1 - other[0]);
        assertThat(EarlierNumbers.of(reading, new Mask(outline.grid(), other), locked, Sample.STANDARDS))
                .isEmpty();
        CaseFile open = Sample.CASE.drafting(Sample.draft());
        assertThat(EarlierNumbers.of(reading, outline, open, Sample.STANDARDS)).isEmpty();
        CaseFile another = CaseFile.named("another").locking(Sample.impression(Sample.TIME));
        assertThat(EarlierNumbers.of(reading, outline, another, Sample.STANDARDS))
                .isEmpty();
    }

    private MeasureRun.Result run(boolean declined) throws InputException, IOException {
        return MeasureRun.run(
                new MeasureRun.Wish(study, this::outline, caseFile, declined, settings, folder.resolve("out")),
                Sample.STANDARDS,
                Workers.SINGLE,
                Progress.NONE);
    }

    private Path outline(Workers workers) throws IOException {
        written = true;
        byte[] inside = new byte[GRID.size().voxels()];
        for (int z = 1; z < 5; z++)
            for (int y = 2; y < 7; y++) for (int x = 2; x < 8; x++) inside[GRID.offset(x, y, z)] = 1;
        Path file = folder.resolve("outline.nii.gz");
        NiftiWriter.write(file, new Mask(GRID, inside));
        return file;
    }
}
