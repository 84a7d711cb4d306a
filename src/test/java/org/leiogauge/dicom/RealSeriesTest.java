// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Real series, read as DICOM and as their NIfTI twins, which others have made. */
class RealSeriesTest {
    private static final Path REFERENCE = Path.of("..", "shared", "standards", "ibsi");

    @ParameterizedTest
    @CsvSource({
        "ct-phantom/dicom/image, ct-phantom/dicom/mask, ct-phantom/image.nii.gz, ct-phantom/mask.nii.gz",
        "sts-mr/STS_008/image, sts-mr/STS_008/rtstruct, sts-mr/STS_008/nifti/image.nii.gz, sts-mr/STS_008/nifti/mask.nii.gz",
        "sts-mr/STS_025/image, sts-mr/STS_025/rtstruct, sts-mr/STS_025/nifti/image.nii.gz, sts-mr/STS_025/nifti/mask.nii.gz"
    })
    void seriesAndContoursEqualTheirTwins(String series, String contours, String image, String mask) throws Exception {
        assumeTrue(Files.isDirectory(REFERENCE), "no reference data beside the checkout: ../shared/standards/ibsi");
        DicomFolder folder = DicomFolder.scan(REFERENCE.resolve(series), Workers.of(2), Progress.NONE);
        assertThat(folder.ignored()).isEmpty();
        assertThat(folder.series()).hasSize(1);
        assertThat(folder.series().get(0).problems()).isEmpty();
        List<SeriesVolume> volumes = SeriesReader.read(folder.series().get(0), Workers.of(2), Progress.NONE);
        assertThat(volumes).hasSize(1);
        Volume ours = volumes.get(0).volume();
        Volume twin = NiftiReader.read(REFERENCE.resolve(image));
        requireSame(ours, twin);
        try (var files = Files.list(REFERENCE.resolve(contours))) {
            StructureSet set = StructureSet.read(files.findFirst().orElseThrow());
            StructureSet.Roi roi = set.region(
                    set.regions().size() == 1
                            ? Optional.empty()
                            : Optional.of(set.regions().stream()
                                    .map(StructureSet.Roi::name)
                                    .filter(n -> n.equals("GTV_Mass") || n.equals("GTV-1"))
                                    .findFirst()
                                    .orElse(set.regions().stream()
                                            .map(StructureSet.Roi::name)
                                            .toList()
                                            .toString())));
            StructureSet.Region region = set.on(roi, volumes.get(0));
            Mask drawn = NiftiReader.readMask(REFERENCE.resolve(mask));
            assertThat(differing(region.mask().voxels(), drawn.voxels())).isZero();
        }
    }

    // Oracle: the twin's voxels, difference 0; its header holds 32-bit numbers, so places agree to 0.001 mm.
    private static void requireSame(Volume ours, Volume twin) {
        assertThat(ours.grid().size()).isEqualTo(twin.grid().size());
        assertThat(ours.grid().coincides(twin.grid(), 1e-3)).isTrue();
        for (int i = 0; i < ours.voxels().length; i++)
            if (ours.voxels()[i] != twin.voxels()[i])
                throw new AssertionError("voxel " + i + ": " + ours.voxels()[i] + ", twin " + twin.voxels()[i]);
    }

    private static int differing(byte[] a, byte[] b) {
        int count = 0;
        for (int i = 0; i < a.length; i++) if (a[i] != b[i]) count++;
        return count;
    }
}
