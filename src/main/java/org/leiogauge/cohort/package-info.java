// SPDX-License-Identifier: Apache-2.0
/** Many cases: agreement between readers and repeats, and how well a feature tells outcomes apart. */
package org.leiogauge.cohort;
