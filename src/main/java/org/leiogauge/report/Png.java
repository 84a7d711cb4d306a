// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.zip.CRC32;
import java.util.zip.Deflater;

/**
 * A picture as PNG: red, green and blue, 8 bits each, without transparency.
 *
 * <p>Each row is written by the filter, of Sub, Up and Paeth, whose differences are smallest in sum. The Java platform's
 * own writer does as much, but spends a second before it is warm.
 *
 * <p>Source: W3C, Portable Network Graphics specification, sections 5 (chunks), 9 (filters), 12.8 (choice of filter).
 */
final class Png {
    private static final byte[] SIGNATURE = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};
    private static final byte[] RGB_8_BITS = {8, 2, 0, 0, 0};
    private static final int SUB = 1;
    private static final int UP = 2;
    private static final int PAETH = 4;
    private static final int LEVEL = 4;

    private Png() {}

    static byte[] of(BufferedImage image) {
        int width = image.getWidth();
        int height = image.getHeight();
        try {
            ByteArrayOutputStream bytes = new ByteArrayOutputStream();
            DataOutputStream out = new DataOutputStream(bytes);
            out.write(SIGNATURE);
            ByteArrayOutputStream header = new ByteArrayOutputStream();
            DataOutputStream head = new DataOutputStream(header);
            head.writeInt(width);
            head.writeInt(height);
            head.write(RGB_8_BITS);
            chunk(out, "IHDR", header.toByteArray(), header.size());
            byte[] packed = new byte[height * (3 * width + 1) + height / 2 + 1024];
            chunk(out, "IDAT", packed, pack(filtered(image), packed));
            chunk(out, "IEND", new byte[0], 0);
            return bytes.toByteArray();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void chunk(DataOutputStream out, String type, byte[] data, int length) throws IOException {
        byte[] name = type.getBytes(StandardCharsets.US_ASCII);
        CRC32 crc = new CRC32();
        crc.update(name);
        crc.update(data, 0, length);
        out.writeInt(length);
        out.write(name);
        out.write(data, 0, length);
        out.writeInt((int) crc.getValue());
    }

    // The room is enough for stored blocks, so all goes in at once.
    private static int pack(byte[] rows, byte[] into) {
        Deflater deflater = new Deflater(LEVEL);
        try {
            deflater.setInput(rows);
            deflater.finish();
            int n = deflater.deflate(into);
            if (!deflater.finished()) throw new IllegalStateException("a picture does not fit its room");
            return n;
        } finally {
            deflater.end();
        }
    }

    private static byte[] filtered(BufferedImage image) {
        int length = 3 * image.getWidth();
        byte[] all = new byte[image.getHeight() * (length + 1)];
        int[] pixels = new int[image.getWidth()];
        // three values of 0 before each row stand for the pixel to the left of the first
        int[] row = new int[length + 3];
        int[] above = new int[length + 3];
        for (int y = 0; y < image.getHeight(); y++) {
            image.getRGB(0, y, pixels.length, 1, pixels, 0, pixels.length);
            for (int x = 0; x < pixels.length; x++) {
                row[3 * x + 3] = pixels[x] >> 16 & 0xff;
                row[3 * x + 4] = pixels[x] >> 8 & 0xff;
                row[3 * x + 5] = pixels[x] & 0xff;
            }
            write(row, above, all, y * (length + 1));
            int[] swap = above;
            above = row;
            row = swap;
        }
        return all;
    }

    private static void write(int[] row, int[] above, byte[] to, int at) {
        int sub = 0;
        int up = 0;
        int paeth = 0;
        // one colour speaks for all three
        for (int i = 4; i < row.length; i += 3) {
            sub += Math.abs((byte) (row[i] - row[i - 3]));
            up += Math.abs((byte) (row[i] - above[i]));
            paeth += Math.abs((byte) (row[i] - paeth(row[i - 3], above[i], above[i - 3])));
        }
        int filter = sub <= up && sub <= paeth ? SUB : up <= paeth ? UP : PAETH;
        to[at] = (byte) filter;
        for (int i = 3; i < row.length; i++) {
            int guess =
                    filter == SUB ? row[i - 3] : filter == UP ? above[i] : paeth(row[i - 3], above[i], above[i - 3]);
            to[at + i - 2] = (byte) (row[i] - guess);
        }
    }

    // Of left, above and above left the one nearest to left + above - above left.
    private static int paeth(int left, int above, int corner) {
        int a = Math.abs(above - corner);
        int b = Math.abs(left - corner);
        int c = Math.abs(left + above - 2 * corner);
        return a <= b && a <= c ? left : b <= c ? above : corner;
    }
}
