// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.table.FeatureValue;

/**
 * A texture matrix of one slice, one direction or more, which can be added to others of its kind.
 *
 * @param <M> its kind
 */
interface TextureMatrix<M extends TextureMatrix<M>> {
    /** Whether nothing was counted: such a matrix has no features and is left out of means. */
    boolean isEmpty();

    /** The sum of this matrix and others. */
    M plus(List<M> others);

    /** Makes the matrix of one direction from the slices from one up to another, both included. */
    @FunctionalInterface
    interface Directional<M> {
        M of(Direction direction, int fromZ, int toZ);
    }

    static <M extends TextureMatrix<M>> M sum(List<M> matrices) {
        return matrices.get(0).plus(matrices.subList(1, matrices.size()));
    }

    /** All aggregations of a family whose matrices have a direction. */
    static <M extends TextureMatrix<M>> List<FeatureValue> measure(
            List<Feature<M>> features, Levels levels, int dimensions, Directional<M> matrix) {
        List<FeatureValue> values = new ArrayList<>();
        int last = levels.size().z() - 1;
        if (dimensions == 3) {
            List<M> all = Direction.ALL.stream().map(d -> matrix.of(d, 0, last)).toList();
            values.addAll(Feature.mean(features, filled(all), Aggregations.DIRECTIONS_AVERAGED));
            values.addAll(Feature.of(features, sum(all), Aggregations.DIRECTIONS_MERGED));
            return values;
        }
        List<List<M>> slices = new ArrayList<>();
        for (int z = 0; z <= last; z++) {
            int slice = z;
            if (!levels.isEmpty(z))
                slices.add(Direction.IN_PLANE.stream()
                        .map(d -> matrix.of(d, slice, slice))
                        .toList());
        }
        List<M> each = slices.stream().flatMap(List::stream).toList();
        List<M> merged = slices.stream().map(TextureMatrix::sum).toList();
        List<M> directions = new ArrayList<>();
        for (int d = 0; d < Direction.IN_PLANE.size(); d++) {
            int direction = d;
            directions.add(sum(slices.stream().map(s -> s.get(direction)).toList()));
        }
        values.addAll(Feature.mean(features, filled(each), Aggregations.SLICES_AND_DIRECTIONS_AVERAGED));
        values.addAll(Feature.mean(features, filled(merged), Aggregations.SLICE_MERGED));
        values.addAll(Feature.mean(features, filled(directions), Aggregations.DIRECTION_MERGED));
        values.addAll(Feature.of(features, sum(merged), Aggregations.ALL_SLICES_MERGED));
        return values;
    }

    /** All aggregations of a family whose matrices have none: of single slices, or one matrix of the volume. */
    static <M extends TextureMatrix<M>> List<FeatureValue> measure(
            List<Feature<M>> features, List<M> matrices, int dimensions) {
        if (dimensions == 3) return Feature.of(features, matrices.get(0), Aggregations.ONE_VOLUME);
        List<FeatureValue> values =
                new ArrayList<>(Feature.mean(features, filled(matrices), Aggregations.SLICES_AVERAGED));
        values.addAll(Feature.of(features, sum(matrices), Aggregations.SLICES_MERGED));
        return values;
    }

    private static <M extends TextureMatrix<M>> List<M> filled(List<M> matrices) {
        return matrices.stream().filter(m -> !m.isEmpty()).toList();
    }
}
