// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.List;

/**
 * Run-length encoding of pixel data: the bytes of a frame, sorted into planes from the most significant one down, each
 * packed row by row.
 *
 * <p>Source: PS3.5 annex G.
 */
final class RunLengths {
    private static final int HEADER = 64;

    private RunLengths() {}

    /** The data set with its native pixel data encoded, one fragment per frame. */
    static DataSet encoded(DataSet set) {
        byte[] pixels = set.get(Tag.PIXEL_DATA).orElseThrow().littleEndian();
        int rows = number(set, Tag.ROWS);
        int columns = number(set, Tag.COLUMNS);
        int width = number(set, Tag.BITS_ALLOCATED) / 8;
        if (width == 0 || number(set, Tag.SAMPLES_PER_PIXEL) != 1)
            throw new IllegalArgumentException("pixel data must be whole bytes of one sample per pixel");
        int frame = rows * columns * width;
        List<ByteBuffer> fragments = new ArrayList<>();
        fragments.add(ByteBuffer.allocate(0));
        for (int at = 0; at + frame <= pixels.length; at += frame)
            fragments.add(ByteBuffer.wrap(encode(pixels, at, rows, columns, width)));
        return set.copy().put(Element.encapsulated(Tag.PIXEL_DATA, Vr.OB, fragments));
    }

    private static int number(DataSet set, int tag) {
        return set.texts(tag).isEmpty()
                ? 0
                : Short.toUnsignedInt(set.get(tag).orElseThrow().value().getShort());
    }

    // little-endian samples: the most significant byte is the last
    private static byte[] encode(byte[] pixels, int at, int rows, int columns, int width) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteBuffer header =
                ByteBuffer.allocate(HEADER).order(ByteOrder.LITTLE_ENDIAN).putInt(width);
        byte[] row = new byte[columns];
        for (int plane = width - 1; plane >= 0; plane--) {
            header.putInt(HEADER + out.size());
            for (int y = 0; y < rows; y++) {
                for (int x = 0; x < columns; x++) row[x] = pixels[at + (y * columns + x) * width + plane];
                pack(row, out);
            }
            if (out.size() % 2 == 1) out.write(0);
        }
        ByteArrayOutputStream all = new ByteArrayOutputStream(HEADER + out.size());
        all.writeBytes(header.array());
        all.writeBytes(out.toByteArray());
        return all.toByteArray();
    }

    // PS3.5 G.3.1
    private static void pack(byte[] row, ByteArrayOutputStream out) {
        for (int at = 0; at < row.length; ) {
            int run = run(row, at);
            if (run > 1) {
                out.write(1 - run);
                out.write(row[at]);
                at += run;
                continue;
            }
            int from = at;
            while (at < row.length && at - from < 128 && run(row, at) < 3) at++;
            out.write(at - from - 1);
            out.write(row, from, at - from);
        }
    }

    private static int run(byte[] row, int at) {
        int end = at + 1;
        while (end < row.length && end - at < 128 && row[end] == row[at]) end++;
        return end - at;
    }

    /**
     * The bytes of a frame, plane by plane, put back as little-endian samples.
     *
     * @return false if the code does not fit the frame
     */
    static boolean decode(ByteBuffer code, byte[] pixels, int samples) {
        ByteBuffer in = code.duplicate().order(ByteOrder.LITTLE_ENDIAN);
        if (in.remaining() < HEADER) return false;
        int start = in.position();
        int planes = in.getInt(start);
        if (planes < 1 || planes > 15 || pixels.length % planes != 0 || planes % samples != 0) return false;
        int count = pixels.length / planes;
        int width = planes / samples;
        for (int plane = 0; plane < planes; plane++) {
            int from = in.getInt(start + 4 + 4 * plane);
            int to = plane + 1 < planes ? in.getInt(start + 8 + 4 * plane) : in.remaining();
            if (from < HEADER || to < from || to > in.remaining()) return false;
            // segments come sample by sample, most significant byte first; pixels are interleaved
            int sample = plane / width;
            int offset = sample * width + width - 1 - plane % width;
            if (!unpack(in, start + from, start + to, pixels, offset, planes, count)) return false;
        }
        return true;
    }

    // PS3.5 G.3.2
    private static boolean unpack(ByteBuffer in, int from, int to, byte[] pixels, int offset, int step, int count) {
        int at = from;
        int done = 0;
        int out = offset;
        while (done < count) {
            if (at >= to) return false;
            int n = in.get(at++);
            if (n == -128) continue;
            int length = n >= 0 ? n + 1 : 1 - n;
            if (done + length > count || at + (n >= 0 ? length : 1) > to) return false;
            if (n >= 0) for (int i = 0; i < length; i++, out += step) pixels[out] = in.get(at++);
            else {
                byte value = in.get(at++);
                for (int i = 0; i < length; i++, out += step) pixels[out] = value;
            }
            done += length;
        }
        return true;
    }
}
