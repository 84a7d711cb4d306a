// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import org.leiogauge.image.Size;
import org.leiogauge.table.FeatureValue;

/**
 * The grey level run length matrix: how often j voxels in a row along a direction have level i, and their neighbours at
 * both ends another one or none.
 *
 * <p>Letters as in {@link EmphasisTable}; j is the length of the run.
 *
 * <p>Source: IBSI reference manual, grey level run length based features (TP0I).
 */
public final class Glrlm extends EmphasisMatrix<Glrlm> {
    private static final EmphasisTable.Row<Glrlm> ROW =
            EmphasisTable.rows(Family.GLRLM, m -> m.table, "no voxel is left after re-segmentation");

    static final List<Feature<Glrlm>> FEATURES = List.of(
            ROW.of("short runs emphasis", "22OV", "1", "1/N sum n / j^2", t -> t.emphasis(0, -2)),
            ROW.of("long runs emphasis", "W4KF", "1", "1/N sum n j^2", t -> t.emphasis(0, 2)),
            ROW.of("low grey level run emphasis", "V3SW", "1", "1/N sum n / i^2", t -> t.emphasis(-2, 0)),
            ROW.of("high grey level run emphasis", "G3QZ", "1", "1/N sum n i^2", t -> t.emphasis(2, 0)),
            ROW.of("short run low grey level emphasis", "HTZT", "1", "1/N sum n / (i^2 j^2)", t -> t.emphasis(-2, -2)),
            ROW.of("short run high grey level emphasis", "GD3A", "1", "1/N sum n i^2 / j^2", t -> t.emphasis(2, -2)),
            ROW.of("long run low grey level emphasis", "IVPO", "1", "1/N sum n j^2 / i^2", t -> t.emphasis(-2, 2)),
            ROW.of("long run high grey level emphasis", "3KUM", "1", "1/N sum n i^2 j^2", t -> t.emphasis(2, 2)),
            ROW.of("grey level non-uniformity", "R5YN", "1", "1/N sum n(i)^2", EmphasisTable::levelNonUniformity),
            ROW.of(
                    "normalised grey level non-uniformity",
                    "OVBL",
                    "1",
                    "1/N^2 sum n(i)^2",
                    EmphasisTable::levelNonUniformityNormalised),
            ROW.of("run length non-uniformity", "W92Y", "1", "1/N sum n(j)^2", EmphasisTable::columnNonUniformity),
            ROW.of(
                    "normalised run length non-uniformity",
                    "IC23",
                    "1",
                    "1/N^2 sum n(j)^2",
                    EmphasisTable::columnNonUniformityNormalised),
            ROW.of(
                    "run percentage",
                    "9ZK5",
                    "1",
                    "Runs over voxels, each voxel once per direction",
                    EmphasisTable::percentage),
            ROW.of("grey level variance", "8CE5", "1", "Variance of i under p", EmphasisTable::levelVariance),
            ROW.of("run length variance", "SXLW", "1", "Variance of j under p", EmphasisTable::columnVariance),
            ROW.of("run entropy", "HJ9O", "bit", "-sum p log2 p", EmphasisTable::entropy));

    private Glrlm(EmphasisTable table) {
        super(table);
    }

    @Override
    Glrlm of(EmphasisTable sum) {
        return new Glrlm(sum);
    }

    /** The matrix of one direction in the slices from one to another, both included. */
    public static Glrlm of(Levels levels, Direction direction, int fromZ, int toZ) {
        Size size = levels.size();
        int longest = Math.max(size.x(), Math.max(size.y(), size.z()));
        CountMatrix.Tally tally = new CountMatrix.Tally(levels.count(), longest);
        int voxels = count(levels.padded(), levels.first(fromZ), levels.behind(toZ), direction.offset(levels), tally);
        return new Glrlm(new EmphasisTable(tally.matrix(), voxels));
    }

    // Every run is followed from its first voxel, so that each voxel is looked at twice.
    private static int count(char[] levels, int from, int behind, int step, CountMatrix.Tally tally) {
        int voxels = 0;
        for (int i = from; i < behind; i++) {
            int level = levels[i];
            if (level == 0) continue;
            voxels++;
            if (levels[i - step] == level) continue;
            int end = i + step;
            int length = 1;
            for (; levels[end] == level; end += step) length++;
            tally.add(level, length);
        }
        return voxels;
    }

    static List<FeatureValue> measure(Levels levels, Settings settings) {
        return TextureMatrix.measure(FEATURES, levels, settings.dimensions(), (d, from, to) -> of(levels, d, from, to));
    }
}
