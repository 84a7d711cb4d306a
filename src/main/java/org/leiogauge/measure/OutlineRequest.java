// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.Optional;

/**
 * One rough outline to refine.
 *
 * @param study the study's folder
 * @param rough RTSTRUCT, SEG or NIfTI mask, on a few slices or on all, or a YAML file with a click or an ellipse
 * @param roi which region of the outline's file; may be absent where it holds one
 */
public record OutlineRequest(Path study, Path rough, Optional<String> roi, OutlineSettings settings) {}
