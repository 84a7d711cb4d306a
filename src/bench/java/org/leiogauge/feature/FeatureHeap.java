// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.io.BufferedInputStream;
import java.io.DataInputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The least heap with which the standard's features of the large lesion get through, beyond that with which the input
 * alone does, per voxel of the lesion's bounding box. Each trial is a virtual machine of its own with a heap of fixed size;
 * the size is found to within {@value #STEP_KIB} KiB.
 *
 * <p>Run with {@code java -cp target/benchmarks.jar org.leiogauge.feature.FeatureHeap}.
 */
public final class FeatureHeap {
    private static final int STEP_KIB = 2048;
    private static final int MOST_KIB = 192 << 10;

    private static final Path INPUT = Path.of("target", "heap-input.raw");

    private FeatureHeap() {}

    public static void main(String[] arguments) throws IOException, InterruptedException {
        if (arguments.length > 0) {
            trial(Path.of(arguments[0]), arguments[1], Integer.parseInt(arguments[2]), Integer.parseInt(arguments[3]));
            return;
        }
        int voxels = write();
        int input = leastKib("", 3, 1);
        System.out.printf(Locale.ROOT, "input alone: %d KiB%n", input);
        String all = Arrays.stream(Family.values()).map(Family::name).collect(Collectors.joining(","));
        for (int threads = 1; threads <= 2; threads++)
            for (int dimensions = 3; dimensions >= 2; dimensions--) print(all, dimensions, threads, input, voxels);
    }

    private static void print(String families, int dimensions, int threads, int input, int voxels)
            throws IOException, InterruptedException {
        int more = leastKib(families, dimensions, threads) - input;
        System.out.printf(
                Locale.ROOT,
                "all families, %d-D, %d threads: %.2f bytes per voxel of %d%n",
                dimensions,
                threads,
                more * 1024.0 / voxels,
                voxels);
    }

    private static int leastKib(String families, int dimensions, int threads) throws IOException, InterruptedException {
        int tooLittle = 0;
        int enough = MOST_KIB;
        while (enough - tooLittle > STEP_KIB) {
            int tried = (tooLittle + enough) / 2 / STEP_KIB * STEP_KIB;
            if (getsThrough(tried, families, dimensions, threads)) enough = tried;
            else tooLittle = tried;
        }
        return enough;
    }

    private static boolean getsThrough(int kib, String families, int dimensions, int threads)
            throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of(
                System.getProperty("java.home") + "/bin/java",
                "-XX:+UseSerialGC",
                "-Xmn1m",
                "-Xmx" + kib + "k",
                "-cp",
                System.getProperty("java.class.path"),
                FeatureHeap.class.getName(),
                INPUT.toString(),
                families,
                Integer.toString(dimensions),
                Integer.toString(threads)));
        return new ProcessBuilder(command)
                        .redirectErrorStream(true)
                        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                        .start()
                        .waitFor()
                == 0;
    }

    private static int write() throws IOException {
        TexturedLesion lesion = TexturedLesion.large();
        ByteBuffer bytes = ByteBuffer.allocate(5 * lesion.mask().voxels().length);
        for (float voxel : lesion.image().voxels()) bytes.putFloat(voxel);
        Files.write(INPUT, bytes.put(lesion.mask().voxels()).array());
        return lesion.mask().boundingBox().orElseThrow().size().voxels();
    }

    // The making of the input would need more than the features do: it is read.
    private static void trial(Path input, String families, int dimensions, int threads) throws IOException {
        float[] voxels = new float[TexturedLesion.LARGE.size().voxels()];
        byte[] inside = new byte[voxels.length];
        try (DataInputStream in = new DataInputStream(new BufferedInputStream(Files.newInputStream(input)))) {
            for (int i = 0; i < voxels.length; i++) voxels[i] = in.readFloat();
            in.readFully(inside);
        }
        Volume image = new Volume(TexturedLesion.LARGE, voxels);
        Mask mask = new Mask(TexturedLesion.LARGE, inside);
        if (families.isEmpty()) return;
        Settings s = Settings.standard();
        Settings settings = new Settings(
                dimensions,
                s.resegment(),
                s.resample(),
                s.discretise(),
                s.intensityVolume(),
                s.texture(),
                Arrays.stream(families.split(",")).map(Family::valueOf).toList());
        try (Workers workers = Workers.of(threads)) {
            StandardFeatures.measure(image, mask, settings, workers, Progress.NONE);
        }
    }
}
