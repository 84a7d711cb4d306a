// SPDX-License-Identifier: Apache-2.0
/**
 * Measurements, definitions and units as records; the feature table and its dictionary, read and written.
 *
 * <p>Uses {@code task}. Main types: {@link org.leiogauge.table.Measurement}, {@link org.leiogauge.table.Definition},
 * {@link org.leiogauge.table.FeatureValue}.
 */
package org.leiogauge.table;
