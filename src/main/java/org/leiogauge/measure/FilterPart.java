// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import org.leiogauge.feature.filter.Boundary;
import org.leiogauge.feature.filter.Filter;
import org.leiogauge.feature.filter.Gabor;
import org.leiogauge.feature.filter.LaplacianOfGaussian;
import org.leiogauge.feature.filter.Laws;
import org.leiogauge.feature.filter.Mean;
import org.leiogauge.feature.filter.Pooling;
import org.leiogauge.feature.filter.Riesz;
import org.leiogauge.feature.filter.Simoncelli;
import org.leiogauge.feature.filter.Wavelet;

/**
 * The part {@code filter} of the settings; what is absent is null here and nowhere else. Lengths are in mm, angles in degrees,
 * support and distances in voxels. Which keys belong to a kind stands beside it.
 */
record FilterPart(
        Kind kind,
        Integer dimensions,
        Boundary boundary,
        Integer support,
        Double sigma,
        Double cutOff,
        String kernels,
        Integer energyDistance,
        Double lambda,
        Double gamma,
        Double theta,
        Double thetaStep,
        Pooling pooling,
        Pooling rotation,
        Wavelet.Family wavelet,
        String response,
        Integer level,
        List<Integer> order,
        FilterPart of) {

    // As in all of the standard's reference maps.
    private static final double USUAL_CUT_OFF = 4;

    enum Kind {
        MEAN(List.of("support"), List.of("dimensions", "boundary")),
        LOG(List.of("sigma"), List.of("cut-off", "dimensions", "boundary")),
        LAWS(List.of("kernels"), List.of("rotation", "energy-distance", "boundary")),
        GABOR(List.of("sigma", "lambda", "gamma"), List.of("theta", "theta-step", "pooling", "dimensions", "boundary")),
        WAVELET(List.of("wavelet", "response"), List.of("level", "rotation", "boundary")),
        SIMONCELLI(List.of("level"), List.of("dimensions")),
        RIESZ(List.of("order", "of"), List.of());

        private final List<String> needed;
        private final List<String> known;

        Kind(List<String> needed, List<String> more) {
            this.needed = needed;
            known = new ArrayList<>(needed);
            known.addAll(more);
        }

        private String label() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    FilterPart {
        if (kind == null)
            throw new IllegalArgumentException(
                    "kind must be one of mean, log, laws, gabor, wavelet, simoncelli, riesz");
        Map<String, Object> keys = new LinkedHashMap<>();
        keys.put("dimensions", dimensions);
        keys.put("boundary", boundary);
        keys.put("support", support);
        keys.put("sigma", sigma);
        keys.put("cut-off", cutOff);
        keys.put("kernels", kernels);
        keys.put("energy-distance", energyDistance);
        keys.put("lambda", lambda);
        keys.put("gamma", gamma);
        keys.put("theta", theta);
        keys.put("theta-step", thetaStep);
        keys.put("pooling", pooling);
        keys.put("rotation", rotation);
        keys.put("wavelet", wavelet);
        keys.put("response", response);
        keys.put("level", level);
        keys.put("order", order);
        keys.put("of", of);
        requireKeys(kind, keys);
        if (kind == Kind.GABOR && (theta == null) == (thetaStep == null))
            throw new IllegalArgumentException("kind gabor must have one of theta and theta-step");
        if (kind == Kind.RIESZ && (order.size() != 3 || order.stream().anyMatch(Objects::isNull)))
            throw new IllegalArgumentException("order must be three whole numbers, as [1, 0, 0], got " + order);
    }

    private static void requireKeys(Kind kind, Map<String, Object> keys) {
        for (String key : kind.needed)
            if (keys.get(key) == null)
                throw new IllegalArgumentException("kind " + kind.label() + " must have " + key + "; its keys are "
                        + String.join(", ", kind.known));
        keys.forEach((key, value) -> {
            if (value != null && !kind.known.contains(key))
                throw new IllegalArgumentException("kind " + kind.label() + " must have no other keys than "
                        + String.join(", ", kind.known) + ", got " + key);
        });
    }

    /** @throws IllegalArgumentException if a value is out of range */
    Filter filter() {
        int dimension = dimensions == null ? 3 : dimensions;
        Boundary beyond = boundary == null ? Boundary.MIRROR : boundary;
        return switch (kind) {
            case MEAN -> new Mean(dimension, support, beyond);
            case LOG -> new LaplacianOfGaussian(dimension, sigma, cutOff == null ? USUAL_CUT_OFF : cutOff, beyond);
            case LAWS ->
                new Laws(
                        kernels,
                        Optional.ofNullable(rotation),
                        energyDistance == null ? OptionalInt.empty() : OptionalInt.of(energyDistance),
                        beyond);
            case GABOR ->
                new Gabor(dimension, sigma, lambda, gamma, angles(), pooling == null ? Pooling.MEAN : pooling, beyond);
            case WAVELET ->
                new Wavelet(wavelet, response, level == null ? 1 : level, Optional.ofNullable(rotation), beyond);
            case SIMONCELLI -> new Simoncelli(dimension, level);
            case RIESZ -> new Riesz(order.get(0), order.get(1), order.get(2), of.filter());
        };
    }

    private Gabor.Angles angles() {
        return theta == null ? new Gabor.Angles.Turn(thetaStep) : new Gabor.Angles.One(theta);
    }
}
