// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Locale;
import org.leiogauge.image.Vector;
import org.leiogauge.table.Measurement;

/** Whether what was found is to be believed, and why not. */
final class Judgement {
    private static final String UNKNOWN = "the images do not tell";

    private final Neighbourhood near;
    private final Alignment.Settings settings;
    private final Search.Found found;
    private final Correspondence here;
    private final Correspondence there;
    private final double moved;
    private final double residual;

    Judgement(Neighbourhood near, Alignment.Settings settings, Search.Found found) {
        this.near = near;
        this.settings = settings;
        this.found = found;
        this.here = Correspondence.identity(near.centre());
        this.there = found.best().at();
        this.moved = near.apart(here, there);
        this.residual = Math.hypot(
                found.refinedMm(),
                found.curvature().map(c -> c.uncertainty(near.places())).orElse(Double.NaN));
    }

    /** The moving image is elsewhere. */
    static Alignment.Result nothingToSee(Correspondence here) {
        String why = "the moving image covers less than half of the lesion's neighbourhood";
        Measurement none = new Measurement.NotMeasured(why);
        return new Alignment.Result(here, Alignment.Outcome.LITTLE_OVERLAP, stands(why), none, here, 0, 0);
    }

    Alignment.Result result() {
        Vector shift = there.motion().shift();
        double turn = there.motion().turnDegrees();
        double overlap = found.best().evaluation().overlap;
        if (overlap < Alignment.SMALLEST_OVERLAP)
            return unmeasured(
                    Alignment.Outcome.LITTLE_OVERLAP,
                    text("the movement found leaves %.0f %% of the neighbourhood in the image", 100 * overlap));
        if (found.curvature().isEmpty())
            return unmeasured(Alignment.Outcome.UNCERTAIN, "the images have no sharp best movement");
        if (shift.length() > settings.largestShiftMm() || turn > settings.largestTurnDegrees())
            return unmeasured(
                    Alignment.Outcome.IMPLAUSIBLE,
                    text("the images favour a shift of %.1f mm and a turn of %.1f°", shift.length(), turn));
        if (!(residual <= settings.largestResidualMm()))
            return stand(Alignment.Outcome.UNCERTAIN, text("the movement found is uncertain by %.1f mm", residual));
        if (hasRival())
            return unmeasured(
                    Alignment.Outcome.AMBIGUOUS,
                    text(
                            "another movement, %.1f mm away, explains the images as well",
                            near.apart(there, found.rivals().get(0).at())));
        double gain = deviations(found.before(), found.best().evaluation());
        if (gain < settings.gainDeviations())
            return stand(
                    Alignment.Outcome.NO_GAIN, text("a movement by %.1f mm would explain the images no better", moved));
        return improved(shift, turn, gain);
    }

    private boolean hasRival() {
        return !found.rivals().isEmpty()
                && deviations(found.rivals().get(0).evaluation(), found.best().evaluation())
                        < settings.gainDeviations();
    }

    private Alignment.Result improved(Vector shift, double turn, double gain) {
        String decision = text(
                "Moved by %.1f mm and %.1f°: mutual information rose from %.3f to %.3f (%.1f standard deviations);"
                        + " %.1f mm remain.",
                shift.length(), turn, found.before().value, found.best().evaluation().value, gain, residual);
        return with(there, Alignment.Outcome.IMPROVED, decision, new Measurement.Measured(residual));
    }

    // What was found counts as error of the patient coordinates.
    private Alignment.Result stand(Alignment.Outcome outcome, String why) {
        return with(here, outcome, stands(why), Measurement.of(Math.hypot(residual, moved), UNKNOWN));
    }

    private Alignment.Result unmeasured(Alignment.Outcome outcome, String why) {
        return with(here, outcome, stands(why), new Measurement.NotMeasured(why));
    }

    private Alignment.Result with(
            Correspondence correspondence, Alignment.Outcome outcome, String decision, Measurement left) {
        double after = found.best().evaluation().value;
        return new Alignment.Result(correspondence, outcome, decision, left, there, found.before().value, after);
    }

    private static String stands(String why) {
        return "Patient coordinates stand: " + why + ".";
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }

    /** Rise of the similarity over its standard error, from its scatter between the blocks. */
    private static double deviations(MutualInformation.Evaluation from, MutualInformation.Evaluation to) {
        int blocks = 0;
        double sum = 0;
        double square = 0;
        for (int b = 0; b < to.blockCount.length && b < from.blockCount.length; b++) {
            if (to.blockCount[b] == 0 || from.blockCount[b] == 0) continue;
            double gain = to.blockScore[b] / to.blockCount[b] - from.blockScore[b] / from.blockCount[b];
            blocks++;
            sum += gain;
            square += gain * gain;
        }
        if (blocks < 2 || square == 0) return 0;
        double mean = sum / blocks;
        double variance = (square / blocks - mean * mean) * blocks / (blocks - 1);
        return mean / Math.sqrt(variance / blocks);
    }
}
