// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import java.util.Map;
import org.leiogauge.image.Point;
import org.leiogauge.phantom.SampledTissue.Place;

/** The case file of a synthetic study: its name, the lesion that is asked about, reference tissue as balls. */
final class CaseText {
    private static final double PLACES = 1e3;

    private CaseText() {}

    /** @param movement of the series that the places are looked up in */
    static String of(PhantomSettings settings, Map<Tissue, List<Place>> references, Movement movement) {
        StringBuilder text = new StringBuilder()
                .append("# Invented: a synthetic study, computed from settings. No person, no measurement.\n# ")
                .append(settings.preset().title())
                .append(".\ncase: invented-")
                .append(settings.preset().key())
                .append('-')
                .append(settings.seed())
                .append("\nlesion: ")
                .append(settings.lesions().get(0).name())
                .append('\n');
        if (references.isEmpty()) return text.toString();
        text.append("references:\n");
        references.forEach((tissue, places) -> {
            text.append("  ").append(CompartmentTruth.name(tissue)).append(":\n    points:\n");
            for (Place place : places)
                text.append("      - ").append(ball(place, movement)).append('\n');
        });
        return text.toString();
    }

    private static String ball(Place place, Movement movement) {
        Point p = movement.there(place.at());
        return "{at: [" + rounded(p.x()) + ", " + rounded(p.y()) + ", " + rounded(p.z()) + "], radius: "
                + place.radiusMm() + "}";
    }

    private static double rounded(double mm) {
        return Math.rint(mm * PLACES) / PLACES;
    }
}
