// SPDX-License-Identifier: Apache-2.0
/**
 * What all long work shares: progress and cancelling, threads, seeded random numbers, files that are whole or absent, and
 * the error for unusable input.
 *
 * <p>Uses nothing of the project. Main types: {@link org.leiogauge.task.Progress}, {@link org.leiogauge.task.Workers},
 * {@link org.leiogauge.task.InputException}, {@link org.leiogauge.task.WholeFile}. It promises no fairness between
 * callers of one pool.
 */
package org.leiogauge.task;
