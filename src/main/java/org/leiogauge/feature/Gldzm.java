// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import org.leiogauge.table.FeatureValue;

/**
 * The grey level distance zone matrix: how many zones of level i lie j steps from the border of the region before
 * re-segmentation.
 *
 * <p>Letters as in {@link EmphasisTable}; j is the least city-block distance of the zone's voxels.
 *
 * <p>Source: IBSI reference manual, grey level distance zone based features (VMDZ).
 */
public final class Gldzm extends EmphasisMatrix<Gldzm> {
    private static final EmphasisTable.Row<Gldzm> ROW =
            EmphasisTable.rows(Family.GLDZM, m -> m.table, "no voxel is left after re-segmentation");

    static final List<Feature<Gldzm>> FEATURES = List.of(
            ROW.of("small distance emphasis", "0GBI", "1", "1/N sum n / j^2", t -> t.emphasis(0, -2)),
            ROW.of("large distance emphasis", "MB4I", "1", "1/N sum n j^2", t -> t.emphasis(0, 2)),
            ROW.of("low grey level zone emphasis", "S1RA", "1", "1/N sum n / i^2", t -> t.emphasis(-2, 0)),
            ROW.of("high grey level zone emphasis", "K26C", "1", "1/N sum n i^2", t -> t.emphasis(2, 0)),
            ROW.of(
                    "small distance low grey level emphasis",
                    "RUVG",
                    "1",
                    "1/N sum n / (i^2 j^2)",
                    t -> t.emphasis(-2, -2)),
            ROW.of(
                    "small distance high grey level emphasis",
                    "DKNJ",
                    "1",
                    "1/N sum n i^2 / j^2",
                    t -> t.emphasis(2, -2)),
            ROW.of(
                    "large distance low grey level emphasis",
                    "A7WM",
                    "1",
                    "1/N sum n j^2 / i^2",
                    t -> t.emphasis(-2, 2)),
            ROW.of("large distance high grey level emphasis", "KLTH", "1", "1/N sum n i^2 j^2", t -> t.emphasis(2, 2)),
            ROW.of("grey level non-uniformity", "VFT7", "1", "1/N sum n(i)^2", EmphasisTable::levelNonUniformity),
            ROW.of(
                    "normalised grey level non-uniformity",
                    "7HP3",
                    "1",
                    "1/N^2 sum n(i)^2",
                    EmphasisTable::levelNonUniformityNormalised),
            ROW.of("zone distance non-uniformity", "V294", "1", "1/N sum n(j)^2", EmphasisTable::columnNonUniformity),
            ROW.of(
                    "normalised zone distance non-uniformity",
                    "IATH",
                    "1",
                    "1/N^2 sum n(j)^2",
                    EmphasisTable::columnNonUniformityNormalised),
            ROW.of("zone percentage", "VIWW", "1", "Zones over voxels", EmphasisTable::percentage),
            ROW.of("grey level variance", "QK93", "1", "Variance of i under p", EmphasisTable::levelVariance),
            ROW.of("zone distance variance", "7WT1", "1", "Variance of j under p", EmphasisTable::columnVariance),
            ROW.of("zone distance entropy", "GBDU", "bit", "-sum p log2 p", EmphasisTable::entropy));

    private Gldzm(EmphasisTable table) {
        super(table);
    }

    @Override
    Gldzm of(EmphasisTable sum) {
        return new Gldzm(sum);
    }

    static Gldzm of(Zones zones) {
        return new Gldzm(new EmphasisTable(zones.distances(), zones.voxels()));
    }

    static List<FeatureValue> measure(List<Zones> zones, Settings settings) {
        return TextureMatrix.measure(FEATURES, zones.stream().map(Gldzm::of).toList(), settings.dimensions());
    }
}
