// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Arrays;

/**
 * The texts of one column in one row group: each text once, and per row the number of its text.
 *
 * <p>Source: Apache Parquet, file format 2.10: encodings PLAIN (of the texts) and RLE_DICTIONARY (of their numbers).
 */
final class ParquetTexts {
    private static final int LEAST_RUN = 8;

    // the texts one behind the other, each behind its length in four bytes, the lowest first
    private byte[] plain = new byte[1 << 12];
    private int[] begins = new int[1 << 8];
    private int texts;
    // which text came behind this one the last time, as most cases have the same rows
    private int[] following = new int[1 << 8];
    // open addressing: number of a text + 1, 0 for a free place
    private int[] places = new int[1 << 9];

    private final int[] numbers;
    private int rows;

    /** @param most rows that a group has */
    ParquetTexts(int most) {
        numbers = new int[most];
    }

    void add(byte[] bytes, int from, int to) {
        int before = rows == 0 ? 0 : numbers[rows - 1];
        int guess = following[before];
        int number = guess < texts && is(guess, bytes, from, to) ? guess : numberOf(bytes, from, to);
        following[before] = number;
        numbers[rows++] = number;
    }

    private boolean is(int text, byte[] bytes, int from, int to) {
        return Arrays.equals(plain, begins[text] + Integer.BYTES, begins[text + 1], bytes, from, to);
    }

    private int numberOf(byte[] bytes, int from, int to) {
        int place = place(bytes, from, to, places.length);
        for (; places[place] > 0; place = place + 1 & places.length - 1)
            if (is(places[place] - 1, bytes, from, to)) return places[place] - 1;
        places[place] = texts + 1;
        append(bytes, from, to);
        if (texts * 2 > places.length) growPlaces();
        return texts - 1;
    }

    private void append(byte[] bytes, int from, int to) {
        int begin = begins[texts];
        int end = begin + Integer.BYTES + to - from;
        if (end > plain.length) plain = Arrays.copyOf(plain, Math.max(end, 2 * plain.length));
        littleEndian(plain).putInt(begin, to - from);
        System.arraycopy(bytes, from, plain, begin + Integer.BYTES, to - from);
        texts++;
        if (texts == begins.length) {
            begins = Arrays.copyOf(begins, 2 * texts);
            following = Arrays.copyOf(following, 2 * texts);
        }
        begins[texts] = end;
    }

    private void growPlaces() {
        places = new int[2 * places.length];
        for (int text = 0; text < texts; text++) {
            int place = place(plain, begins[text] + Integer.BYTES, begins[text + 1], places.length);
            while (places[place] > 0) place = place + 1 & places.length - 1;
            places[place] = text + 1;
        }
    }

    private static int place(byte[] bytes, int from, int to, int places) {
        int hash = 0;
        for (int i = from; i < to; i++) hash = 31 * hash + bytes[i];
        return (hash ^ hash >>> 15) & places - 1;
    }

    int texts() {
        return texts;
    }

    /** The page of the texts. */
    byte[] dictionary() {
        return Arrays.copyOf(plain, begins[texts]);
    }

    /** The page of their numbers: how many bits each has, then runs of one number and groups of eight packed ones. */
    byte[] page() {
        int bits = Integer.SIZE - Integer.numberOfLeadingZeros(Math.max(0, texts - 1));
        ByteArrayOutputStream page = new ByteArrayOutputStream();
        page.write(bits);
        for (int at = 0; at < rows; ) {
            int run = run(at);
            if (run >= LEAST_RUN) {
                writeRun(page, run, numbers[at], bits);
                at += run;
            } else {
                int end = at + LEAST_RUN;
                while (end < rows && run(end) < LEAST_RUN) end += LEAST_RUN;
                writePacked(page, at, end, bits);
                at = end;
            }
        }
        return page.toByteArray();
    }

    private int run(int from) {
        int to = from + 1;
        while (to < rows && numbers[to] == numbers[from]) to++;
        return to - from;
    }

    private static void writeRun(ByteArrayOutputStream page, int length, int number, int bits) {
        writeLength(page, length << 1);
        for (int shift = 0; shift < bits; shift += Byte.SIZE) page.write(number >>> shift);
    }

    // What is missing in the last group of the page is 0.
    private void writePacked(ByteArrayOutputStream page, int from, int to, int bits) {
        writeLength(page, (to - from) / LEAST_RUN << 1 | 1);
        long waiting = 0;
        int filled = 0;
        for (int i = from; i < to; i++) {
            waiting |= (long) (i < rows ? numbers[i] : 0) << filled;
            filled += bits;
            for (; filled >= Byte.SIZE; filled -= Byte.SIZE) {
                page.write((int) waiting);
                waiting >>>= Byte.SIZE;
            }
        }
    }

    /** A number of any size, seven bits to a byte, the lowest first. */
    static void writeLength(ByteArrayOutputStream out, int length) {
        int left = length;
        for (; left >= 0x80; left >>>= 7) out.write(left & 0x7f | 0x80);
        out.write(left);
    }

    void clear() {
        texts = 0;
        rows = 0;
        Arrays.fill(places, 0);
    }

    private static ByteBuffer littleEndian(byte[] bytes) {
        return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }
}
