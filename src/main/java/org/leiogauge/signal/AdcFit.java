// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Apparent diffusion coefficient from a series of b-values, voxel by voxel.
 *
 * <p>S(b) = S₀ exp(-b D). Log-linear: least squares of ln S over b. Weighted: the same with the weights S², which undo
 * what the logarithm does to the noise. Non-linear: least squares of S itself, Gauss–Newton from the weighted fit with
 * step halving. b in s/mm², D in 10⁻³ mm²/s, S₀ in the image's unit. A b-value of 0 is not needed.
 *
 * <p>Noise floor, when the noise is known. Log-linear: S is replaced by √(S² - σ²), and the lowest b-value whose signal is
 * under {@code floor} · σ is left out with all higher ones. Non-linear: no signal is left out, since leaving out what chance
 * made small leaves what chance made large; S is fitted by the mean that noise makes of S₀ exp(-b D)
 * ({@link RicianNoise#mean}), D from {@value #LOWEST} to {@value #HIGHEST}. NaN where fewer than two b-values with a signal
 * above 0 remain.
 *
 * <p>Source: weights: Salvador et al. 2005, Formal characterization and extension of the linearized diffusion tensor
 * model, doi:10.1002/hbm.20076; noise floor: Gudbjartsson and Patz 1995, The Rician distribution of noisy MRI data,
 * doi:10.1002/mrm.1910340618, first order, and of the non-linear fit its mean in full.
 */
public final class AdcFit {
    private static final int BLOCK = 1024;
    // So few sums that they stay in the cache.
    private static final int RUN = 512;
    private static final int RUNS = 32 * RUN;
    private static final int STEPS = 20;
    private static final double LOWEST = -1;
    // Free water at body temperature has 3.
    private static final double HIGHEST = 6;

    private AdcFit() {}

    public enum Method {
        LOG_LINEAR,
        WEIGHTED_LOG_LINEAR,
        NON_LINEAR
    }

    /**
     * @param lowestB b-values below are not used, in s/mm²
     * @param highestB b-values above are not used, in s/mm²
     * @param noise standard deviation of the noise in the image's unit; 0: not known, no noise floor
     * @param floor signals under this many noise standard deviations are left out by the
     *     log-linear methods
     */
    public record Settings(Method method, double lowestB, double highestB, double noise, double floor) {
        public Settings {
            if (!(lowestB >= 0 && highestB > lowestB))
                throw new IllegalArgumentException(
                        "b-values must be 0 or more and ascend, got " + lowestB + " to " + highestB);
            if (!(noise >= 0 && floor >= 0))
                throw new IllegalArgumentException("noise and floor must be 0 or more, got " + noise + ", " + floor);
        }

        public static Settings standard() {
            return new Settings(Method.WEIGHTED_LOG_LINEAR, 0, Double.MAX_VALUE, 0, 3);
        }
    }

    /** One image of the series; all of a series lie on one grid. */
    public record Weighted(double bValue, Volume image) {
        public Weighted {
            if (!(bValue >= 0 && bValue < Double.POSITIVE_INFINITY))
                throw new IllegalArgumentException("bValue must be finite and 0 or more, got " + bValue);
        }
    }

    /** The maps of a fit. */
    public static final class Fit {
        private final Grid grid;
        private final Model model;
        private final float[] adc;
        private final Optional<float[]> deviation;

        private Fit(Grid grid, Model model) {
            this.grid = grid;
            this.model = model;
            this.adc = new float[grid.size().voxels()];
            this.deviation = model.settings.noise() > 0 ? Optional.of(new float[adc.length]) : Optional.empty();
        }

        /** In 10⁻³ mm²/s. */
        public Volume adc() {
            return new Volume(grid, adc);
        }

        /** The signal that the fit gives at b = 0, in the image's unit; fitted again when asked for. */
        public Volume s0(Workers workers) {
            return again(workers, voxel -> Math.exp(voxel.logS0));
        }

        /** Root mean square of signal less fit over the b-values used, in the image's unit; fitted again when asked for. */
        public Volume residual(Workers workers) {
            return again(workers, voxel -> Math.sqrt(voxel.squares(Math.exp(voxel.logS0), voxel.d) / voxel.used));
        }

        /**
         * Standard deviation that the noise gives the ADC, in 10⁻³ mm²/s: σ / √(Σ S_k² (b_k − b̄)²), b̄ weighted by S_k², S_k
         * from the fit, where the noise floor is fitted each counting as much as it tells of the signal. NaN where there is no
         * ADC; empty where the noise is not known.
         */
        public Optional<Volume> deviation() {
            return deviation.map(map -> new Volume(grid, map));
        }

        private Volume again(Workers workers, ToDoubleFunction<Voxel> wanted) {
            float[] map = new float[adc.length];
            workers.forEach(pieces(map.length, BLOCK), p -> {
                Voxel voxel = new Voxel(model);
                for (int i = p * BLOCK; i < end(p, BLOCK, map.length); i++) {
                    voxel.fit(i);
                    map[i] = (float) wanted.applyAsDouble(voxel);
                }
            });
            return new Volume(grid, map);
        }

        /** The b-values used, ascending, in s/mm². */
        public List<Double> bValues() {
            return Arrays.stream(model.b).map(b -> b * 1000).boxed().toList();
        }
    }

    public static Fit fit(List<Weighted> series, Settings settings, Workers workers) {
        return fit(series, Optional.empty(), settings, workers);
    }

    /** @param within where voxels are fitted, all others being NaN; empty: everywhere */
    public static Fit fit(List<Weighted> series, Optional<Mask> within, Settings settings, Workers workers) {
        Model model = new Model(series, within, settings);
        Fit fit = new Fit(series.get(0).image().grid(), model);
        boolean direct = settings.method() == Method.LOG_LINEAR && settings.noise() == 0 && within.isEmpty();
        int piece = direct ? RUNS : BLOCK;
        workers.forEach(pieces(fit.adc.length, piece), p -> {
            int to = end(p, piece, fit.adc.length);
            if (direct) model.logLinear(p * piece, to, fit.adc);
            else eachVoxel(model, p * piece, to, fit);
        });
        return fit;
    }

    private static void eachVoxel(Model model, int from, int to, Fit fit) {
        Voxel voxel = new Voxel(model);
        for (int i = from; i < to; i++) {
            voxel.fit(i);
            fit.adc[i] = (float) voxel.d;
            if (fit.deviation.isPresent()) fit.deviation.get()[i] = (float) voxel.deviation();
        }
    }

    private static int pieces(int voxels, int size) {
        return (voxels + size - 1) / size;
    }

    private static int end(int piece, int size, int voxels) {
        return Math.min((piece + 1) * size, voxels);
    }

    /** What all voxels share. b in 10³ s/mm², so that D comes out in 10⁻³ mm²/s. */
    private static final class Model {
        private final double[] b;
        private final float[][] signal;
        private final Optional<Mask> within;
        private final Settings settings;
        private final double meanB;
        private final double spreadB;

        Model(List<Weighted> series, Optional<Mask> within, Settings settings) {
            if (series.isEmpty()) throw new IllegalArgumentException("series must hold two b-values, got none");
            Grid grid = series.get(0).image().grid();
            for (Weighted w : series)
                if (!w.image().grid().size().equals(grid.size()))
                    throw new IllegalArgumentException("all images must have the size " + grid.size() + ", got "
                            + w.image().grid().size() + " at b = " + w.bValue());
            List<Weighted> used = series.stream()
                    .filter(w -> w.bValue() >= settings.lowestB() && w.bValue() <= settings.highestB())
                    .sorted((v, w) -> Double.compare(v.bValue(), w.bValue()))
                    .toList();
            this.within = within;
            this.settings = settings;
            this.b = used.stream().mapToDouble(w -> w.bValue() / 1000).toArray();
            if (Arrays.stream(b).distinct().count() < 2)
                throw new IllegalArgumentException("two different b-values are needed, got "
                        + used.stream().map(Weighted::bValue).toList());
            this.signal = used.stream().map(w -> w.image().voxels()).toArray(float[][]::new);
            this.meanB = Arrays.stream(b).average().orElseThrow();
            this.spreadB = Arrays.stream(b).map(v -> (v - meanB) * (v - meanB)).sum();
        }

        // A run that is not all of short numbers is seldom alone: the rest of the piece is not tried.
        void logLinear(int from, int to, float[] adc) {
            double[] sum = new double[RUN];
            boolean isShort = true;
            for (int start = from; start < to; start += RUN) {
                int end = Math.min(start + RUN, to);
                isShort = isShort && sumOfShort(start, end, sum);
                if (!isShort) sumOfAny(start, end, sum);
                for (int i = start; i < end; i++) adc[i] = (float) sum[i - start];
                if (!isShort) withoutSum(start, end, sum, adc);
            }
        }

        // An odd number of b-values is made even by the last once more, with a share of 0.
        private boolean sumOfShort(int from, int to, double[] sum) {
            Arrays.fill(sum, 0);
            for (int k = 0; k < b.length; k += 2) {
                int next = Math.min(k + 1, b.length - 1);
                double share = next == k ? 0 : share(next);
                if (!addShort(signal[k], signal[next], share(k), share, from, to, sum)) return false;
            }
            return true;
        }

        private void sumOfAny(int from, int to, double[] sum) {
            Arrays.fill(sum, 0);
            int k = 0;
            for (; k + 1 < b.length; k += 2) addTwo(signal[k], signal[k + 1], share(k), share(k + 1), from, to, sum);
            if (k < b.length) addOne(signal[k], share(k), from, to, sum);
        }

        // Voxels that a plain sum of logarithms cannot do are done one by one.
        private void withoutSum(int from, int to, double[] sum, float[] adc) {
            Voxel voxel = new Voxel(this);
            for (int i = from; i < to; i++) {
                double d = sum[i - from];
                if (d - d == 0) continue;
                voxel.fit(i);
                adc[i] = (float) voxel.d;
            }
        }

        private double share(int k) {
            return (meanB - b[k]) / spreadB;
        }

        /** @return whether all are short numbers; if not, the sum is of no use */
        private static boolean addShort(float[] s, float[] t, double v, double w, int from, int to, double[] sum) {
            for (int i = 0; i < to - from; i++) {
                int place = ShortLogarithm.place(s[from + i]);
                int other = ShortLogarithm.place(t[from + i]);
                // A way out in the loop is faster than to gather the bits and look at its end: fewer registers.
                if (!ShortLogarithm.has(place | other)) return false;
                sum[i] += v * ShortLogarithm.at(place) + w * ShortLogarithm.at(other);
            }
            return true;
        }

        private static void addTwo(float[] s, float[] t, double v, double w, int from, int to, double[] sum) {
            for (int i = 0; i < to - from; i++) sum[i] += v * Logarithm.of(s[from + i]) + w * Logarithm.of(t[from + i]);
        }

        private static void addOne(float[] s, double w, int from, int to, double[] sum) {
            for (int i = 0; i < to - from; i++) sum[i] += w * Logarithm.of(s[from + i]);
        }
    }

    /** The fit of one voxel at a time. */
    private static final class Voxel {
        private final Model model;
        private final boolean rician;
        private final double[] s;
        private final double[] log;
        // of the parameters that were tried last: exp(-b D), the signal to be expected, and how it grows with S₀ exp(-b
        // D)
        private final double[] decay;
        private final double[] expected;
        private final double[] slope;
        private final RicianNoise.Mean noisy = new RicianNoise.Mean();
        private int used;
        private double d;
        private double logS0;

        Voxel(Model model) {
            this.model = model;
            this.rician = model.settings.method() == Method.NON_LINEAR && model.settings.noise() > 0;
            this.s = new double[model.b.length];
            this.log = new double[model.b.length];
            this.decay = new double[model.b.length];
            this.expected = new double[model.b.length];
            this.slope = new double[model.b.length];
        }

        void fit(int i) {
            d = Double.NaN;
            logS0 = Double.NaN;
            if (model.within.isPresent() && model.within.get().voxels()[i] == 0) return;
            read(i);
            if (used >= 2) solve();
        }

        // Signals that are not used are set to 0.
        private void read(int i) {
            double noise = model.settings.noise();
            double least = rician ? 0 : model.settings.floor() * noise;
            boolean lost = false;
            used = 0;
            for (int k = 0; k < s.length; k++) {
                double raw = model.signal[k][i];
                lost |= noise > 0 && raw < least;
                double square = rician ? raw * raw : raw * raw - noise * noise;
                boolean use = !lost && raw > 0 && square > 0 && raw < Double.POSITIVE_INFINITY;
                s[k] = !use ? 0 : noise > 0 && !rician ? Math.sqrt(square) : raw;
                log[k] = use ? Math.log(s[k]) : 0;
                if (use) used++;
            }
        }

        private void solve() {
            line(model.settings.method() != Method.LOG_LINEAR);
            if (model.settings.method() == Method.NON_LINEAR && Double.isFinite(d)) gaussNewton();
        }

        // Centred sums keep their digits.
        private void line(boolean weighted) {
            double sum = 0;
            double meanB = 0;
            double meanLog = 0;
            for (int k = 0; k < s.length; k++) {
                double w = weight(k, weighted);
                sum += w;
                meanB += w * model.b[k];
                meanLog += w * log[k];
            }
            meanB /= sum;
            meanLog /= sum;
            double bb = 0;
            double bl = 0;
            for (int k = 0; k < s.length; k++) {
                double w = weight(k, weighted);
                bb += w * (model.b[k] - meanB) * (model.b[k] - meanB);
                bl += w * (model.b[k] - meanB) * log[k];
            }
            d = bb > 0 ? -bl / bb : Double.NaN;
            logS0 = meanLog + d * meanB;
        }

        private double weight(int k, boolean weighted) {
            return s[k] == 0 ? 0 : weighted ? s[k] * s[k] : 1;
        }

        double deviation() {
            if (Double.isNaN(d)) return Double.NaN;
            double sum = 0;
            double first = 0;
            double second = 0;
            for (int k = 0; k < s.length; k++) {
                if (s[k] == 0) continue;
                double signal = Math.exp(logS0 - model.b[k] * d);
                double square = signal * signal * told(signal);
                sum += square;
                first += square * model.b[k];
                second += square * model.b[k] * model.b[k];
            }
            return model.settings.noise() / Math.sqrt(Math.max(0, second - first * first / sum));
        }

        // What a signal tells of the one without noise, beside what it would tell far above the noise.
        private double told(double signal) {
            if (!rician) return 1;
            double noise = model.settings.noise();
            noisy.of(signal, noise);
            return noisy.slope() * noisy.slope() * noise * noise / noisy.variance();
        }

        private void gaussNewton() {
            double a = Math.exp(logS0);
            if (rician) d = Math.max(LOWEST, Math.min(HIGHEST, d));
            double error = squares(a, d);
            for (int step = 0; step < STEPS; step++) {
                double ee = 0;
                double ej = 0;
                double jj = 0;
                double er = 0;
                double jr = 0;
                for (int k = 0; k < s.length; k++) {
                    if (s[k] == 0) continue;
                    double r = s[k] - expected[k];
                    double e = decay[k] * slope[k];
                    double j = -model.b[k] * a * e;
                    ee += e * e;
                    ej += e * j;
                    jj += j * j;
                    er += e * r;
                    jr += j * r;
                }
                double determinant = ee * jj - ej * ej;
                if (!(determinant > 1e-12 * ee * jj)) break;
                double da = (jj * er - ej * jr) / determinant;
                double dd = (ee * jr - ej * er) / determinant;
                if (rician) dd = Math.max(LOWEST, Math.min(HIGHEST, d + dd)) - d;
                double tried = squares(a + da, d + dd);
                for (int half = 0; half < 8 && !(tried <= error); half++) {
                    da /= 2;
                    dd /= 2;
                    tried = squares(a + da, d + dd);
                }
                if (!(tried <= error)) break;
                a += da;
                d += dd;
                error = tried;
                if (Math.abs(dd) < 1e-7 && Math.abs(da) < 1e-7 * Math.abs(a)) break;
            }
            logS0 = Math.log(a);
        }

        private double squares(double a, double d) {
            if (!(a > 0)) return Double.POSITIVE_INFINITY;
            double sum = 0;
            for (int k = 0; k < s.length; k++) {
                if (s[k] == 0) continue;
                decay[k] = Math.exp(-model.b[k] * d);
                expect(k, a * decay[k]);
                double r = s[k] - expected[k];
                sum += r * r;
            }
            return sum;
        }

        private void expect(int k, double signal) {
            if (rician) {
                noisy.of(signal, model.settings.noise());
                expected[k] = noisy.value();
                slope[k] = noisy.slope();
            } else {
                expected[k] = signal;
                slope[k] = 1;
            }
        }
    }
}
