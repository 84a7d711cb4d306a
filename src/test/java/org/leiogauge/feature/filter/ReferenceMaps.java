// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The standard's reference response maps that lie beside the checkout, and the filter that each was made with. */
public final class ReferenceMaps {
    /** A voxel may differ by this share of the map's range. Source: IBSI 2 reference data. */
    public static final double TOLERANCE = 0.01;

    private static final Path FOLDER = Path.of("..", "shared", "standards", "ibsi", "filters");
    private static final Boundary ZERO = Boundary.ZERO;
    private static final Boundary MIRROR = Boundary.MIRROR;
    private static final Optional<Pooling> NO_ROTATION = Optional.empty();
    private static final Optional<Pooling> MAX = Optional.of(Pooling.MAX);
    private static final Optional<Pooling> MEAN = Optional.of(Pooling.MEAN);
    private static final OptionalInt RESPONSE = OptionalInt.empty();
    private static final OptionalInt ENERGY = OptionalInt.of(7);

    private static final Map<String, Filter> FILTERS = new TreeMap<>(Map.ofEntries(
            Map.entry("1.a.1", new Mean(3, 15, ZERO)),
            Map.entry("1.a.3", new Mean(3, 15, Boundary.PERIODIC)),
            Map.entry("1.b.1", new Mean(2, 15, ZERO)),
            Map.entry("2.a", new LaplacianOfGaussian(3, 3, 4, ZERO)),
            Map.entry("2.c", new LaplacianOfGaussian(2, 5, 4, MIRROR)),
            Map.entry("3.a.1", new Laws("E5L5S5", NO_ROTATION, RESPONSE, ZERO)),
            Map.entry("3.a.3", new Laws("E5L5S5", MAX, ENERGY, ZERO)),
            Map.entry("3.b.1", new Laws("E3W5R5", NO_ROTATION, RESPONSE, MIRROR)),
            Map.entry("3.b.2", new Laws("E3W5R5", MAX, RESPONSE, MIRROR)),
            Map.entry("3.c.2", new Laws("L5S5", MAX, RESPONSE, MIRROR)),
            Map.entry("3.c.3", new Laws("L5S5", MAX, ENERGY, MIRROR)),
            Map.entry("4.a.1", new Gabor(2, 10, 4, 0.5, new Gabor.Angles.One(60), Pooling.MEAN, ZERO)),
            Map.entry("4.a.2", new Gabor(3, 10, 4, 0.5, new Gabor.Angles.Turn(45), Pooling.MEAN, ZERO)),
            Map.entry("4.b.1", new Gabor(2, 20, 8, 2.5, new Gabor.Angles.One(225), Pooling.MEAN, MIRROR)),
            Map.entry("5.a.1", new Wavelet(Wavelet.Family.DAUBECHIES_2, "LHL", 1, NO_ROTATION, ZERO)),
            Map.entry("6.a.2", new Wavelet(Wavelet.Family.COIFLET_1, "HHL", 1, MEAN, Boundary.PERIODIC)),
            Map.entry("7.a.1", new Wavelet(Wavelet.Family.HAAR, "LLL", 2, MEAN, MIRROR)),
            Map.entry("8.a.1", new Simoncelli(3, 1)),
            Map.entry("8.a.2", new Simoncelli(3, 2)),
            Map.entry("9.a", new Riesz(1, 0, 0, new LaplacianOfGaussian(3, 3, 4, ZERO))),
            Map.entry("10.b.1", new Riesz(0, 2, 0, new Simoncelli(3, 1)))));

    private ReferenceMaps() {}

    /** Their names, as the standard numbers them. */
    public static List<String> ids() {
        return FILTERS.keySet().stream()
                .sorted(java.util.Comparator.comparingInt((String id) -> Integer.parseInt(id.split("\\.")[0]))
                        .thenComparing(id -> id))
                .toList();
    }

    static Filter filter(String id) {
        return FILTERS.get(id);
    }

    /**
     * What came out.
     *
     * @param difference the largest, as a share of the reference's range
     * @param place index of the voxel with it
     */
    public record Result(double difference, int place, float ours, float reference) {
        public boolean passes() {
            return difference <= TOLERANCE;
        }
    }

    /** @param phantom name of the image, as the table of the reference data has it */
    public static Result compare(String id, String phantom, Workers workers) throws InputException {
        Volume image = NiftiReader.read(FOLDER.resolve("phantoms/" + phantom + "/image.nii.gz"));
        String file = id.replace('.', '_').toLowerCase(Locale.ROOT) + ".nii.gz";
        float[] reference =
                NiftiReader.read(FOLDER.resolve("response-maps").resolve(file)).voxels();
        float[] ours = FILTERS.get(id).apply(image, workers, Progress.NONE).voxels();
        float low = Float.POSITIVE_INFINITY;
        float high = Float.NEGATIVE_INFINITY;
        int worst = 0;
        for (int i = 0; i < reference.length; i++) {
            low = Math.min(low, reference[i]);
            high = Math.max(high, reference[i]);
            if (!(Math.abs(ours[i] - reference[i]) <= Math.abs(ours[worst] - reference[worst]))) worst = i;
        }
        double difference = Math.abs((double) ours[worst] - reference[worst]) / ((double) high - low);
        return new Result(difference, worst, ours[worst], reference[worst]);
    }
}
