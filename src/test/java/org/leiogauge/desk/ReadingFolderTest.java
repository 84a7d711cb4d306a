// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.outline.RoughShape;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class ReadingFolderTest {
    private static final Path STUDY = Path.of("test-images/ellipsoids/study");

    @TempDir
    Path folder;

    @Test
    void workGoesBesideTheStudyUnlessAnotherPlaceIsNamed() {
        assertThat(ReadingFolder.of(folder.resolve("study/"), Optional.empty()).folder())
                .isEqualTo(folder.resolve("study-reading"));
        assertThat(ReadingFolder.of(folder.resolve("study"), Optional.of(folder.resolve("here")))
                        .folder())
                .isEqualTo(folder.resolve("here"));
    }

    @Test
    void whatIsMeasuredIsVoxelForVoxelWhatWasDrawnOnTheSeriesItWasDrawnOn() throws Exception {
        Study study = Study.open(STUDY, Workers.SINGLE, Progress.NONE);
        ReadingFolder reading = new ReadingFolder(folder);
        for (Series series : study.series()) {
            Grid grid = series.read(Workers.SINGLE, Progress.NONE)
                    .frames()
                    .get(0)
                    .volume()
                    .grid();
            Mask region = RoughShape.ball(grid, new Point(3, 2, 1), 40);
            Path file = reading.forMeasuring(STUDY, series, region, Workers.SINGLE);
            Outline read = OutlineFile.read(file, Optional.empty(), study, Workers.SINGLE, Progress.NONE);
            assertThat(read.series().id()).isEqualTo(series.id());
            assertThat(read.mask().voxels()).isEqualTo(region.voxels());
            reading.keep(region);
            assertThat(reading.kept(study, Workers.SINGLE, Progress.NONE)
                            .orElseThrow()
                            .mask()
                            .voxels())
                    .isEqualTo(region.voxels());
        }
        Grid any = new Grid(new Size(1, 1, 1), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0));
        reading.keep(new Mask(any, new byte[1]));
        assertThat(reading.kept(study, Workers.SINGLE, Progress.NONE)).isEmpty();
    }
}
