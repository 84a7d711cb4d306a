// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.SplittableRandom;
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Makes a cohort of small invented studies from two sites with two readers, and the manifest that lists it: what
 * docs/scale.md shows. No test runs it, for it takes minutes. The sites differ in field, coil, voxels and noise; the first
 * reader draws the truth, the second sloppily. Malignant lesions are, on average only, brighter on T2, of lower ADC, rougher
 * and less even, so that nothing tells the outcomes fully.
 */
final class PhantomCohort {
    private static final String STUDY = """
            preset: ordinary
            seed: %d
            reader-slices: 1
            lesions:
            - {name: L1, centre: {x: 12, "y": -4, z: 14}, semi-axes: {x: %.2f, "y": %.2f, z: %.2f}, turn-degrees: %.1f,
               tissue: leiomyoma, roughness: {3: %.4f, 6: %.4f}, blur-mm: %.2f}
            tissues:
              leiomyoma: {t2-ms: %.2f, adc: %.3f, signal-texture: %.3f}
            """;
    private static final String NORTH = """
            scanner: {field-tesla: 1.5, coil-bias: 0.08}
            series:
            - {kind: t2, description: INV T2, columns: 56, rows: 56, slices: 14, pixel-mm: 2.0, slice-mm: 4.0, tr-ms: 4200,
               te-ms: 100, flip-degrees: 90, snr: 45}
            - {kind: dwi, description: INV DWI, columns: 36, rows: 36, slices: 12, pixel-mm: 3.5, slice-mm: 5.0, tr-ms: 5200,
               te-ms: 72, flip-degrees: 90, fat-suppressed: true, snr: 27, b-values: [0, 1000]}
            """;
    private static final String SOUTH = """
            scanner: {field-tesla: 3.0, coil-bias: 0.16, distortion-mm: 1.8}
            series:
            - {kind: t2, description: INV T2, columns: 60, rows: 60, slices: 12, pixel-mm: 1.8, slice-mm: 5.0, tr-ms: 3600,
               te-ms: 84, flip-degrees: 90, snr: 30}
            - {kind: dwi, description: INV DWI, columns: 36, rows: 36, slices: 12, pixel-mm: 3.5, slice-mm: 5.0, tr-ms: 5200,
               te-ms: 72, flip-degrees: 90, fat-suppressed: true, snr: 18, b-values: [0, 1000]}
            """;

    private PhantomCohort() {}

    /** @param arguments folder, number of cases; studies that are there already are kept */
    public static void main(String[] arguments) throws IOException {
        Path folder = Path.of(arguments[0]);
        int cases = Integer.parseInt(arguments[1]);
        Files.createDirectories(folder);
        StringBuilder manifest = new StringBuilder("case,study,outline,site,reader,outcome\n");
        try (Workers workers = Workers.of(Runtime.getRuntime().availableProcessors())) {
            workers.<IOException>forEach(cases, i -> write(folder, i));
        }
        for (int i = 0; i < cases; i++)
            for (int reader = 1; reader <= 2; reader++)
                manifest.append(String.format(
                        Locale.ROOT,
                        "p%03d,%03d/dicom,%03d/outline-%s.dcm,%s,reader-%d,%s%n",
                        i,
                        i,
                        i,
                        reader == 1 ? "true" : "sloppy",
                        i % 2 == 0 ? "north" : "south",
                        reader,
                        isMalignant(i) ? "malignant" : "benign"));
        Files.writeString(folder.resolve("manifest.csv"), manifest);
    }

    private static boolean isMalignant(int number) {
        return random(number).nextDouble() < 0.35;
    }

    private static SplittableRandom random(int number) {
        return new Seed(11).draw(number);
    }

    private static void write(Path folder, int number) throws IOException {
        Path study = folder.resolve(String.format(Locale.ROOT, "%03d", number));
        if (Files.exists(study.resolve("truth.csv"))) return;
        SplittableRandom random = random(number);
        boolean malignant = random.nextDouble() < 0.35;
        double rough = Math.max(0, normal(random, malignant ? 0.025 : 0.015, 0.01));
        String text = String.format(
                Locale.ROOT,
                STUDY,
                1000 + number,
                random.nextDouble(9, 15),
                random.nextDouble(9, 15),
                random.nextDouble(9, 15),
                random.nextDouble(0, 90),
                rough,
                rough / 2,
                random.nextDouble(0.5, 4),
                Math.max(35, normal(random, malignant ? 85 : 62, 16)),
                Math.max(0.5, normal(random, malignant ? 0.95 : 1.25, 0.18)),
                Math.max(0.01, normal(random, malignant ? 0.12 : 0.07, 0.03)));
        Path settings = folder.resolve(study.getFileName() + ".yaml");
        Files.writeString(settings, text + (number % 2 == 0 ? NORTH : SOUTH));
        try {
            Phantom.write(PhantomSettings.read(settings), study, Workers.SINGLE, Progress.NONE);
        } catch (InputException e) {
            throw new IllegalStateException("settings of our own", e);
        }
    }

    private static double normal(SplittableRandom random, double mean, double deviation) {
        return mean + deviation * Gaussian.next(random);
    }
}
