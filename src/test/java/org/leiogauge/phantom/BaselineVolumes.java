// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import org.leiogauge.image.Contour;
import org.leiogauge.image.ContourFill;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.outline.BetweenSlices;
import org.leiogauge.outline.BorderRefinement;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.outline.Refined;
import org.leiogauge.outline.Rough;
import org.leiogauge.signal.BiasField;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Refinement and bias field on the volumes that general-purpose libraries were measured on, as a CSV table.
 *
 * <p>Run {@code main} with the folder that holds {@code seg.nii}, {@code seg_truth.nii}, {@code n4.nii}, {@code n4_field.nii}
 * and {@code n4_mask.nii}, and the number of threads. The outline of {@code seg} is a sloppy reader's: every fourth slice,
 * 1.5 mm off the line.
 */
final class BaselineVolumes {
    private static final int READERS = 3;
    private static final int EVERY = 4;
    private static final double OFF_MM = 1.5;
    private static final int RUNS = 7;

    private BaselineVolumes() {}

    public static void main(String[] wish) throws InputException {
        Path folder = Path.of(wish[0]);
        System.out.println("job,trial,first,second,seconds");
        try (Workers workers = Workers.of(Integer.parseInt(wish[1]))) {
            segmentation(folder, workers);
            biasField(folder, workers);
        }
    }

    private static void segmentation(Path folder, Workers workers) throws InputException {
        Volume image = NiftiReader.read(folder.resolve("seg.nii"));
        Mask truth = NiftiReader.readMask(folder.resolve("seg_truth.nii"));
        for (int reader = 0; reader < READERS; reader++) {
            Mask drawn = BetweenSlices.fill(drawn(truth, reader), BetweenSlices.Settings.standard(), workers);
            print("as drawn", reader, drawn, truth, 0, workers);
            Rough rough = Rough.of(List.of(image), drawn);
            Timed<Refined> refined = timed(
                    () -> BorderRefinement.refine(rough, BorderRefinement.Settings.standard(), workers, Progress.NONE));
            print("refined", reader, refined.value().mask(), truth, refined.seconds(), workers);
        }
    }

    private static void print(String job, int reader, Mask found, Mask truth, double seconds, Workers workers) {
        OutlineAgreement.Agreement agreement = OutlineAgreement.between(found, truth, workers);
        System.out.printf(
                Locale.ROOT,
                "%s,%d,%.4f,%.2f,%.2f%n",
                job,
                reader,
                agreement.dice().number().orElseThrow(),
                agreement.hausdorff95().number().orElseThrow(),
                seconds);
    }

    // On every fourth slice, where the section is longest; its points in mm within the slice.
    private static Mask drawn(Mask truth, int reader) throws InputException {
        Grid grid = truth.grid();
        Map<Integer, Contour> longest = new TreeMap<>();
        for (Contour contour : MaskContours.of(truth)) {
            int z = (int) Math.round(grid.index(contour.points().get(0)).z());
            if (z % EVERY == EVERY / 2)
                longest.merge(
                        z, contour, (a, b) -> a.points().size() >= b.points().size() ? a : b);
        }
        List<Contour> contours = new ArrayList<>();
        longest.forEach((z, contour) -> {
            double[][] line = contour.points().stream()
                    .map(p -> new double[] {p.x(), p.y()})
                    .toArray(double[][]::new);
            double[][] beside = SloppyReader.beside(line, OFF_MM, new Seed(5 + reader).draw(z));
            double height = contour.points().get(0).z();
            contours.add(new Contour(Arrays.stream(beside)
                    .map(q -> new Point(q[0], q[1], height))
                    .toList()));
        });
        return ContourFill.fill("the sloppy reader", contours, grid).mask();
    }

    /** Coefficient of variation of the field in the head, before it was divided out and after. */
    private static void biasField(Path folder, Workers workers) throws InputException {
        Volume image = NiftiReader.read(folder.resolve("n4.nii"));
        Volume truth = NiftiReader.read(folder.resolve("n4_field.nii"));
        Mask head = NiftiReader.readMask(folder.resolve("n4_mask.nii"));
        Timed<BiasField.Estimate> found =
                timed(() -> BiasField.estimate(image, head, BiasField.Settings.standard(), workers, Progress.NONE));
        float[] left = truth.voxels().clone();
        for (int i = 0; i < left.length; i++) left[i] /= found.value().field().voxels()[i];
        System.out.printf(
                Locale.ROOT,
                "bias field,0,%.3f,%.3f,%.2f%n",
                variation(truth.voxels(), head),
                variation(left, head),
                found.seconds());
    }

    private static double variation(float[] values, Mask head) {
        double[] inside = IntStream.range(0, values.length)
                .filter(i -> head.voxels()[i] != 0)
                .mapToDouble(i -> values[i])
                .toArray();
        double mean = Arrays.stream(inside).average().orElseThrow();
        double square = Arrays.stream(inside)
                .map(v -> (v - mean) * (v - mean))
                .average()
                .orElseThrow();
        return Math.sqrt(square) / mean;
    }

    /** A result and the shortest of several times, the first ones warming up. */
    private record Timed<T>(T value, double seconds) {}

    private static <T> Timed<T> timed(Supplier<T> job) {
        double least = Double.MAX_VALUE;
        T value = null;
        for (int run = 0; run < RUNS; run++) {
            long start = System.nanoTime();
            value = job.get();
            least = Math.min(least, (System.nanoTime() - start) / 1e9);
        }
        return new Timed<>(value, least);
    }
}
