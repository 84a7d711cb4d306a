// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

/**
 * How the responses of a filter's orientations become one.
 *
 * <p>Source: IBSI 2 reference manual, rotation invariance.
 */
public enum Pooling {
    MAX,
    MEAN;

    void add(float[] response, float[] pooled, boolean isFirst) {
        if (isFirst) System.arraycopy(response, 0, pooled, 0, pooled.length);
        else if (this == MAX) for (int i = 0; i < pooled.length; i++) pooled[i] = Math.max(pooled[i], response[i]);
        else for (int i = 0; i < pooled.length; i++) pooled[i] += response[i];
    }

    void finish(float[] pooled, int responses) {
        if (this == MEAN) for (int i = 0; i < pooled.length; i++) pooled[i] /= responses;
    }
}
