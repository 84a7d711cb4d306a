// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Consumer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** How images of one series come together, on changed copies of the demo's images. */
class StackSortingTest {
    @TempDir
    Path folder;

    // Oracle: by hand: acquired 30 s and 90 s after the injection at 10:00:00 (PS3.5 6.2, TM).
    @Test
    void timePointsAreToldApartAndTimedFromTheInjection() throws IOException, InputException {
        for (int phase : new int[] {2, 1})
            for (int z = 1; z <= 4; z++) {
                int number = phase;
                copy(
                        "s1-%02d",
                        z, "p" + phase + "-" + z, set -> set.put(Tag.TEMPORAL_POSITION_IDENTIFIER, (long) number)
                                .put(Tag.ACQUISITION_TIME, number == 1 ? "100030" : "100130.0")
                                .put(Tag.CONTRAST_BOLUS_START_TIME, "100000"));
            }
        List<DicomSeries.Stack> stacks = read().stacks();
        assertThat(stacks).hasSize(2);
        assertThat(stacks.get(0).seconds()).hasValue(30);
        assertThat(stacks.get(1).seconds()).hasValue(90);
        assertThat(stacks.get(1).volume().grid().size().z()).isEqualTo(4);
    }

    // Oracle: the documented private element (0019,xx0C) of creator SIEMENS MR HEADER.
    @Test
    void aPrivateBValueIsReadAndSaidSo() throws IOException, InputException {
        for (int z = 1; z <= 3; z++)
            copy(
                    "s1-%02d",
                    z, "b" + z, set -> set.put(Element.text(0x00190010, Vr.LO, "SIEMENS MR HEADER"))
                            .put(Element.text(0x0019100C, Vr.IS, "800")));
        DicomSeries.Content content = read();
        assertThat(content.stacks().get(0).bValue()).hasValue(800);
        assertThat(content.decisions()).anyMatch(decision -> decision.contains("(0019,xx0C)"));
    }

    @Test
    void mixedOrientationsAreRefusedByName() throws IOException {
        copy("s1-%02d", 1, "one", set -> {});
        copy("s2-%02d", 1, "two", set -> set.put(Tag.SERIES_INSTANCE_UID, uid()));
        assertThatThrownBy(this::read)
                .isInstanceOf(InputException.class)
                .hasMessageContaining("T2 sagittal")
                .hasMessageContaining("images of several kinds");
    }

    @Test
    void unevenDistancesAreRefused() throws IOException {
        double[] places = {0, 4, 8.5, 12};
        for (int z = 0; z < 4; z++) {
            double x = places[z];
            copy("s1-%02d", z + 1, "u" + z, set -> set.put(Tag.IMAGE_POSITION_PATIENT, -x, -59.375, 59.375));
        }
        assertThatThrownBy(this::read)
                .isInstanceOf(InputException.class)
                .hasMessageContaining("uneven distances from 3.500 mm to 4.500 mm");
    }

    @Test
    void twoDifferentImagesAtOnePlaceAreRefused() throws IOException {
        copy("s1-%02d", 1, "a", set -> {});
        copy("s1-%02d", 2, "b", set -> {});
        copy("s1-%02d", 1, "c", set -> set.put(Tag.SOP_INSTANCE_UID, "1.2.3"));
        assertThatThrownBy(this::read).hasMessageContaining("two different images at one place");
    }

    private String uid() {
        try {
            return DicomReader.read(Path.of("test-images/ellipsoids/study/s1-01.dcm"))
                    .text(Tag.SERIES_INSTANCE_UID)
                    .orElseThrow();
        } catch (IOException | InputException e) {
            throw new IllegalStateException(e);
        }
    }

    private void copy(String name, int z, String to, Consumer<DataSet> change) throws IOException {
        try {
            DataSet set = DicomReader.read(Path.of("test-images/ellipsoids/study/" + String.format(name, z) + ".dcm"));
            set.put(Tag.SOP_INSTANCE_UID, "1.2.840." + Math.abs(to.hashCode()));
            change.accept(set);
            DicomWriter.write(folder.resolve(to), set, TransferSyntax.RLE);
        } catch (InputException e) {
            throw new IllegalStateException(e);
        }
    }

    private DicomSeries.Content read() throws InputException {
        return DicomFolder.scan(folder, Workers.SINGLE, Progress.NONE).get(0).read(Workers.SINGLE, Progress.NONE);
    }
}
