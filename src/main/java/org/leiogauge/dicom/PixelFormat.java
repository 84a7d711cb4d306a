// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.ByteBuffer;
import org.leiogauge.task.InputException;

/**
 * How stored values lie in the pixel data, and how they become real ones.
 *
 * <p>Source: PS3.3 C.7.6.3.1, PS3.5 section 8; float pixel data PS3.3 C.7.6.24.
 *
 * @param bits per pixel in the file: 1, 8, 16, 32 or 64
 * @param stored how many of them count
 * @param high the highest of these
 * @param isReal whether the values are floating point
 */
record PixelFormat(int rows, int columns, int frames, int bits, int stored, int high, boolean signed, boolean isReal) {
    private static final int MOST_FRAMES = 1 << 20;

    static PixelFormat of(DicomReader.Header header) throws InputException {
        DataSet set = header.set();
        int rows = set.needWhole(Tag.ROWS, 1, 65535);
        int columns = set.needWhole(Tag.COLUMNS, 1, 65535);
        int frames = set.has(Tag.NUMBER_OF_FRAMES) ? set.needWhole(Tag.NUMBER_OF_FRAMES, 1, MOST_FRAMES) : 1;
        if (header.pixelTag() == Tag.FLOAT_PIXEL_DATA)
            return new PixelFormat(rows, columns, frames, 32, 32, 31, true, true);
        if (header.pixelTag() == Tag.DOUBLE_FLOAT_PIXEL_DATA)
            return new PixelFormat(rows, columns, frames, 64, 64, 63, true, true);
        requireGrey(set);
        int bits = set.needWhole(Tag.BITS_ALLOCATED, 1, 32);
        if (bits != 1 && bits != 8 && bits != 16 && bits != 32)
            throw set.unusable(Tag.BITS_ALLOCATED, String.valueOf(bits), "1, 8, 16 or 32");
        int stored = set.has(Tag.BITS_STORED) ? set.needWhole(Tag.BITS_STORED, 1, bits) : bits;
        int high = set.has(Tag.HIGH_BIT) ? set.needWhole(Tag.HIGH_BIT, stored - 1, bits - 1) : stored - 1;
        boolean signed = set.whole(Tag.PIXEL_REPRESENTATION).orElse(0) == 1;
        return new PixelFormat(rows, columns, frames, bits, stored, high, signed, false);
    }

    private static void requireGrey(DataSet set) throws InputException {
        int samples = set.whole(Tag.SAMPLES_PER_PIXEL).orElse(1);
        if (samples != 1) throw set.unusable(Tag.SAMPLES_PER_PIXEL, String.valueOf(samples), "1, a grey image");
        String meaning = set.text(Tag.PHOTOMETRIC_INTERPRETATION).orElse("MONOCHROME2");
        if (!meaning.startsWith("MONOCHROME"))
            throw set.unusable(Tag.PHOTOMETRIC_INTERPRETATION, meaning, "MONOCHROME1 or MONOCHROME2");
    }

    /** Pixels of a frame; may not fit an {@code int}. */
    long pixels() {
        return (long) rows * columns;
    }

    /** Bytes of a frame; not for 1 bit per pixel. */
    long frameBytes() {
        return pixels() * (bits / 8);
    }

    /** Turns stored values in native form into real ones. */
    void scale(ByteBuffer bytes, float[] target, int at, int count, Scale scale) {
        if (isReal || bits == 32) {
            for (int i = 0; i < count; i++) target[at + i] = (float) scale.of(wide(bytes));
            return;
        }
        short[] raw = new short[count];
        if (bits == 16) bytes.asShortBuffer().get(raw);
        else for (int i = 0; i < count; i++) raw[i] = bytes.get();
        scale(raw, 0, target, at, count, scale);
    }

    private double wide(ByteBuffer bytes) {
        if (bits == 64) return bytes.getDouble();
        if (isReal) return bytes.getFloat();
        int value = bytes.getInt() << 31 - high;
        return signed ? value >> 32 - stored : Integer.toUnsignedLong(value) >>> 32 - stored;
    }

    /** Turns stored values of at most 16 bits into real ones. */
    void scale(short[] raw, int from, float[] target, int at, int count, Scale scale) {
        int up = 31 - high;
        int down = 32 - stored;
        double slope = scale.slope();
        double intercept = scale.intercept();
        if (signed)
            for (int i = 0; i < count; i++)
                target[at + i] = (float) ((raw[from + i] << up >> down) * slope + intercept);
        else
            for (int i = 0; i < count; i++)
                target[at + i] = (float) ((raw[from + i] << up >>> down) * slope + intercept);
    }
}
