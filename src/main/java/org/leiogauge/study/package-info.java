/**
 * What a study holds: its series and the role of each, whether the protocol serves, and the case file that a reader keeps
 * beside it.
 *
 * <p>Uses {@code dicom} and {@code nifti}. Main types: {@link org.leiogauge.study.Study},
 * {@link org.leiogauge.study.Role}, {@link org.leiogauge.study.CaseFile}. A role is a proposal with a reason, never
 * silently final: the case file overrides it.
 */
package org.leiogauge.study;
