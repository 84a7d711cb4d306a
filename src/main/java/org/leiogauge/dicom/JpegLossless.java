// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.Arrays;
import java.util.Optional;

/**
 * Decoder of lossless JPEG with Huffman coding (process 14), one component, 2 to 16 bits, all seven predictors.
 *
 * <p>Source: ITU-T T.81 annex H; Huffman decoding annexes C and F.2.2; the signs of differences table H.2.
 */
final class JpegLossless {
    private static final int FAST = 11;

    private final byte[] code;
    private final JpegFrame frame;
    private final short[] samples;
    private int at = 2;
    private int interval;
    private HuffmanTable[] tables = new HuffmanTable[4];
    // bits that are read but not used, the next one in front
    private long bits;
    private int held;
    private int invented;

    private JpegLossless(byte[] code, JpegFrame frame) {
        this.code = code;
        this.frame = frame;
        this.samples = new short[frame.rows() * frame.columns()];
    }

    /**
     * The samples, row by row; those above 32767 as negative numbers.
     *
     * @param frame header of the same code, whose size the caller has found to be right
     * @return nothing if the code is broken
     */
    static Optional<short[]> decode(byte[] code, JpegFrame frame) {
        if (frame.marker() != JpegFrame.LOSSLESS || frame.components() != 1) return Optional.empty();
        if (frame.precision() < 2 || frame.precision() > 16) return Optional.empty();
        JpegLossless decoder = new JpegLossless(code, frame);
        return decoder.readMarkers() ? Optional.of(decoder.samples) : Optional.empty();
    }

    private boolean readMarkers() {
        while (at + 4 <= code.length) {
            if ((code[at] & 0xFF) != 0xFF) return false;
            int marker = code[at + 1] & 0xFF;
            if (marker == 0xFF) {
                at++;
                continue;
            }
            int length = JpegFrame.word(code, at + 2);
            int end = at + 2 + length;
            if (length < 2 || end > code.length) return false;
            int body = at + 4;
            if (marker == 0xC4 && !readTables(body, end)) return false;
            if (marker == 0xDD && length == 4) interval = JpegFrame.word(code, body);
            at = end;
            if (marker == 0xDA) return length == 8 && readScan(body);
        }
        return false;
    }

    private boolean readTables(int from, int end) {
        int next = from;
        while (next < end) {
            int slot = code[next] & 0xFF;
            Optional<HuffmanTable> table = HuffmanTable.read(code, next + 1, end);
            if (slot > 3 || table.isEmpty()) return false;
            tables[slot] = table.get();
            next += 17 + table.get().size();
        }
        return true;
    }

    // H.1.2: Ss is the predictor, Al the point transform
    private boolean readScan(int body) {
        int slot = (code[body + 2] & 0xFF) >> 4;
        int predictor = code[body + 3];
        int shift = code[body + 5] & 0xF;
        if (code[body] != 1 || slot > 3 || tables[slot] == null) return false;
        if (predictor < 1 || predictor > 7 || shift >= frame.precision()) return false;
        return decodeRows(tables[slot], predictor, shift);
    }

    private boolean decodeRows(HuffmanTable table, int predictor, int shift) {
        int columns = frame.columns();
        int start = 1 << (frame.precision() - shift - 1);
        if (interval % columns != 0) return false; // H.1.2.3: whole rows
        int rowsPerInterval = interval == 0 ? Integer.MAX_VALUE : interval / columns;
        for (int y = 0; y < frame.rows(); y++) {
            boolean first = y % rowsPerInterval == 0;
            if (first && y > 0 && !restart()) return false;
            int row = y * columns;
            // H.1.2.1: the first row is predicted from the left, the first column from above
            samples[row] = (short) ((first ? start : samples[row - columns]) + difference(table));
            decodeRow(table, first ? 1 : predictor, row + 1, row + columns, columns);
            if (invented > 64) return false;
        }
        if (shift > 0) for (int i = 0; i < samples.length; i++) samples[i] <<= shift;
        return true;
    }

    // Table H.1, with Ra to the left, Rb above, Rc above to the left; modulo 2¹⁶
    private void decodeRow(HuffmanTable table, int predictor, int from, int to, int columns) {
        if (predictor == 1) {
            int left = samples[from - 1];
            for (int i = from; i < to; i++) samples[i] = (short) (left += difference(table));
            return;
        }
        for (int i = from; i < to; i++) {
            int a = samples[i - 1] & 0xFFFF;
            int b = samples[i - columns] & 0xFFFF;
            int c = samples[i - columns - 1] & 0xFFFF;
            int prediction =
                    switch (predictor) {
                        case 2 -> b;
                        case 3 -> c;
                        case 4 -> a + b - c;
                        case 5 -> a + (b - c >> 1);
                        case 6 -> b + (a - c >> 1);
                        default -> a + b >> 1;
                    };
            samples[i] = (short) (prediction + difference(table));
        }
    }

    private int difference(HuffmanTable table) {
        if (held < 48) fill();
        int quick = table.quick((int) (bits >>> 64 - FAST));
        int size;
        if (quick != 0) {
            drop(quick & 0xFF);
            size = quick >> 8;
        } else {
            int entry = table.slow((int) (bits >>> 48));
            drop(entry & 0xFF);
            size = entry >> 8;
        }
        if (size == 0) return 0;
        if (size == 16) return 32768; // table H.2: no further bits
        int value = (int) (bits >>> 64 - size);
        drop(size);
        return value < 1 << size - 1 ? value - (1 << size) + 1 : value;
    }

    private void drop(int count) {
        bits <<= count;
        held -= count;
    }

    // Behind the end of the scan come zeros, which are counted.
    private void fill() {
        while (held <= 56) {
            int next = 0;
            if (at < code.length && (code[at] & 0xFF) != 0xFF) next = code[at++] & 0xFF;
            else if (at + 1 < code.length && code[at + 1] == 0) {
                next = 0xFF; // F.1.2.3: a stuffed zero
                at += 2;
            } else invented += 8;
            bits |= (long) next << 56 - held;
            held += 8;
        }
    }

    private boolean restart() {
        bits = 0;
        held = 0;
        invented = 0;
        while (at + 1 < code.length && (code[at] & 0xFF) != 0xFF) at++;
        if (at + 1 >= code.length || (code[at + 1] & 0xF8) != 0xD0) return false;
        at += 2;
        return true;
    }

    /** Codes of up to 16 bits; an entry is size category · 256 + length of its code. */
    private static final class HuffmanTable {
        private final short[] quick = new short[1 << FAST];
        private final int[] lastCode = new int[17];
        private final int[] firstValue = new int[17];
        private final byte[] values;

        private HuffmanTable(byte[] values) {
            this.values = values;
        }

        static Optional<HuffmanTable> read(byte[] code, int from, int end) {
            if (from + 16 > end) return Optional.empty();
            int count = 0;
            for (int i = 0; i < 16; i++) count += code[from + i] & 0xFF;
            if (count == 0 || count > 256 || from + 16 + count > end) return Optional.empty();
            HuffmanTable table = new HuffmanTable(Arrays.copyOfRange(code, from + 16, from + 16 + count));
            return table.build(code, from) ? Optional.of(table) : Optional.empty();
        }

        // C.2: codes of one length follow each other, those of the next begin at twice that
        private boolean build(byte[] code, int from) {
            int next = 0;
            int value = 0;
            for (int length = 1; length <= 16; length++) {
                firstValue[length] = value - next;
                int count = code[from + length - 1] & 0xFF;
                if (next + count > 1 << length) return false;
                for (int i = 0; i < count; i++, next++, value++) {
                    if (values[value] < 0 || values[value] > 16) return false;
                    if (length > FAST) continue;
                    int first = next << FAST - length;
                    Arrays.fill(quick, first, first + (1 << FAST - length), (short) (values[value] << 8 | length));
                }
                lastCode[length] = count == 0 ? -1 : next - 1;
                next <<= 1;
            }
            return true;
        }

        int size() {
            return values.length;
        }

        int quick(int start) {
            return quick[start];
        }

        int slow(int start) {
            for (int length = FAST + 1; length <= 16; length++) {
                int word = start >> 16 - length;
                if (word <= lastCode[length]) return values[firstValue[length] + word] << 8 | length;
            }
            return 16; // no such code: skip, the picture is broken
        }
    }
}
