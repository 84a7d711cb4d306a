// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;

/**
 * A texture matrix whose features are those of {@link EmphasisTable}.
 *
 * @param <M> its kind
 */
abstract class EmphasisMatrix<M extends EmphasisMatrix<M>> implements TextureMatrix<M> {
    final EmphasisTable table;

    EmphasisMatrix(EmphasisTable table) {
        this.table = table;
    }

    /** The matrix of this kind that holds these counts. */
    abstract M of(EmphasisTable sum);

    /** The counts; rows are grey levels, what the columns are the kind says. */
    public final CountMatrix counts() {
        return table.counts();
    }

    @Override
    public final boolean isEmpty() {
        return table.isEmpty();
    }

    @Override
    public final M plus(List<M> others) {
        return of(EmphasisTable.sum(table, others.stream().map(m -> m.table).toList()));
    }
}
