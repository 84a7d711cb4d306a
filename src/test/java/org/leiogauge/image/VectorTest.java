// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class VectorTest {
    // Oracle: DICOM PS3.3 C.7.6.2.1.1: x grows to the patient's left, y to the back, z to the head.
    @Test
    void thePatientsSideIsThatOfTheLongestShare() {
        assertThat(new Vector(1, 0, 0).patientSide()).isEqualTo("L");
        assertThat(new Vector(-0.8, 0.5, 0.3).patientSide()).isEqualTo("R");
        assertThat(new Vector(0.2, 0.9, -0.4).patientSide()).isEqualTo("P");
        assertThat(new Vector(0, -1, 0).patientSide()).isEqualTo("A");
        assertThat(new Vector(0.1, 0.1, 0.98).patientSide()).isEqualTo("H");
        assertThat(new Vector(0.3, -0.3, -0.9).patientSide()).isEqualTo("F");
    }
}
