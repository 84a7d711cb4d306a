// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

/** From stored to real values: value · slope + intercept (PS3.3 C.7.6.16.2.9 and .11). */
record Scale(double slope, double intercept) {
    static final Scale NONE = new Scale(1, 0);

    double of(double stored) {
        return stored * slope + intercept;
    }
}
