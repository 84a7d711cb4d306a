// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** What holds of the filters without any reference data. */
class FilterTest {
    // 13 and 22 have the prime factors 13 and 11: the transform's long way round.
    private static final Size SIZE = new Size(13, 18, 22);
    private static final Volume NOISE = noise(new Spacing(2, 2, 2));

    private static final List<Filter> ALL = List.of(
            new Mean(3, 5, Boundary.MIRROR),
            new LaplacianOfGaussian(3, 3, 4, Boundary.NEAREST),
            new LaplacianOfGaussian(2, 3, 4, Boundary.ZERO),
            new Laws("E5L5S5", Optional.of(Pooling.MAX), OptionalInt.of(3), Boundary.MIRROR),
            new Gabor(3, 3, 4, 0.8, new Gabor.Angles.Turn(45), Pooling.MEAN, Boundary.MIRROR),
            new Gabor(2, 3, 4, 0.8, new Gabor.Angles.One(30), Pooling.MAX, Boundary.PERIODIC),
            new Wavelet(Wavelet.Family.DAUBECHIES_2, "LHH", 2, Optional.of(Pooling.MEAN), Boundary.PERIODIC),
            new Wavelet(Wavelet.Family.COIFLET_1, "HL", 1, Optional.empty(), Boundary.ZERO),
            new Simoncelli(3, 2),
            new Simoncelli(2, 1),
            new Riesz(1, 1, 0, new LaplacianOfGaussian(3, 3, 4, Boundary.ZERO)),
            new Riesz(0, 2, 0, new Simoncelli(3, 1)));

    @Test
    void threadsChangeNoBit() {
        for (Filter filter : ALL) {
            float[] one = apply(filter, NOISE);
            for (int threads : new int[] {2, 3, 7})
                try (Workers workers = Workers.of(threads)) {
                    assertThat(filter.apply(NOISE, workers, Progress.NONE).voxels())
                            .as("%s on %d threads", filter, threads)
                            .isEqualTo(one);
                }
        }
    }

    @Test
    void theImageIsNotWrittenTo() {
        float[] before = NOISE.voxels().clone();
        ALL.forEach(filter -> apply(filter, NOISE));
        assertThat(NOISE.voxels()).isEqualTo(before);
    }

    // Oracle: the weights of a mean add up to 1, those of a smoothing pass to √2 per axis and level, those of all
    // others to 0.
    @Test
    void aConstantImageIsKeptByTheMeanAndGoneForWhatLooksForChange() {
        Volume flat = constant(100);
        assertAll(apply(new Mean(3, 7, Boundary.MIRROR), flat), 100, 1e-4);
        for (Boundary boundary : List.of(Boundary.NEAREST, Boundary.PERIODIC, Boundary.MIRROR)) {
            // The kernel ends at 4 σ and its sum is not corrected: what is left is below 0.1 %.
            assertAll(apply(new LaplacianOfGaussian(3, 3, 4, boundary), flat), 0, 0.1);
            assertAll(apply(new LaplacianOfGaussian(3, 3, 8, boundary), flat), 0, 1e-4);
            assertAll(apply(laws("E5L5S5", boundary), flat), 0, 1e-4);
            for (Wavelet.Family family : Wavelet.Family.values()) {
                assertAll(apply(wavelet(family, "LHL", 2, boundary), flat), 0, 1e-3);
                // Oracle: 100 · (√2³)²
                assertAll(apply(wavelet(family, "LLL", 2, boundary), flat), 800, 1e-2);
            }
        }
        assertThat(apply(new Mean(3, 7, Boundary.ZERO), flat)[0]).isEqualTo(100 * 64 / 343f, within(1e-4f));
    }

    // Oracle: the kernel of the manual, written out; an impulse of 1 gives it back.
    @Test
    void theLaplacianOfGaussianOfAnImpulseIsItsKernel() {
        float[] response = apply(new LaplacianOfGaussian(3, 3, 4, Boundary.ZERO), impulse(6, 9, 11));
        double s = 1.5;
        Grid grid = NOISE.grid();
        for (int z = 0; z < SIZE.z(); z++)
            for (int y = 0; y < SIZE.y(); y++)
                for (int x = 0; x < SIZE.x(); x++) {
                    double r2 = (x - 6) * (x - 6) + (y - 9) * (y - 9) + (z - 11) * (z - 11);
                    boolean isInside = Math.max(Math.abs(x - 6), Math.max(Math.abs(y - 9), Math.abs(z - 11))) <= 6;
                    double g = -1
                            / (s * s)
                            * Math.pow(2 * Math.PI * s * s, -1.5)
                            * (3 - r2 / (s * s))
                            * Math.exp(-r2 / (2 * s * s));
                    assertThat((double) response[grid.offset(x, y, z)]).isEqualTo(isInside ? g : 0, within(1e-7));
                }
    }

    // Oracle: direct summation of the manual's kernel over all voxels, at places near and far from the border.
    @Test
    void gaborEqualsTheDirectSum() {
        for (Boundary boundary : Boundary.values()) {
            Filter filter = new Gabor(2, 2, 5, 0.7, new Gabor.Angles.One(35), Pooling.MEAN, boundary);
            float[] response = apply(filter, NOISE);
            for (int[] at : new int[][] {{0, 0, 0}, {6, 9, 3}, {12, 2, 21}})
                assertThat((double) response[NOISE.grid().offset(at[0], at[1], at[2])])
                        .as("%s at %s", boundary, Arrays.toString(at))
                        .isEqualTo(gabor(at, boundary), within(1e-3));
        }
    }

    private static double gabor(int[] at, Boundary boundary) {
        double theta = Math.toRadians(35);
        double re = 0;
        double im = 0;
        for (int k2 = -10; k2 <= 10; k2++)
            for (int k1 = -10; k1 <= 10; k1++) {
                double a = k1 * Math.cos(theta) + k2 * Math.sin(theta);
                double b = -k1 * Math.sin(theta) + k2 * Math.cos(theta);
                double size = Math.exp(-(a * a + 0.49 * b * b) / 2);
                int x = boundary.index(at[0] - k1, SIZE.x());
                int y = boundary.index(at[1] - k2, SIZE.y());
                double value = x < 0 || y < 0 ? 0 : NOISE.at(x, y, at[2]);
                re += value * size * Math.cos(2 * Math.PI * a * 2 / 5);
                im += value * size * Math.sin(2 * Math.PI * a * 2 / 5);
            }
        return Math.hypot(re, im);
    }

    // Oracle: the rule itself; half a turn more is left out as it gives the same.
    @Test
    void aTurnOfAnglesIsTheMeanOfThemAll() {
        float[] sum = new float[NOISE.voxels().length];
        for (int theta = 0; theta < 360; theta += 45) {
            float[] one =
                    apply(new Gabor(2, 3, 4, 0.8, new Gabor.Angles.One(theta), Pooling.MEAN, Boundary.MIRROR), NOISE);
            for (int i = 0; i < sum.length; i++) sum[i] += one[i] / 8;
        }
        float[] turn = apply(new Gabor(2, 3, 4, 0.8, new Gabor.Angles.Turn(45), Pooling.MEAN, Boundary.MIRROR), NOISE);
        for (int i = 0; i < sum.length; i++) assertThat(turn[i]).isEqualTo(sum[i], within(1e-3f));
    }

    // Oracle: parity of the kernels: even ones keep a mirrored image's response, odd ones change its sign.
    @Test
    void kernelsKeepTheirParity() {
        Volume mirrored = mirrored(NOISE);
        for (String kernel : List.of("L5", "S5", "R5", "S3", "L3", "E5", "E3", "W5")) {
            float[] plain = apply(laws(kernel + "L5L5", Boundary.MIRROR), NOISE);
            float[] turned = mirrored(new Volume(NOISE.grid(), apply(laws(kernel + "L5L5", Boundary.MIRROR), mirrored)))
                    .voxels();
            float sign = "EW".indexOf(kernel.charAt(0)) >= 0 ? -1 : 1;
            for (int i = 0; i < plain.length; i++) assertThat(turned[i]).isEqualTo(sign * plain[i], within(1e-3f));
        }
    }

    // Oracle: counted, 24 rotations of a cube and 4 of a square; fewer where kernels look alike from two sides.
    @Test
    void rotationsAreCountedOnceEach() {
        Kernel a = Kernel.ofTaps(1, 2, 4);
        Kernel b = Kernel.ofTaps(1, 3, 9);
        Kernel c = Kernel.ofTaps(1, 5, 25);
        assertThat(SeparableFilter.orientations(List.of(List.of(a), List.of(b), List.of(c))))
                .hasSize(24);
        assertThat(SeparableFilter.orientations(List.of(List.of(a), List.of(b))))
                .hasSize(4);
        Kernel even = Kernel.ofTaps(1, 2, 1);
        assertThat(SeparableFilter.orientations(List.of(List.of(even), List.of(even), List.of(even))))
                .hasSize(1);
        assertThat(SeparableFilter.orientations(List.of(List.of(even), List.of(even), List.of(b))))
                .hasSize(6);
    }

    // Oracle: an orthonormal wavelet keeps energy: low and high pass of all 8 kinds together give 8 times that of the
    // image.
    @Test
    void undecimatedWaveletsKeepEnergy() {
        double energy = energy(NOISE.voxels());
        for (Wavelet.Family family : Wavelet.Family.values()) {
            double sum = 0;
            for (String response : List.of("LLL", "LLH", "LHL", "LHH", "HLL", "HLH", "HHL", "HHH"))
                sum += energy(apply(wavelet(family, response, 1, Boundary.PERIODIC), NOISE));
            assertThat(sum / energy).as(family.name()).isEqualTo(8, within(1e-5));
        }
    }

    // Oracle: the transforms of all directions of one order add up to the image's energy: Σ L!/(l₁!l₂!l₃!) Π νᵢ^2lᵢ =
    // ν^2L.
    @Test
    void theRieszTransformsOfAnOrderSplitTheEnergy() {
        Simoncelli wavelet = new Simoncelli(3, 1);
        // an odd side each, so that positive and negative frequencies are alike
        Volume odd = noise(new Size(13, 15, 11));
        double sum = 0;
        for (int[] order : new int[][] {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}})
            sum += energy(apply(new Riesz(order[0], order[1], order[2], wavelet), odd));
        assertThat(sum / energy(apply(wavelet, odd))).isEqualTo(1, within(1e-5));
    }

    // Oracle: the definition of the discrete transform, summed up directly.
    @Test
    void spectraOfAnySideEqualTheDirectSum() {
        Spectrum spectrum = new Spectrum(new Size(7, 11, 4), 3);
        Random random = new Random(5);
        for (int i = 0; i < spectrum.re.length; i++) spectrum.re[i] = random.nextGaussian();
        double[] image = spectrum.re.clone();
        spectrum.transform(Workers.SINGLE);
        double[] direct = {0, 0};
        for (int z = 0; z < 4; z++)
            for (int y = 0; y < 11; y++)
                for (int x = 0; x < 7; x++) {
                    double turn = -2 * Math.PI * (3 * x / 7.0 + 9 * y / 11.0 + 2 * z / 4.0);
                    direct[0] += image[(z * 11 + y) * 7 + x] * Math.cos(turn);
                    direct[1] += image[(z * 11 + y) * 7 + x] * Math.sin(turn);
                }
        int at = (2 * 11 + 9) * 7 + 3;
        assertThat(spectrum.re[at]).isEqualTo(direct[0], within(1e-10));
        assertThat(spectrum.im[at]).isEqualTo(direct[1], within(1e-10));
        spectrum.invert(Workers.SINGLE);
        for (int i = 0; i < image.length; i++) assertThat(spectrum.re[i]).isEqualTo(image[i], within(1e-12));
    }

    // Oracle: the pictures … c b a | a b c … and so on of the manual.
    @Test
    void boundariesContinueTheImageAsTheirNamesSay() {
        assertThat(line(Boundary.ZERO)).isEqualTo("--------abc-------");
        assertThat(line(Boundary.NEAREST)).isEqualTo("aaaaaaaaabcccccccc");
        assertThat(line(Boundary.PERIODIC)).isEqualTo("bcabcabcabcabcabca");
        assertThat(line(Boundary.MIRROR)).isEqualTo("baabccbaabccbaabcc");
    }

    private static String line(Boundary boundary) {
        StringBuilder line = new StringBuilder();
        for (int i = -8; i < 10; i++) {
            int at = boundary.index(i, 3);
            line.append(at < 0 ? '-' : "abc".charAt(at));
        }
        return line.toString();
    }

    @Test
    void whatDoesNotSuitTheVoxelsIsRefused() {
        Volume flat = noise(new Spacing(1, 1, 3));
        assertThatThrownBy(() -> apply(new LaplacianOfGaussian(3, 3, 4, Boundary.ZERO), flat))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("voxels must have equal sides in the 3 dimensions");
        assertThat(apply(new LaplacianOfGaussian(2, 3, 4, Boundary.ZERO), flat)).hasSize(SIZE.voxels());
        assertThatThrownBy(() -> apply(new LaplacianOfGaussian(2, 1e9, 4, Boundary.ZERO), flat))
                .hasMessageContaining("at most 1024 voxels");
        assertThatThrownBy(() -> new Mean(3, 4, Boundary.ZERO)).hasMessageContaining("odd number of voxels");
        assertThatThrownBy(() -> new Wavelet(Wavelet.Family.HAAR, "LXL", 1, Optional.empty(), Boundary.ZERO))
                .hasMessageContaining("letters L or H");
        assertThatThrownBy(() -> laws("L5", Boundary.ZERO)).hasMessageContaining("two or three of");
        assertThatThrownBy(() -> new Riesz(1, 0, 0, new Mean(3, 3, Boundary.ZERO)))
                .hasMessageContaining("of must be");
        assertThatThrownBy(() -> new Riesz(0, 0, 0, new Simoncelli(3, 1))).hasMessageContaining("order, its sum");
    }

    private static Laws laws(String kernels, Boundary boundary) {
        return new Laws(kernels, Optional.empty(), OptionalInt.empty(), boundary);
    }

    private static Wavelet wavelet(Wavelet.Family family, String response, int level, Boundary boundary) {
        return new Wavelet(family, response, level, Optional.empty(), boundary);
    }

    private static float[] apply(Filter filter, Volume image) {
        return filter.apply(image, Workers.SINGLE, Progress.NONE).voxels();
    }

    private static void assertAll(float[] values, double expected, double tolerance) {
        for (float value : values) assertThat((double) value).isEqualTo(expected, within(tolerance));
    }

    private static double energy(float[] values) {
        double sum = 0;
        for (float value : values) sum += (double) value * value;
        return sum;
    }

    private static Volume mirrored(Volume image) {
        Size size = image.grid().size();
        float[] voxels = new float[size.voxels()];
        for (int i = 0; i < voxels.length; i++) {
            int x = i % size.x();
            voxels[i] = image.voxels()[i - x + size.x() - 1 - x];
        }
        return new Volume(image.grid(), voxels);
    }

    private static Volume noise(Spacing spacing) {
        return noise(SIZE, spacing);
    }

    private static Volume noise(Size size) {
        return noise(size, new Spacing(2, 2, 2));
    }

    private static Volume noise(Size size, Spacing spacing) {
        Random random = new Random(11);
        float[] voxels = new float[size.voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) (100 + 30 * random.nextGaussian());
        return new Volume(grid(size, spacing), voxels);
    }

    private static Volume constant(float value) {
        float[] voxels = new float[SIZE.voxels()];
        Arrays.fill(voxels, value);
        return new Volume(grid(SIZE, new Spacing(2, 2, 2)), voxels);
    }

    private static Volume impulse(int x, int y, int z) {
        float[] voxels = new float[SIZE.voxels()];
        voxels[NOISE.grid().offset(x, y, z)] = 1;
        return new Volume(NOISE.grid(), voxels);
    }

    private static Grid grid(Size size, Spacing spacing) {
        return new Grid(size, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0));
    }
}
