// SPDX-License-Identifier: Apache-2.0
/**
 * The case registry: a database of cases, lesions, measurements, impressions and outcomes that only ever grows.
 *
 * <p>Uses {@code task}, {@code table} and {@code cohort}. Main types: {@link org.leiogauge.cohort.registry.Registry},
 * {@link org.leiogauge.cohort.registry.Entry}, {@link org.leiogauge.cohort.registry.ExportFolder}. It does not promise that
 * names which a user gives to cases tell nothing: exports carry others in their place.
 */
package org.leiogauge.cohort.registry;
