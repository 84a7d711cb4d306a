// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.Optional;

/**
 * The frame header of a JPEG or JPEG-LS stream.
 *
 * <p>Source: ITU-T T.81 B.2.2; ITU-T T.87 C.2.2 for marker 0xF7.
 *
 * @param marker the second byte of the start-of-frame marker, which tells the process
 */
record JpegFrame(int marker, int precision, int rows, int columns, int components) {
    static final int BASELINE = 0xC0;
    static final int EXTENDED = 0xC1;
    static final int LOSSLESS = 0xC3;
    static final int JPEG_LS = 0xF7;

    /** The first frame header; none if the stream has no sound one. */
    static Optional<JpegFrame> of(byte[] code) {
        int at = 2;
        while (at + 4 <= code.length && (code[at] & 0xFF) == 0xFF) {
            int marker = code[at + 1] & 0xFF;
            if (marker == 0xFF) {
                at++;
                continue;
            }
            if (isFrame(marker)) return read(code, at, marker);
            at += 2 + word(code, at + 2);
        }
        return Optional.empty();
    }

    private static Optional<JpegFrame> read(byte[] code, int at, int marker) {
        if (at + 10 > code.length) return Optional.empty();
        return Optional.of(new JpegFrame(
                marker, code[at + 4] & 0xFF, word(code, at + 5), word(code, at + 7), code[at + 9] & 0xFF));
    }

    // C4, C8 and CC are tables and extensions
    private static boolean isFrame(int marker) {
        return marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC
                || marker == JPEG_LS;
    }

    static int word(byte[] code, int at) {
        return (code[at] & 0xFF) << 8 | code[at + 1] & 0xFF;
    }
}
