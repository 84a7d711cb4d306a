// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.List;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Mutual information of the fixed image's samples and the moving image, with gradient and curvature for the parameters
 * of a correspondence.
 *
 * <p>I = Σ p(f, m) ln(p(f, m) / (p(f) p(m))), in nat. The joint histogram takes the fixed grey level as it is and the
 * moving one through a cubic B-spline window, which makes it smooth in the parameters. Parameters: turn about x, y, z in
 * rad, shift along x, y, z in mm, then the distortion's coefficients in mm.
 *
 * <p>Curvature: the Fisher information of the moving grey level given the fixed one less that without it, times the
 * covariance of the grey level's slopes among samples of one fixed grey level. It is what the curvature would be at the
 * optimum of a model that is the histogram itself, and never negative.
 *
 * <p>Source: Mattes et al. 2003, PET-CT image registration in the chest, doi:10.1109/TMI.2003.809072 (histogram,
 * gradient); Thévenaz and Unser 2000, doi:10.1109/83.887976 (B-spline windows); curvature: Fisher scoring, common practice.
 */
final class MutualInformation {
    private static final int CHUNK = 4096;
    private static final double LEAST = 1e-12;
    // The moving image's first and last grey level: the window reaches two bins further.
    private static final double FIRST = 2;

    private final Samples samples;
    private final SplineImage moving;
    private final int bins;
    private final double ridge;
    private final Workers workers;

    /**
     * @param moving grey levels as {@link #levels} makes them
     * @param ridge what a distortion coefficient of 1 mm costs, in nat
     */
    MutualInformation(Samples samples, SplineImage moving, int bins, double ridge, Workers workers) {
        this.samples = samples;
        this.moving = moving;
        this.bins = bins;
        this.ridge = ridge;
        this.workers = workers;
    }

    /** The moving image with its grey levels scaled to the histogram's bins. */
    static Volume levels(Volume image, int bins) {
        GreyScale scale = GreyScale.of(image.voxels());
        float[] levels = new float[image.voxels().length];
        for (int i = 0; i < levels.length; i++)
            levels[i] = (float) (FIRST + (bins - 1 - 2 * FIRST) * scale.share(image.voxels()[i]));
        return new Volume(image.grid(), levels);
    }

    /** What is known at one correspondence. Per block of the region: number of samples, their share of I, of the gradient. */
    static final class Evaluation {
        final double value;
        /** Share of the samples that lie in the moving image. */
        final double overlap;

        double[] gradient = {};
        double[][] information = {};
        double[][] blockGradient = {};
        double[] blockScore = {};
        int[] blockCount = {};

        Evaluation(double value, double overlap) {
            this.value = value;
            this.overlap = overlap;
        }
    }

    /** The value alone. */
    Evaluation value(Correspondence at) {
        return new Pass(at).evaluation();
    }

    /** The value with gradient and shares of the blocks. */
    Evaluation derivatives(Correspondence at) {
        Pass pass = new Pass(at);
        Evaluation evaluation = pass.evaluation();
        if (pass.inside > 0) pass.derive(evaluation);
        return evaluation;
    }

    /** The same with the curvature, which costs more than all the rest and is needed once per way uphill. */
    Evaluation curved(Correspondence at) {
        Pass pass = new Pass(at);
        Evaluation evaluation = pass.evaluation();
        if (pass.inside > 0) {
            pass.derive(evaluation);
            pass.curve(evaluation);
        }
        return evaluation;
    }

    /** All samples once, in chunks of fixed size, put together in their order. */
    private final class Pass {
        private final int n = samples.count();
        private final int parameters;
        private final Correspondence at;
        private final boolean isRigid;
        private final double[] map = new double[12];
        private final double[] along = new double[3];
        private final float[] level = new float[n];
        private final float[] slopeX = new float[n];
        private final float[] slopeY = new float[n];
        private final float[] slopeZ = new float[n];
        private final double[] p = new double[bins * bins];
        private final double[] pFixed = new double[bins];
        private final double[] pMoving = new double[bins];
        private final int inside;

        Pass(Correspondence at) {
            this.at = at;
            this.isRigid = at.isRigid();
            this.parameters = isRigid ? 6 : 6 + EchoPlanarShift.TERMS;
            prepare();
            List<double[]> parts = workers.map((n + CHUNK - 1) / CHUNK, this::histogram);
            int count = 0;
            for (double[] part : parts) {
                for (int i = 0; i < p.length; i++) p[i] += part[i];
                count += (int) part[p.length];
            }
            inside = count;
            for (int i = 0; i < p.length; i++) {
                if (count > 0) p[i] /= count;
                pFixed[i / bins] += p[i];
                pMoving[i % bins] += p[i];
            }
        }

        // From a place less the centre to the moving image's index: an affine map, and a step per mm of distortion.
        private void prepare() {
            RigidTransform motion = at.motion();
            Vector[] axes = {
                moving.grid().direction().x(),
                moving.grid().direction().y(),
                moving.grid().direction().z()
            };
            double[] spacing = {
                moving.grid().spacing().x(),
                moving.grid().spacing().y(),
                moving.grid().spacing().z()
            };
            Vector home = motion.apply(samples.centre).minus(moving.grid().origin());
            for (int a = 0; a < 3; a++) {
                Vector axis = axes[a].times(1 / spacing[a]);
                map[4 * a] = axis.dot(motion.rotation().x());
                map[4 * a + 1] = axis.dot(motion.rotation().y());
                map[4 * a + 2] = axis.dot(motion.rotation().z());
                map[4 * a + 3] = axis.dot(home);
                along[a] = axis.dot(at.distortion().direction());
            }
        }

        Evaluation evaluation() {
            double sum = 0;
            for (int i = 0; i < p.length; i++)
                if (p[i] > LEAST) sum += p[i] * Math.log(p[i] / (pFixed[i / bins] * pMoving[i % bins]));
            return new Evaluation(sum - penalty(), n == 0 ? 0 : (double) inside / n);
        }

        private double penalty() {
            double sum = 0;
            for (double c : at.distortion().coefficients()) sum += ridge * c * c;
            return sum;
        }

        private double[] histogram(int chunk) {
            double[] counts = new double[p.length + 1];
            double[] value = new double[4];
            EchoPlanarShift.Polynomial distortion = at.distortion().from(samples.centre);
            int end = Math.min(n, (chunk + 1) * CHUNK);
            for (int s = chunk * CHUNK; s < end; s++) {
                double x = samples.x[s];
                double y = samples.y[s];
                double z = samples.z[s];
                double u = isRigid ? 0 : distortion.at(x, y, z);
                boolean isIn = moving.at(
                        map[0] * x + map[1] * y + map[2] * z + map[3] + u * along[0],
                        map[4] * x + map[5] * y + map[6] * z + map[7] + u * along[1],
                        map[8] * x + map[9] * y + map[10] * z + map[11] + u * along[2],
                        value);
                level[s] = Float.NaN;
                if (!isIn) continue;
                keep(s, value);
                int low = (int) level[s];
                double t = level[s] - low;
                int cell = samples.bin[s] * bins + low - 1;
                for (int k = 0; k < 4; k++) counts[cell + k] += SplineImage.weight(k, t);
                counts[p.length]++;
            }
            return counts;
        }

        private void keep(int s, double[] value) {
            double most = bins - 2.001;
            boolean isClamped = value[0] < 1 || value[0] > most;
            level[s] = (float) Math.max(1, Math.min(most, value[0]));
            slopeX[s] = isClamped ? 0 : (float) value[1];
            slopeY[s] = isClamped ? 0 : (float) value[2];
            slopeZ[s] = isClamped ? 0 : (float) value[3];
        }

        void derive(Evaluation to) {
            double[] conditional = new double[p.length];
            double[] gain = new double[p.length];
            for (int i = 0; i < p.length; i++) {
                if (p[i] <= LEAST) continue;
                conditional[i] = Math.log(p[i] / pMoving[i % bins]);
                gain[i] = conditional[i] - Math.log(pFixed[i / bins]);
            }
            List<Sums> parts = workers.map((n + CHUNK - 1) / CHUNK, chunk -> new Sums(this, chunk, conditional, gain));
            Sums all = parts.get(0);
            for (int i = 1; i < parts.size(); i++) all.add(parts.get(i));
            all.into(to);
        }

        void curve(Evaluation to) {
            List<Rows> parts = workers.map((n + CHUNK - 1) / CHUNK, chunk -> new Rows(this, chunk));
            Rows all = parts.get(0);
            for (int i = 1; i < parts.size(); i++) all.add(parts.get(i));
            all.into(to);
        }

        // How the moving grey level answers to each parameter.
        private void jacobian(int s, double[] j) {
            double a = slopeX[s];
            double b = slopeY[s];
            double c = slopeZ[s];
            // slope per mm along the fixed axes before the turn, then turned with the patient
            double hx = a * map[0] + b * map[4] + c * map[8];
            double hy = a * map[1] + b * map[5] + c * map[9];
            double hz = a * map[2] + b * map[6] + c * map[10];
            double x = samples.x[s];
            double y = samples.y[s];
            double z = samples.z[s];
            // turns are about the axes of the fixed space, applied first
            j[0] = y * hz - z * hy;
            j[1] = z * hx - x * hz;
            j[2] = x * hy - y * hx;
            j[3] = hx;
            j[4] = hy;
            j[5] = hz;
            if (isRigid) return;
            double reach = at.distortion().reachMm();
            EchoPlanarShift.terms(x / reach, y / reach, z / reach, j, 6);
            double e = a * along[0] + b * along[1] + c * along[2];
            for (int k = 6; k < parameters; k++) j[k] *= e;
        }

        /** Fisher information of each fixed grey level's row about a shift of the moving grey level, less all rows'. */
        private double[] fisher() {
            double overall = fisher(pMoving, 0, 1);
            double[] fisher = new double[bins];
            for (int f = 0; f < bins; f++) {
                if (pFixed[f] <= LEAST) continue;
                double own = fisher(p, f * bins, pFixed[f]);
                fisher[f] = Math.max(own - overall, 0.05 * own);
            }
            return fisher;
        }

        private double fisher(double[] of, int from, double total) {
            double sum = 0;
            for (int m = 0; m < bins; m++) {
                double slope = ((m + 1 < bins ? of[from + m + 1] : 0) - (m > 0 ? of[from + m - 1] : 0)) / 2;
                if (of[from + m] > 1e-9) sum += slope * slope / of[from + m];
            }
            return sum / total;
        }
    }

    /** Sums over one chunk of samples. */
    private final class Sums {
        private final Pass pass;
        private final int parameters;
        private final double[][] blockGradient;
        private final double[] blockScore = new double[Samples.BLOCKS];
        private final int[] blockCount = new int[Samples.BLOCKS];

        Sums(Pass pass, int chunk, double[] conditional, double[] gain) {
            this.pass = pass;
            this.parameters = pass.parameters;
            this.blockGradient = new double[Samples.BLOCKS][parameters];
            double[] j = new double[parameters];
            int end = Math.min(pass.n, (chunk + 1) * CHUNK);
            for (int s = chunk * CHUNK; s < end; s++) if (!Float.isNaN(pass.level[s])) add(s, j, conditional, gain);
        }

        private void add(int s, double[] j, double[] conditional, double[] gain) {
            int low = (int) pass.level[s];
            double t = pass.level[s] - low;
            int cell = samples.bin[s] * bins + low - 1;
            double slope = 0;
            double score = 0;
            for (int k = 0; k < 4; k++) {
                slope += SplineImage.slope(k, t) * conditional[cell + k];
                score += SplineImage.weight(k, t) * gain[cell + k];
            }
            pass.jacobian(s, j);
            int b = samples.block[s];
            blockScore[b] += score;
            blockCount[b]++;
            double[] g = blockGradient[b];
            for (int a = 0; a < parameters; a++) g[a] += slope * j[a];
        }

        void add(Sums other) {
            for (int b = 0; b < Samples.BLOCKS; b++) {
                blockScore[b] += other.blockScore[b];
                blockCount[b] += other.blockCount[b];
                addTo(blockGradient[b], other.blockGradient[b]);
            }
        }

        void into(Evaluation to) {
            double n = pass.inside;
            to.gradient = new double[parameters];
            for (double[] block : blockGradient)
                for (int a = 0; a < parameters; a++) {
                    block[a] /= n;
                    to.gradient[a] += block[a];
                }
            for (int k = 6; k < parameters; k++)
                to.gradient[k] -=
                        2 * ridge * pass.at.distortion().coefficients().get(k - 6);
            to.blockGradient = blockGradient;
            to.blockScore = blockScore;
            to.blockCount = blockCount;
        }
    }

    /** Sums over one chunk of samples, for each fixed grey level on its own. */
    private final class Rows {
        private final Pass pass;
        private final int parameters;
        private final int[] count = new int[bins];
        private final double[][] slope;
        private final double[][] square;

        Rows(Pass pass, int chunk) {
            this.pass = pass;
            this.parameters = pass.parameters;
            this.slope = new double[bins][parameters];
            this.square = new double[bins][parameters * parameters];
            double[] j = new double[parameters];
            int end = Math.min(pass.n, (chunk + 1) * CHUNK);
            for (int s = chunk * CHUNK; s < end; s++) {
                if (Float.isNaN(pass.level[s])) continue;
                pass.jacobian(s, j);
                add(samples.bin[s], j);
            }
        }

        private void add(int row, double[] j) {
            count[row]++;
            double[] sum = slope[row];
            double[] squares = square[row];
            for (int a = 0; a < parameters; a++) {
                double ja = j[a];
                sum[a] += ja;
                for (int c = a; c < parameters; c++) squares[a * parameters + c] += ja * j[c];
            }
        }

        void add(Rows other) {
            for (int f = 0; f < bins; f++) {
                count[f] += other.count[f];
                addTo(slope[f], other.slope[f]);
                addTo(square[f], other.square[f]);
            }
        }

        void into(Evaluation to) {
            to.information = new double[parameters][parameters];
            double[] fisher = pass.fisher();
            for (int f = 0; f < bins; f++) {
                if (count[f] == 0) continue;
                for (int a = 0; a < parameters; a++)
                    for (int c = a; c < parameters; c++) {
                        double covariance = square[f][a * parameters + c] - slope[f][a] * slope[f][c] / count[f];
                        to.information[a][c] += fisher[f] * covariance / pass.inside;
                    }
            }
            for (int a = 0; a < parameters; a++)
                for (int c = 0; c < a; c++) to.information[a][c] = to.information[c][a];
            for (int k = 6; k < parameters; k++) to.information[k][k] += 2 * ridge;
        }
    }

    private static void addTo(double[] sum, double[] more) {
        for (int i = 0; i < sum.length; i++) sum[i] += more[i];
    }

    /**
     * A correspondence changed by a step of the parameters: turned by step 0–2 and shifted by step 3–5 about and along the
     * fixed axes, then moved as before.
     */
    static Correspondence moved(Correspondence from, double[] step) {
        RigidTransform motion = from.motion();
        Point centre = motion.centre();
        RigidTransform first =
                RigidTransform.of(new Vector(step[0], step[1], step[2]), centre, new Vector(step[3], step[4], step[5]));
        EchoPlanarShift u = from.distortion();
        if (!from.isRigid()) {
            Double[] c = new Double[EchoPlanarShift.TERMS];
            for (int k = 0; k < c.length; k++) c[k] = u.coefficients().get(k) + step[6 + k];
            u = new EchoPlanarShift(u.direction(), u.centre(), u.reachMm(), List.of(c));
        }
        return new Correspondence(motion.after(first), u);
    }
}
