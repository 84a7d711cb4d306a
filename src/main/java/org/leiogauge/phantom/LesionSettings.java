// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * A lesion: an ellipsoid with a margin, filled with one tissue and compartments of others.
 *
 * @param name {@code L1} is the one that is asked about
 * @param centre in patient space, LPS, in mm
 * @param semiAxes in mm
 * @param turnDegrees of the ellipsoid about the patient's long axis
 * @param tissue what it is made of where no compartment is
 * @param roughness per degree of the spherical harmonics (2 to 24): root mean square, over all directions, of the surface's
 *     deviation as a share of the radius
 * @param lobes broad bumps, spread evenly
 * @param tongues narrow bumps, at random
 * @param blurMm width over which the lesion's share rises from 10 to 90 % across the edge; 0 is sharp
 * @param compartments the first takes its place first; their fractions of the lesion's volume make no more than 1
 */
public record LesionSettings(
        String name,
        Point centre,
        Vector semiAxes,
        double turnDegrees,
        Tissue tissue,
        Map<Integer, Double> roughness,
        Bumps lobes,
        Bumps tongues,
        double blurMm,
        List<Compartment> compartments) {

    public LesionSettings {
        name = name == null ? "L1" : name;
        if (!name.matches("[A-Za-z0-9-]{1,16}"))
            throw new IllegalArgumentException("name must be 1 to 16 letters, digits or hyphens, got " + name);
        centre = centre == null ? new Point(16, -6, 20) : centre;
        semiAxes = semiAxes == null ? new Vector(30, 27, 28) : semiAxes;
        tissue = tissue == null ? Tissue.LEIOMYOMA : tissue;
        roughness = roughness == null ? Map.of() : Collections.unmodifiableMap(new TreeMap<>(roughness));
        lobes = lobes == null ? Bumps.NONE : lobes;
        tongues = tongues == null ? Bumps.NONE : tongues;
        compartments = compartments == null ? List.of() : List.copyOf(compartments);
        Range.check("semi-axes.x", semiAxes.x(), 2, 150);
        Range.check("semi-axes.y", semiAxes.y(), 2, 150);
        Range.check("semi-axes.z", semiAxes.z(), 2, 150);
        Range.check("turn-degrees", turnDegrees, -360, 360);
        if (!tissue.isOfLesion()) throw new IllegalArgumentException("tissue must be one of a lesion, got " + tissue);
        roughness.forEach((degree, amplitude) -> {
            Range.check("roughness: degree", degree, 2, 24);
            Range.check("roughness: amplitude of degree " + degree, amplitude, 0, 0.3);
        });
        Range.check("blur-mm", blurMm, 0, 30);
        double sum = compartments.stream().mapToDouble(Compartment::fraction).sum();
        if (sum > 1 + 1e-9)
            throw new IllegalArgumentException(
                    "compartments: their fractions must make 0 to 1 of the lesion, got " + Math.rint(sum * 1e6) / 1e6);
    }

    /** A smooth, sharp ellipsoid of ordinary leiomyoma. */
    public static LesionSettings standard() {
        return new LesionSettings(
                "L1", null, null, 0, Tissue.LEIOMYOMA, Map.of(), Bumps.NONE, Bumps.NONE, 0, List.of());
    }

    /**
     * Gaussian bumps on the surface.
     *
     * @param height at the top, as a share of the radius
     * @param widthDegrees standard deviation, as an angle seen from the centre
     */
    public record Bumps(int count, double height, double widthDegrees) {
        public static final Bumps NONE = new Bumps(0, 0, 20);

        public Bumps {
            Range.check("count", count, 0, 60);
            Range.check("height", height, 0, 1);
            Range.check("width-degrees", widthDegrees, 2, 60);
        }
    }

    /** Where a compartment lies in its lesion. */
    public enum Place {
        /** The inner part, of the lesion's own form. */
        CORE,
        /** The outer shell, of even share of the radius. */
        RIM,
        /** Round pockets at random. */
        PATCHES,
        /** Where a random field is high. */
        CLOUD,
        /** Where a random field is high, more so towards the centre. */
        CENTRAL_CLOUD
    }

    /**
     * Another tissue in the lesion.
     *
     * @param fraction of the lesion's volume
     * @param scaleMm correlation length of a cloud
     * @param count of patches
     */
    public record Compartment(Tissue tissue, Place place, double fraction, double scaleMm, int count) {
        public Compartment {
            if (tissue == null || !tissue.isOfLesion())
                throw new IllegalArgumentException("tissue must be one of a lesion, got " + tissue);
            if (place == null) throw new IllegalArgumentException("place must be given");
            scaleMm = scaleMm == 0 ? 5 : scaleMm;
            count = count == 0 ? 6 : count;
            Range.check("fraction", fraction, 0, 1);
            Range.check("scale-mm", scaleMm, 2, 60);
            Range.check("count", count, 1, 60);
        }

        static Compartment of(Tissue tissue, Place place, double fraction) {
            return new Compartment(tissue, place, fraction, 5, 6);
        }
    }
}
