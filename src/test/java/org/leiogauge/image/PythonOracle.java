// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.io.File;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.leiogauge.dicom.OutsideTool;

/** Runs a few lines of Python with SciPy and scikit-image as an outside oracle; without them the test is skipped, in CI it fails. */
public final class PythonOracle {
    private static final Optional<String> PYTHON = List.of("/usr/bin/python3", "python3").stream()
            .filter(PythonOracle::hasLibraries)
            .findFirst();

    private PythonOracle() {}

    /**
     * What the script leaves in {@code r}, as doubles in C order.
     *
     * @param script finds the inputs as arrays {@code a0}, {@code a1}, … indexed [z, y, x], and {@code np}, {@code ndi}
     */
    public static double[] run(String script, Volume... inputs) {
        OutsideTool.assume(PYTHON.isPresent(), "not installed: python3 with scipy and skimage");
        try {
            Path folder = Files.createTempDirectory("oracle");
            StringBuilder text = new StringBuilder("import numpy as np\nfrom scipy import ndimage as ndi\n");
            for (int i = 0; i < inputs.length; i++) {
                Path file = folder.resolve("a" + i);
                Files.write(file, bytes(inputs[i].voxels()));
                Size size = inputs[i].grid().size();
                text.append("a%d = np.fromfile('%s', '<f4').reshape(%d, %d, %d)%n"
                        .formatted(i, file, size.z(), size.y(), size.x()));
            }
            Path result = folder.resolve("r");
            text.append(script)
                    .append("\nnp.asarray(r, '<f8').tofile('")
                    .append(result)
                    .append("')\n");
            Path file = Files.writeString(folder.resolve("oracle.py"), text);
            Process process = new ProcessBuilder(PYTHON.get(), file.toString())
                    .redirectErrorStream(true)
                    .redirectOutput(folder.resolve("log").toFile())
                    .start();
            if (process.waitFor() != 0)
                throw new AssertionError("oracle failed: " + Files.readString(folder.resolve("log")));
            double[] values = doubles(Files.readAllBytes(result));
            for (File used : folder.toFile().listFiles()) Files.delete(used.toPath());
            Files.delete(folder);
            return values;
        } catch (IOException | InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    private static boolean hasLibraries(String python) {
        try {
            return new ProcessBuilder(python, "-c", "import scipy, skimage")
                            .redirectErrorStream(true)
                            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                            .start()
                            .waitFor()
                    == 0;
        } catch (IOException | InterruptedException e) {
            return false;
        }
    }

    private static byte[] bytes(float[] values) {
        ByteBuffer buffer = ByteBuffer.allocate(4 * values.length).order(ByteOrder.LITTLE_ENDIAN);
        buffer.asFloatBuffer().put(values);
        return buffer.array();
    }

    private static double[] doubles(byte[] bytes) {
        double[] values = new double[bytes.length / 8];
        ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).asDoubleBuffer().get(values);
        return values;
    }
}
