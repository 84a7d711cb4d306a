// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.study.CaseFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The demonstration case's outline holds L1, L2 and reference tissues; that of the ellipsoids one region, lesion. */
class LesionRegionTest {
    private static final Path DEMO = Path.of("test-images/demo/outline-true.dcm");
    private static final Path ONE = Path.of("test-images/ellipsoids/outline.dcm");

    @TempDir
    Path folder;

    @Test
    void noRegionIsMeasuredUnderTheNameOfAnotherThatIsThere() throws Exception {
        CaseRequest request = request(DEMO, Optional.of("L2"), "L1");
        assertThatThrownBy(() -> CaseMeasurement.run(request, folder.resolve("out"), Workers.SINGLE, Progress.NONE))
                .isInstanceOf(InputException.class)
                .hasMessage(DEMO + ": --roi: found L2 for the lesion L1 of " + folder.resolve("case.yaml")
                        + ", while there is a region L1, expected --roi L1, or a case file with lesion: L2");
        assertThat(folder.resolve("out")).doesNotExist();
    }

    @Test
    void aRegionThatTheCaseFileCallsOtherwiseIsSaidToBeThatLesion() throws Exception {
        assertThat(of(DEMO, Optional.of("L2"), "fundal"))
                .isEqualTo(region("fundal", Optional.of("L2"), "region L2 is measured as lesion fundal"));
        assertThat(of(ONE, Optional.empty(), "L1"))
                .isEqualTo(region(
                        "L1", Optional.empty(), "the outline's region, of another name, is measured as lesion L1"));
        assertThat(of(DEMO, Optional.of("L1"), "L1").decisions()).isEmpty();
    }

    @Test
    void ofSeveralRegionsTheOneNamedAsTheCaseFilesLesionIsTaken() throws Exception {
        LesionRegion found = of(DEMO, Optional.empty(), "L2");
        assertThat(found.roi()).contains("L2");
        assertThat(found.decisions()).hasSize(1).allMatch(line -> line.endsWith("lesion is measured, L2"));
        // then the outline's reader refuses, with all names
        assertThat(of(DEMO, Optional.empty(), "fundal").roi()).isEmpty();
    }

    @Test
    void withoutACaseFileTheLesionBearsTheNameOfTheRegionAskedFor() throws Exception {
        LesionRegion found = LesionRegion.of(request(DEMO, Optional.of("L2"), Optional.empty()), CaseFile.named("a"));
        assertThat(found.caseFile().lesion()).isEqualTo("L2");
        assertThat(found.decisions()).containsExactly("no case file: the lesion is named as its region, L2");
        assertThat(LesionRegion.of(request(DEMO, Optional.empty(), Optional.empty()), CaseFile.named("a"))
                        .roi())
                .isEmpty();
    }

    private LesionRegion of(Path outline, Optional<String> roi, String lesion) throws Exception {
        CaseRequest request = request(outline, roi, lesion);
        return LesionRegion.of(request, CaseFile.read(request.caseFile().orElseThrow()));
    }

    private static LesionRegion region(String lesion, Optional<String> roi, String decision) {
        return new LesionRegion(CaseFile.named("a").ofLesion(lesion), roi, List.of(decision));
    }

    private CaseRequest request(Path outline, Optional<String> roi, String lesion) throws Exception {
        Path caseFile = Files.writeString(folder.resolve("case.yaml"), "case: a\nlesion: " + lesion + "\n");
        return request(outline, roi, Optional.of(caseFile));
    }

    private static CaseRequest request(Path outline, Optional<String> roi, Optional<Path> caseFile) {
        return new CaseRequest(
                Path.of("test-images/demo/dicom"),
                outline,
                roi,
                Optional.empty(),
                caseFile,
                Settings.standard(),
                "test",
                List.of());
    }
}
