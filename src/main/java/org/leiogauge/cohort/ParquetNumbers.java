// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/**
 * The numbers of one column in one row group, some of which may be absent.
 *
 * <p>Source: Apache Parquet, file format 2.10: data page v1, encodings PLAIN (of the numbers) and RLE (of which are there).
 */
final class ParquetNumbers {
    private final double[] values;
    private int present;
    // runs of rows with and without a number
    private final ByteArrayOutputStream runs = new ByteArrayOutputStream();
    private boolean inNumbers;
    private int run;

    /** @param most rows that a group has */
    ParquetNumbers(int most) {
        values = new double[most];
    }

    void add(double value) {
        if (!inNumbers) turn();
        run++;
        values[present++] = value;
    }

    void addNone() {
        if (inNumbers) turn();
        run++;
    }

    private void turn() {
        endRun();
        inNumbers = !inNumbers;
    }

    private void endRun() {
        if (run > 0) {
            ParquetTexts.writeLength(runs, run << 1);
            runs.write(inNumbers ? 1 : 0);
        }
        run = 0;
    }

    byte[] page() {
        endRun();
        ByteBuffer page = ByteBuffer.allocate(Integer.BYTES + runs.size() + present * Double.BYTES)
                .order(ByteOrder.LITTLE_ENDIAN);
        page.putInt(runs.size()).put(runs.toByteArray());
        page.asDoubleBuffer().put(values, 0, present);
        return page.array();
    }

    void clear() {
        present = 0;
        runs.reset();
    }
}
