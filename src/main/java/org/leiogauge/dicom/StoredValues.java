// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/**
 * Real values as 16-bit numbers with a slope and an intercept.
 *
 * <p>Whole numbers from −32768 to 32767 or from 0 to 65535 are stored as they are; others are spread over 0 to 65535, exact to half a
 * step. NaN is stored as the lowest value.
 */
record StoredValues(boolean signed, double slope, double intercept) {

    static StoredValues of(float[] values) {
        double min = Double.POSITIVE_INFINITY;
        double max = Double.NEGATIVE_INFINITY;
        boolean whole = true;
        for (float value : values) {
            if (Float.isNaN(value)) continue;
            min = Math.min(min, value);
            max = Math.max(max, value);
            whole &= value == Math.rint(value);
        }
        if (min > max) return new StoredValues(false, 1, 0);
        if (whole && min >= 0 && max <= 65535) return new StoredValues(false, 1, 0);
        if (whole && min >= Short.MIN_VALUE && max <= Short.MAX_VALUE) return new StoredValues(true, 1, 0);
        // what the reader will see is the rounded text of DS
        double slope = max > min ? Double.parseDouble(DecimalText.of((max - min) / 65535)) : 1;
        return new StoredValues(false, slope, Double.parseDouble(DecimalText.of(min)));
    }

    byte[] bytes(float[] values, int from, int count) {
        ByteBuffer out = ByteBuffer.allocate(2 * count).order(ByteOrder.LITTLE_ENDIAN);
        for (int i = 0; i < count; i++) {
            long stored = Float.isNaN(values[from + i]) ? 0 : Math.round((values[from + i] - intercept) / slope);
            out.putShort((short) Math.max(signed ? -32768 : 0, Math.min(signed ? 32767 : 65535, stored)));
        }
        return out.array();
    }

    /** PS3.3 C.7.6.3, and C.11.1 for the scale. */
    DataSet describe(DataSet set) {
        return set.put(Tag.SAMPLES_PER_PIXEL, 1)
                .put(Tag.PHOTOMETRIC_INTERPRETATION, "MONOCHROME2")
                .put(Tag.BITS_ALLOCATED, 16)
                .put(Tag.BITS_STORED, 16)
                .put(Tag.HIGH_BIT, 15)
                .put(Tag.PIXEL_REPRESENTATION, signed ? 1 : 0);
    }

    DataSet scale(DataSet set) {
        return set.put(Tag.RESCALE_INTERCEPT, intercept)
                .put(Tag.RESCALE_SLOPE, slope)
                .put(Tag.RESCALE_TYPE, "US");
    }
}
