package org.leiogauge.outline;

import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/** */
final class RandomWalk implements Refinement {
    record Settings(double beta, double trust, int classes, double windowMm, double drawnMm, int rounds, double limit, double sure, double power, double contextMm, double doubt) {
        static Settings standard() {
            return new Settings(.5, 0.05, 20, 10, 2.5, 4, 4, 3, 2, 8, .1);
        }
    }

    private final Settings settings;

    RandomWalk(Settings settings) {
        this.settings = settings;
    }

    @Override
    public String title() {
        return "random walk";
    }

    @Override
    public float[] inside(Band band, Workers workers) {
        FeatureClasses classes = FeatureClasses.of(band, settings.classes(), workers);
        WalkSystem system = new WalkSystem(band, settings.beta(), (float) settings.trust());
        int n = band.open.length;
        float[] prior = new float[n];
        float[] p = new float[n];
        for (int j = 0; j < n; j++) {
            prior[j] = prior(band.distance[band.open[j]], settings.drawnMm(), settings.sure());
            p[j] = sigmoid(prior[j]);
        }
        for (int round = 0; round < settings.rounds(); round++) {
            float[] evidence = classes.evidence(band, band.whole(p), settings.windowMm(), settings.power(), settings.contextMm(), settings.doubt(), workers);
            float[] s = new float[n];
            float limit = (float) settings.limit();
            for (int j = 0; j < n; j++) s[j] = sigmoid(prior[j] + Math.max(-limit, Math.min(limit, evidence[j])));
            p = system.solve(s, p, workers);
        }
        return p;
    }

    static float prior(double d, double drawnMm, double sure) {
        return (float) (-sure * Math.tanh(1.7 * d / drawnMm / sure));
    }

    static float sigmoid(double t) {
        return (float) (1 / (1 + Math.exp(-t)));
    }
}
