// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.leiogauge.task.InputException;

/** The test files that Debian ships with pydicom: old, odd and broken ones from many makers. */
class RealWorldOdditiesTest {
    private static final Path FILES = Path.of("/usr/lib/python3/dist-packages/pydicom/data/test_files");

    // Sum of stored values, frame by frame weighted by its number, of grey images that numpy can decode.
    private static final String SUMS = """
            import sys, os, pydicom, warnings
            import numpy as np
            warnings.simplefilter('ignore')
            for d, _, fs in os.walk(sys.argv[1]):
                for f in fs:
                    p = os.path.join(d, f)
                    try:
                        s = pydicom.dcmread(p, force=False)
                        if s.get('SamplesPerPixel', 1) != 1 or s.get('BitsAllocated', 16) not in (8, 16, 32): continue
                        if str(s.file_meta.TransferSyntaxUID) in ('1.2.840.10008.1.2.4.50', '1.2.840.10008.1.2.4.51',
                                                                  '1.2.840.10008.1.2.4.91'): continue
                        a = s.pixel_array.astype(np.float64)
                    except Exception:
                        continue
                    if not np.isfinite(a).all(): continue
                    a = a.reshape(int(s.get('NumberOfFrames', 1) or 1), -1)
                    print(p, repr(float((a.sum(axis=1) * np.arange(1, len(a) + 1)).sum())))
            """;

    @Test
    void everyFileIsReadAsPydicomDoesOrRefused() throws Exception {
        assumeTrue(Files.isDirectory(FILES), "not installed: python3-pydicom with its test files");
        OutsideTool.assumePydicom();
        Map<Path, Double> theirs = new HashMap<>();
        for (String line : OutsideTool.python(SUMS, FILES)) {
            int blank = line.lastIndexOf(' ');
            theirs.put(Path.of(line.substring(0, blank)), Double.valueOf(line.substring(blank + 1)));
        }
        List<String> wrong = new ArrayList<>();
        List<String> refused = new ArrayList<>();
        int equal = 0;
        for (Path file : files()) {
            try {
                DicomReader.read(file);
                DicomReader.Header header = DicomReader.readHeader(file);
                if (header.pixelTag() == 0) continue;
                double ours = sum(header);
                if (!theirs.containsKey(file)) continue;
                // Oracle: pydicom with numpy; sums of whole numbers are exact, of floating-point ones to rounding.
                if (Math.abs(ours - theirs.get(file)) > 1e-6 * Math.abs(theirs.get(file))) wrong.add(file + " " + ours);
                else equal++;
            } catch (InputException e) {
                if (theirs.containsKey(file)) refused.add(e.getMessage());
            }
        }
        assertThat(wrong).isEmpty();
        assertThat(equal).isGreaterThan(20);
        assertThat(refused).isEmpty();
    }

    private static double sum(DicomReader.Header header) throws Exception {
        FrameReader reader = FrameReader.open(header);
        PixelFormat format = reader.format();
        FrameReader.requirePlausible(header);
        double sum = 0;
        float[] frame = new float[(int) format.pixels()];
        for (int i = 0; i < format.frames(); i++) {
            reader.read(i, frame, 0, Scale.NONE);
            for (float value : frame) sum += value * (double) (i + 1);
        }
        return sum;
    }

    private static List<Path> files() throws Exception {
        try (Stream<Path> walk = Files.walk(FILES)) {
            return walk.filter(Files::isRegularFile).sorted().toList();
        }
    }
}
