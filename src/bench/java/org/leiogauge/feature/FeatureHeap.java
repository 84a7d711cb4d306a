// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.leiogauge.image.Box;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The most that lives on the heap beyond the input while the standard's features are measured, per voxel of the lesion's
 * bounding box. One thread measures, another collects the garbage without end and looks at what is left.
 *
 * <p>Run with {@code java -XX:+UseSerialGC -Xmx200m -cp target/benchmarks.jar org.leiogauge.feature.FeatureHeap}; of
 * several passes the highest counts.
 */
public final class FeatureHeap {
    private FeatureHeap() {}

    public static void main(String[] arguments) throws InterruptedException {
        TexturedLesion input = TexturedLesion.small();
        Box box = input.mask().boundingBox().orElseThrow();
        List<Row> rows = new ArrayList<>();
        for (Family family : Family.values()) rows.add(new Row(family.name(), List.of(family), 3, 1));
        for (int threads = 1; threads <= 2; threads++)
            for (int dimensions = 3; dimensions >= 2; dimensions--)
                rows.add(new Row("all", List.of(Family.values()), dimensions, threads));
        measure(input, rows.get(rows.size() - 4));
        for (Row row : rows)
            System.out.printf(
                    Locale.ROOT,
                    "%s, %d-D, %d threads: %.2f bytes per voxel of %d%n",
                    row.name,
                    row.dimensions,
                    row.threads,
                    (double) measure(input, row) / box.size().voxels(),
                    box.size().voxels());
    }

    private record Row(String name, List<Family> families, int dimensions, int threads) {}

    private static long measure(TexturedLesion input, Row row) throws InterruptedException {
        Settings s = Settings.standard();
        Settings settings = new Settings(
                row.dimensions,
                s.resegment(),
                s.resample(),
                s.discretise(),
                s.intensityVolume(),
                s.texture(),
                row.families);
        long before = used();
        long most = before;
        try (Workers workers = Workers.of(row.threads)) {
            Thread measuring = new Thread(() -> {
                for (int pass = 0; pass < 3; pass++)
                    StandardFeatures.measure(input.image(), input.mask(), settings, workers, Progress.NONE);
            });
            measuring.start();
            while (measuring.isAlive()) most = Math.max(most, used());
            measuring.join();
        }
        return most - before;
    }

    // As the collection left it: what is allocated right after it doesn't count.
    private static long used() {
        System.gc();
        long sum = 0;
        for (MemoryPoolMXBean pool : ManagementFactory.getMemoryPoolMXBeans())
            if (pool.getType() == MemoryType.HEAP && pool.getCollectionUsage() != null)
                sum += pool.getCollectionUsage().getUsed();
        return sum;
    }
}
