// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Point;
import org.leiogauge.phantom.SampledTissue.Place;

/** Where the tissues that a lesion is set against lie clear of lesions and of each other: balls, the largest that fit. */
final class ReferencePlaces {
    static final List<Tissue> TISSUES = List.of(Tissue.MUSCLE, Tissue.MYOMETRIUM, Tissue.ENDOMETRIUM, Tissue.URINE);

    // Every ball first tries to be as wide as a reader would draw it.
    private static final double[] RADII = {7, 6, 5, 4, 3.5, 3, 2.5};
    private static final double MARGIN_MM = 3;
    private static final double THIN_MARGIN_MM = 1;
    // Thinner than any ball that holds voxels enough: three in a row.
    private static final double[] ENDOMETRIUM_STEPS = {-10, 0, 10};

    private ReferencePlaces() {}

    /** At rest, before any movement; a tissue that has no room is left out. */
    static Map<Tissue, List<Place>> of(Anatomy anatomy, PhantomSettings settings) {
        Map<Tissue, List<Place>> places = new EnumMap<>(Tissue.class);
        for (Tissue tissue : TISSUES) {
            List<Place> found = new ArrayList<>();
            for (Point wish : wishes(tissue, settings.scene()))
                place(anatomy, tissue, wish)
                        .filter(place -> isInAllSeries(place, settings))
                        .filter(place -> !found.contains(place))
                        .ifPresent(found::add);
            if (!found.isEmpty()) places.put(tissue, List.copyOf(found));
        }
        return places;
    }

    private static List<Point> wishes(Tissue tissue, PhantomSettings.Scene scene) {
        if (scene == PhantomSettings.Scene.TUBE)
            return tissue == Tissue.MUSCLE ? List.of(new Point(70, 0, 8)) : List.of();
        return switch (tissue) {
            case MUSCLE -> List.of(new Point(80, 84, 8));
            case MYOMETRIUM -> List.of(new Point(-40, 8, 12));
            case URINE -> List.of(new Point(0, -46, -34));
            default -> endometrium();
        };
    }

    private static List<Point> endometrium() {
        List<Point> wishes = new ArrayList<>();
        for (double step : ENDOMETRIUM_STEPS) wishes.add(new Point(-18, 4 - 0.2 * step, 9 + step));
        return wishes;
    }

    private static Optional<Place> place(Anatomy anatomy, Tissue tissue, Point wish) {
        double margin = tissue == Tissue.ENDOMETRIUM ? THIN_MARGIN_MM : MARGIN_MM;
        for (double radius : RADII) {
            Optional<Point> at = anatomy.clearBall(tissue, wish, radius, margin);
            if (at.isPresent()) return at.map(p -> new Place(p, radius));
        }
        return Optional.empty();
    }

    private static boolean isInAllSeries(Place place, PhantomSettings settings) {
        return settings.series().stream()
                .allMatch(series -> series.grid().contains(Movement.of(series).there(place.at())));
    }
}
