// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.List;

/** True size, form and margin of a lesion: of its sharp surface, where its share is half. */
final class ShapeTruth {
    private static final String SURFACE = "of the continuous surface where the lesion's share is 50 %";

    private ShapeTruth() {}

    static List<TruthRow> of(Lesion lesion) {
        SurfaceTruth truth = lesion.truth();
        LesionSettings settings = lesion.settings();
        List<TruthRow> rows = new ArrayList<>();
        rows.add(TruthRow.of("volume", truth.volume(), "mm3", SURFACE));
        rows.add(TruthRow.of("surface area", truth.area(), "mm2", SURFACE));
        rows.add(TruthRow.of("longest diameter", truth.longestDiameter(), "mm", SURFACE));
        rows.add(TruthRow.of("sphericity", truth.sphericity(), "1", SURFACE));
        rows.add(TruthRow.of(
                "solidity", truth.solidity(), "1", "volume over that of the convex hull; accurate to 0.001"));
        rows.addAll(roughness(SurfaceSpectrum.of(lesion.surface())));
        rows.add(TruthRow.of(
                "margin sharpness",
                settings.blurMm(),
                "mm",
                "width over which the lesion's share rises from 10 to 90 % along the normal; 0 is sharp"));
        rows.add(bumps("lobulation count", settings.lobes(), "broad bumps put on the surface"));
        rows.add(bumps(
                "tongue count", settings.tongues(), "narrow bumps put on the surface; not in the lobulation count"));
        return rows;
    }

    private static TruthRow bumps(String feature, LesionSettings.Bumps bumps, String note) {
        return TruthRow.of(feature, bumps.height() > 0 ? bumps.count() : 0, "1", note);
    }

    private static List<TruthRow> roughness(SurfaceSpectrum spectrum) {
        List<TruthRow> rows = new ArrayList<>();
        rows.add(TruthRow.of(
                "margin roughness",
                spectrum.roughness(),
                "mm",
                "root mean square over all directions from the centre of the surface's distance from its smooth shape:"
                        + " the settings' ellipsoid and the spherical harmonics up to degree "
                        + SurfaceSpectrum.OWN_SHAPE));
        for (int l = 2; l <= SurfaceSpectrum.DEGREES; l++)
            rows.add(TruthRow.of(
                    "margin roughness spectrum",
                    "degree " + l,
                    spectrum.rms(l),
                    "mm",
                    "root mean square over all directions of what this degree adds to the ellipsoid"));
        return rows;
    }
}
