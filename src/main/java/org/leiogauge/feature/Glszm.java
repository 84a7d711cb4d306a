// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import org.leiogauge.table.FeatureValue;

/**
 * The grey level size zone matrix: how many zones of level i hold j voxels.
 *
 * <p>Letters as in {@link EmphasisTable}; j is the number of voxels of the zone.
 *
 * <p>Source: IBSI reference manual, grey level size zone based features (9SAK).
 */
public final class Glszm extends EmphasisMatrix<Glszm> {
    private static final EmphasisTable.Row<Glszm> ROW =
            EmphasisTable.rows(Family.GLSZM, m -> m.table, "no voxel is left after re-segmentation");

    static final List<Feature<Glszm>> FEATURES = List.of(
            ROW.of("small zone emphasis", "5QRC", "1", "1/N sum n / j^2", t -> t.emphasis(0, -2)),
            ROW.of("large zone emphasis", "48P8", "1", "1/N sum n j^2", t -> t.emphasis(0, 2)),
            ROW.of("low grey level zone emphasis", "XMSY", "1", "1/N sum n / i^2", t -> t.emphasis(-2, 0)),
            ROW.of("high grey level zone emphasis", "5GN9", "1", "1/N sum n i^2", t -> t.emphasis(2, 0)),
            ROW.of("small zone low grey level emphasis", "5RAI", "1", "1/N sum n / (i^2 j^2)", t -> t.emphasis(-2, -2)),
            ROW.of("small zone high grey level emphasis", "HW1V", "1", "1/N sum n i^2 / j^2", t -> t.emphasis(2, -2)),
            ROW.of("large zone low grey level emphasis", "YH51", "1", "1/N sum n j^2 / i^2", t -> t.emphasis(-2, 2)),
            ROW.of("large zone high grey level emphasis", "J17V", "1", "1/N sum n i^2 j^2", t -> t.emphasis(2, 2)),
            ROW.of("grey level non-uniformity", "JNSA", "1", "1/N sum n(i)^2", EmphasisTable::levelNonUniformity),
            ROW.of(
                    "normalised grey level non-uniformity",
                    "Y1RO",
                    "1",
                    "1/N^2 sum n(i)^2",
                    EmphasisTable::levelNonUniformityNormalised),
            ROW.of("zone size non-uniformity", "4JP3", "1", "1/N sum n(j)^2", EmphasisTable::columnNonUniformity),
            ROW.of(
                    "normalised zone size non-uniformity",
                    "VB3A",
                    "1",
                    "1/N^2 sum n(j)^2",
                    EmphasisTable::columnNonUniformityNormalised),
            ROW.of("zone percentage", "P30P", "1", "Zones over voxels", EmphasisTable::percentage),
            ROW.of("grey level variance", "BYLV", "1", "Variance of i under p", EmphasisTable::levelVariance),
            ROW.of("zone size variance", "3NSA", "1", "Variance of j under p", EmphasisTable::columnVariance),
            ROW.of("zone size entropy", "GU8N", "bit", "-sum p log2 p", EmphasisTable::entropy));

    private Glszm(EmphasisTable table) {
        super(table);
    }

    @Override
    Glszm of(EmphasisTable sum) {
        return new Glszm(sum);
    }

    static Glszm of(Zones zones) {
        return new Glszm(new EmphasisTable(zones.sizes(), zones.voxels()));
    }

    static List<FeatureValue> measure(List<Zones> zones, Settings settings) {
        return TextureMatrix.measure(FEATURES, zones.stream().map(Glszm::of).toList(), settings.dimensions());
    }
}
