// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.stream.Stream;
import org.leiogauge.table.Definition;

/** What every feature of the standard means, in the order in which they are measured. */
public final class Definitions {
    private static final List<Definition> ALL =
            Stream.of(Family.values()).flatMap(f -> of(f).stream()).toList();

    private Definitions() {}

    public static List<Definition> all() {
        return ALL;
    }

    /** Those of one family. */
    public static List<Definition> of(Family family) {
        return features(family).stream().map(Feature::definition).toList();
    }

    static List<? extends Feature<?>> features(Family family) {
        return switch (family) {
            case SHAPE ->
                Stream.concat(Shape.FEATURES.stream(), SpatialCorrelation.FEATURES.stream())
                        .toList();
            case LOCAL_INTENSITY -> LocalIntensity.FEATURES;
            case INTENSITY -> IntensityStatistics.FEATURES;
            case HISTOGRAM -> IntensityHistogram.FEATURES;
            case INTENSITY_VOLUME -> IntensityVolumeHistogram.FEATURES;
            case GLCM -> Glcm.FEATURES;
            case GLRLM -> Glrlm.FEATURES;
            case GLSZM -> Glszm.FEATURES;
            case GLDZM -> Gldzm.FEATURES;
            case NGTDM -> Ngtdm.FEATURES;
            case NGLDM -> Ngldm.FEATURES;
        };
    }
}
