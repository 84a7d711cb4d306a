// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

/**
 * A value and the series it was measured on.
 *
 * @param series the role's key; empty for shape alone
 */
public record PlacedValue(String series, LesionValue value) {}
