// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The parts of a lesion: tissue classes that the aligned images themselves suggest, smoothed over neighbours, and named by
 * written rules.
 *
 * <p>Classes: {@link TissueMixture} of all images. Neighbours: a Potts field in mean-field approximation, q ∝ exp(log
 * density + β Σ q(neighbour)) over faces, β shrinking with the square of the neighbour's distance. Names: each class by
 * its mean, the first rule that holds: <em>haemorrhagic</em>, bright on T1 and not enhancing; <em>cystic</em>, bright on T2 and
 * not enhancing, or bright on T2 where enhancement is not known; <em>non-enhancing</em>; <em>restricted</em>, diffusion below
 * the cut-off; else <em>viable</em>. Where an image is missing its rules say nothing. Bright: above a ratio to the lesion's
 * reference given in the settings.
 *
 * <p>Source: mean field: Zhang 1992, doi:10.1109/78.157229; the rules: common practice, no source.
 */
public final class SubRegions {
    private SubRegions() {}

    /** What an image shows. */
    public enum Channel {
        T2,
        T1,
        /** (after - before) / before contrast agent; 0 does not enhance. */
        ENHANCEMENT,
        /** In 10⁻³ mm²/s. */
        ADC
    }

    public enum Kind {
        HAEMORRHAGIC,
        CYSTIC,
        NON_ENHANCING,
        RESTRICTED,
        VIABLE
    }

    /**
     * @param mostClasses up to how many tissue classes are tried
     * @param brightT2 mean on T2, over the T2 reference, above which a class is bright
     * @param brightT1 the same on T1
     * @param leastEnhancement mean enhancement below which a class does not enhance
     * @param restrictedAdc mean ADC below which a class is restricted
     * @param smoothing β
     * @param independent share of voxels that tell something of their own
     */
    public record Settings(
            int mostClasses,
            double brightT2,
            double brightT1,
            double leastEnhancement,
            double restrictedAdc,
            double smoothing,
            double independent) {
        public Settings {
            if (mostClasses < 1 || mostClasses > 9)
                throw new IllegalArgumentException("mostClasses must be 1 to 9, got " + mostClasses);
            if (!(independent > 0 && independent <= 1))
                throw new IllegalArgumentException("independent must be above 0, up to 1, got " + independent);
            if (!(smoothing >= 0)) throw new IllegalArgumentException("smoothing must be 0 or more, got " + smoothing);
        }

        public static Settings standard() {
            return new Settings(5, 2, 1.3, 0.15, 1.0, 1.0, 0.05);
        }
    }

    /**
     * One image.
     *
     * @param reference what its values are set against when the rules ask whether it is bright; above 0
     */
    public record Seen(Channel channel, Volume volume, double reference) {
        public Seen {
            if (!(reference > 0 && reference < Double.POSITIVE_INFINITY))
                throw new IllegalArgumentException("reference must be above 0, got " + reference);
        }
    }

    /**
     * One part.
     *
     * @param volume in mm³
     * @param confidence mean probability of the voxels that belong to it, 0 to 1
     */
    public record Part(Kind kind, Mask mask, double volume, double confidence) {}

    /**
     * The parts, which together are the lesion but for voxels without a value.
     *
     * @param decisions classes, their means and the names that they got
     */
    public record Parts(List<Part> parts, List<String> decisions) {
        public Parts {
            parts = List.copyOf(parts);
            decisions = List.copyOf(decisions);
        }

        /** The part of a kind; none if there is no such tissue. */
        public Optional<Part> of(Kind kind) {
            return parts.stream().filter(part -> part.kind() == kind).findFirst();
        }
    }

    public static Parts find(List<Seen> images, Mask lesion, Settings settings, Workers workers, Progress progress) {
        if (images.isEmpty()) throw new IllegalArgumentException("images must hold one, got none");
        for (Seen seen : images)
            if (!seen.volume().grid().size().equals(lesion.grid().size()))
                throw new IllegalArgumentException("images must have the lesion's size "
                        + lesion.grid().size() + ", got " + seen.volume().grid().size());
        if (lesion.isEmpty()) throw new IllegalArgumentException("lesion must hold a voxel, got none");
        Box box = lesion.boundingBox().orElseThrow();
        Work work = new Work(images, lesion, box);
        if (work.at.length == 0)
            return new Parts(List.of(), List.of("no voxel of the lesion has a value on every image"));
        TissueMixture mixture = TissueMixture.fit(
                work.values, settings.mostClasses(), settings.independent(), workers, progress.part(0, 0.8));
        float[][] q = work.field(mixture, settings.smoothing(), workers);
        Kind[] kinds = new Kind[mixture.classes()];
        List<String> decisions = new ArrayList<>();
        for (int j = 0; j < kinds.length; j++) {
            kinds[j] = name(images, mixture.means[j], settings);
            decisions.add(words(images, mixture, j, kinds[j]));
        }
        return new Parts(work.parts(q, kinds, lesion.grid()), decisions);
    }

    private static Kind name(List<Seen> images, double[] means, Settings settings) {
        boolean known = index(images, Channel.ENHANCEMENT) >= 0;
        boolean enhances = known && value(images, means, Channel.ENHANCEMENT, 0) >= settings.leastEnhancement();
        boolean brightT1 = value(images, means, Channel.T1, 0) > settings.brightT1();
        boolean brightT2 = value(images, means, Channel.T2, 0) > settings.brightT2();
        if (brightT1 && !enhances) return Kind.HAEMORRHAGIC;
        if (brightT2 && !enhances) return Kind.CYSTIC;
        if (known && !enhances) return Kind.NON_ENHANCING;
        return value(images, means, Channel.ADC, Double.MAX_VALUE) < settings.restrictedAdc()
                ? Kind.RESTRICTED
                : Kind.VIABLE;
    }

    private static int index(List<Seen> images, Channel channel) {
        for (int c = 0; c < images.size(); c++) if (images.get(c).channel() == channel) return c;
        return -1;
    }

    private static double value(List<Seen> images, double[] means, Channel channel, double otherwise) {
        int c = index(images, channel);
        if (c < 0) return otherwise;
        boolean relative = channel == Channel.T1 || channel == Channel.T2;
        return relative ? means[c] / images.get(c).reference() : means[c];
    }

    private static String words(List<Seen> images, TissueMixture mixture, int j, Kind kind) {
        List<String> means = new ArrayList<>();
        for (int c = 0; c < images.size(); c++)
            means.add(String.format(
                    Locale.ROOT,
                    "%s %.3g",
                    images.get(c).channel().name().toLowerCase(Locale.ROOT),
                    mixture.means[j][c]));
        return String.format(
                Locale.ROOT,
                "tissue class %d of %d, %.0f %% of the lesion, mean %s: %s",
                j + 1,
                mixture.classes(),
                100 * mixture.weights[j],
                String.join(", ", means),
                kind.name().toLowerCase(Locale.ROOT).replace('_', '-'));
    }

    /** The lesion's voxels that every image has a value for. */
    private static final class Work {
        private static final int SWEEPS = 10;

        private final Size size;
        private final Mask lesion;
        private final int[] at;
        private final int[] place;
        private final float[][] values;

        Work(List<Seen> images, Mask lesion, Box box) {
            this.lesion = lesion;
            size = lesion.grid().size();
            place = new int[lesion.voxels().length];
            Arrays.fill(place, -1);
            int[] found = new int[lesion.count()];
            float[][] all = new float[lesion.count()][];
            int n = 0;
            for (int z = box.minZ(); z <= box.maxZ(); z++)
                for (int y = box.minY(); y <= box.maxY(); y++)
                    for (int x = box.minX(); x <= box.maxX(); x++) {
                        int i = lesion.grid().offset(x, y, z);
                        if (lesion.voxels()[i] == 0) continue;
                        float[] v = new float[images.size()];
                        boolean whole = true;
                        for (int c = 0; c < v.length; c++) {
                            v[c] = images.get(c).volume().voxels()[i];
                            whole &= Float.isFinite(v[c]);
                        }
                        if (!whole) continue;
                        place[i] = n;
                        all[n] = v;
                        found[n++] = i;
                    }
            at = Arrays.copyOf(found, n);
            values = Arrays.copyOf(all, n);
        }

        /** Probabilities per voxel and class. */
        float[][] field(TissueMixture mixture, double beta, Workers workers) {
            int k = mixture.classes();
            float[][] own = new float[at.length][k];
            int block = 1 << 12;
            int blocks = (at.length + block - 1) / block;
            workers.forEach(blocks, b -> {
                for (int n = b * block; n < Math.min(at.length, (b + 1) * block); n++)
                    for (int j = 0; j < k; j++) own[n][j] = (float) mixture.logDensity(j, values[n]);
            });
            float[][] q = new float[at.length][];
            workers.forEach(blocks, b -> {
                for (int n = b * block; n < Math.min(at.length, (b + 1) * block); n++) q[n] = softmax(own[n].clone());
            });
            float[][] before = q;
            for (int sweep = 0; sweep < SWEEPS; sweep++) {
                float[][] from = before;
                float[][] next = new float[at.length][];
                workers.forEach(blocks, b -> {
                    for (int n = b * block; n < Math.min(at.length, (b + 1) * block); n++)
                        next[n] = softmax(drawn(own[n].clone(), from, at[n], (float) beta));
                });
                before = next;
            }
            return before;
        }

        private float[] drawn(float[] odds, float[][] q, int i, float beta) {
            int x = i % size.x();
            int y = i / size.x() % size.y();
            int z = i / size.x() / size.y();
            double least = Math.min(
                    lesion.grid().spacing().x(),
                    Math.min(
                            lesion.grid().spacing().y(), lesion.grid().spacing().z()));
            add(odds, q, x > 0, i - 1, beta, least / lesion.grid().spacing().x());
            add(
                    odds,
                    q,
                    x < size.x() - 1,
                    i + 1,
                    beta,
                    least / lesion.grid().spacing().x());
            add(
                    odds,
                    q,
                    y > 0,
                    i - size.x(),
                    beta,
                    least / lesion.grid().spacing().y());
            add(
                    odds,
                    q,
                    y < size.y() - 1,
                    i + size.x(),
                    beta,
                    least / lesion.grid().spacing().y());
            int plane = size.x() * size.y();
            add(odds, q, z > 0, i - plane, beta, least / lesion.grid().spacing().z());
            add(
                    odds,
                    q,
                    z < size.z() - 1,
                    i + plane,
                    beta,
                    least / lesion.grid().spacing().z());
            return odds;
        }

        private void add(float[] odds, float[][] q, boolean there, int i, float beta, double near) {
            if (!there || place[i] < 0) return;
            float w = (float) (beta * near * near);
            float[] other = q[place[i]];
            for (int j = 0; j < odds.length; j++) odds[j] += w * other[j];
        }

        private static float[] softmax(float[] odds) {
            float most = Float.NEGATIVE_INFINITY;
            for (float o : odds) most = Math.max(most, o);
            float sum = 0;
            for (int j = 0; j < odds.length; j++) sum += odds[j] = (float) Math.exp(odds[j] - most);
            for (int j = 0; j < odds.length; j++) odds[j] /= sum;
            return odds;
        }

        /** Classes of one name are one part; a voxel belongs to the name that its classes make most likely. */
        List<Part> parts(float[][] q, Kind[] kinds, Grid grid) {
            Map<Kind, byte[]> masks = new EnumMap<>(Kind.class);
            Map<Kind, double[]> sums = new EnumMap<>(Kind.class);
            for (Kind kind : kinds) masks.putIfAbsent(kind, new byte[place.length]);
            for (Kind kind : kinds) sums.putIfAbsent(kind, new double[2]);
            for (int n = 0; n < at.length; n++) {
                double[] p = new double[Kind.values().length];
                for (int j = 0; j < kinds.length; j++) p[kinds[j].ordinal()] += q[n][j];
                int best = 0;
                for (int k = 1; k < p.length; k++) if (p[k] > p[best]) best = k;
                Kind kind = Kind.values()[best];
                masks.get(kind)[at[n]] = 1;
                sums.get(kind)[0] += p[best];
                sums.get(kind)[1]++;
            }
            List<Part> parts = new ArrayList<>();
            for (Map.Entry<Kind, byte[]> one : masks.entrySet()) {
                double[] sum = sums.get(one.getKey());
                if (sum[1] == 0) continue;
                Mask mask = new Mask(grid, one.getValue());
                parts.add(new Part(one.getKey(), mask, mask.volume(), sum[0] / sum[1]));
            }
            return parts;
        }
    }
}
