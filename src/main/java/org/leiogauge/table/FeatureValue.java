// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/** One feature of one region, put together in one way. */
public record FeatureValue(Definition definition, Aggregation aggregation, Measurement measurement) {}
