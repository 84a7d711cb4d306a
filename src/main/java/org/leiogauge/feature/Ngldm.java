// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import org.leiogauge.table.FeatureValue;

/**
 * The neighbouring grey level dependence matrix: how many voxels of level i have j − 1 neighbours whose level differs by
 * the coarseness α at most.
 *
 * <p>Letters as in {@link EmphasisTable}; j counts the voxel itself too.
 *
 * <p>Source: IBSI reference manual, neighbouring grey level dependence based features (REK0).
 */
public final class Ngldm extends EmphasisMatrix<Ngldm> {
    private static final EmphasisTable.Row<Ngldm> ROW =
            EmphasisTable.rows(Family.NGLDM, m -> m.table, "no voxel is left after re-segmentation");

    static final List<Feature<Ngldm>> FEATURES = List.of(
            ROW.of("low dependence emphasis", "SODN", "1", "1/N sum n / j^2", t -> t.emphasis(0, -2)),
            ROW.of("high dependence emphasis", "IMOQ", "1", "1/N sum n j^2", t -> t.emphasis(0, 2)),
            ROW.of("low grey level count emphasis", "TL9H", "1", "1/N sum n / i^2", t -> t.emphasis(-2, 0)),
            ROW.of("high grey level count emphasis", "OAE7", "1", "1/N sum n i^2", t -> t.emphasis(2, 0)),
            ROW.of(
                    "low dependence low grey level emphasis",
                    "EQ3F",
                    "1",
                    "1/N sum n / (i^2 j^2)",
                    t -> t.emphasis(-2, -2)),
            ROW.of(
                    "low dependence high grey level emphasis",
                    "JA6D",
                    "1",
                    "1/N sum n i^2 / j^2",
                    t -> t.emphasis(2, -2)),
            ROW.of(
                    "high dependence low grey level emphasis",
                    "NBZI",
                    "1",
                    "1/N sum n j^2 / i^2",
                    t -> t.emphasis(-2, 2)),
            ROW.of("high dependence high grey level emphasis", "9QMG", "1", "1/N sum n i^2 j^2", t -> t.emphasis(2, 2)),
            ROW.of("grey level non-uniformity", "FP8K", "1", "1/N sum n(i)^2", EmphasisTable::levelNonUniformity),
            ROW.of(
                    "normalised grey level non-uniformity",
                    "5SPA",
                    "1",
                    "1/N^2 sum n(i)^2",
                    EmphasisTable::levelNonUniformityNormalised),
            ROW.of(
                    "dependence count non-uniformity",
                    "Z87G",
                    "1",
                    "1/N sum n(j)^2",
                    EmphasisTable::columnNonUniformity),
            ROW.of(
                    "normalised dependence count non-uniformity",
                    "OKJI",
                    "1",
                    "1/N^2 sum n(j)^2",
                    EmphasisTable::columnNonUniformityNormalised),
            ROW.of(
                    "dependence count percentage",
                    "6XV8",
                    "1",
                    "Voxels with a dependence over voxels",
                    EmphasisTable::percentage),
            ROW.of("grey level variance", "1PFV", "1", "Variance of i under p", EmphasisTable::levelVariance),
            ROW.of("dependence count variance", "DNX2", "1", "Variance of j under p", EmphasisTable::columnVariance),
            ROW.of("dependence count entropy", "FCBV", "bit", "-sum p log2 p", EmphasisTable::entropy),
            ROW.of("dependence count energy", "CAS9", "1", "sum p^2", EmphasisTable::energy));

    private Ngldm(EmphasisTable table) {
        super(table);
    }

    @Override
    Ngldm of(EmphasisTable sum) {
        return new Ngldm(sum);
    }

    static Ngldm of(CountMatrix counts, long voxels) {
        return new Ngldm(new EmphasisTable(counts, voxels));
    }

    static List<FeatureValue> measure(List<Ngldm> matrices, Settings settings) {
        return TextureMatrix.measure(FEATURES, matrices, settings.dimensions());
    }
}
