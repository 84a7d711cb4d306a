// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/**
 * What a feature means: the one place that holds its name, code, unit, meaning and source.
 *
 * @param group the family of the published standard, or {@code lesion}
 * @param feature the standard's name in lower case, or ours
 * @param code the standard's four-character code; empty where there is none
 * @param unit in UCUM, as {@code mm3}; {@code 1} for a pure number
 * @param meaning one plain sentence, with the formula where it is short
 * @param source author, year, equation or code; or "common practice, no source"
 */
public record Definition(String group, String feature, String code, String unit, String meaning, String source) {}
