// SPDX-License-Identifier: Apache-2.0
/**
 * Registration between series of one patient, and what is left over.
 *
 * <p>Uses {@code task}, {@code image}, {@code table}. Opens no file. Main types: {@link org.leiogauge.align.Alignment},
 * {@link org.leiogauge.align.RigidTransform}, {@link org.leiogauge.align.Correspondence}. It promises nothing about
 * organs that move against each other: one correspondence is found for the neighbourhood of one lesion. It never says
 * that it improved on the patient coordinates unless the images say so themselves.
 */
package org.leiogauge.align;
