// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.util.Optional;

/**
 * How one case went.
 *
 * @param number the case's place in the manifest, from 1
 * @param failure why there is no measurement; empty if there is one
 */
public record CaseResult(int number, Optional<String> failure) {}
