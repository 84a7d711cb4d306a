// SPDX-License-Identifier: Apache-2.0
/**
 * Runs the cases of a cohort under Apache Spark, in this process or on a cluster. Uses {@code cohort} and what that rests
 * on; nothing uses it: it is found by {@link java.util.ServiceLoader} and lies in a jar of its own.
 *
 * <p>Main type: {@link org.leiogauge.spark.SparkRunner}. It measures no differently: the tables are those of the local
 * runner, byte for byte.
 */
package org.leiogauge.spark;
