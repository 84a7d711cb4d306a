// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.leiogauge.task.InputException;

/**
 * Pixel data without what may stand beside the pixels: bytes behind the last frame, comments and application data in JPEG and
 * JPEG 2000 code.
 *
 * <p>Source: ITU-T T.81 annex B, T.800 annex A; PS3.5 A.4.
 */
final class CleanPixels {
    private CleanPixels() {}

    /** @throws InputException if the code is not what its transfer syntax says */
    static Element of(DicomReader.Header file) throws InputException {
        Element pixels = file.set().get(file.pixelTag()).orElseThrow();
        PixelFormat format = PixelFormat.of(file);
        if (pixels.isEncapsulated() != file.syntax().isEncapsulated())
            throw refused(file, "pixel data in another form than the transfer syntax says");
        if (pixels.isEncapsulated()) return code(file, pixels, format);
        byte[] bytes = pixels.littleEndian();
        long needed = format.bits() == 1
                ? (format.pixels() * format.frames() + 7) / 8
                : format.frameBytes() * format.frames();
        if (bytes.length < needed) throw refused(file, bytes.length + " bytes of pixel data for " + needed);
        return Element.bytes(
                file.pixelTag(), pixels.vr() == Vr.UN ? Vr.OW : pixels.vr(), Arrays.copyOf(bytes, (int) needed));
    }

    private static Element code(DicomReader.Header file, Element pixels, PixelFormat format) throws InputException {
        List<ByteBuffer> fragments = new ArrayList<>();
        // an empty offset table, and one fragment for each frame
        fragments.add(ByteBuffer.allocate(0));
        for (byte[] frame : FrameReader.Fragments.frames(file.file(), pixels.fragments(), format.frames()))
            fragments.add(ByteBuffer.wrap(clean(file, frame)));
        return Element.encapsulated(file.pixelTag(), Vr.OB, fragments);
    }

    private static byte[] clean(DicomReader.Header file, byte[] frame) throws InputException {
        Optional<byte[]> clean =
                switch (file.syntax()) {
                    case RLE -> Optional.of(frame);
                    case JPEG_2000, JPEG_2000_LOSSLESS -> jpeg2000(frame);
                    default -> jpeg(frame);
                };
        return clean.orElseThrow(() -> refused(file, "compressed pixel data with broken marker segments"));
    }

    private static InputException refused(DicomReader.Header file, String found) {
        return new InputException(
                file.file(),
                Tag.text(file.pixelTag()),
                found,
                "whole pixel data as " + file.syntax().name());
    }

    /** None if the code is broken. */
    static Optional<byte[]> jpeg(byte[] code) {
        ByteArrayOutputStream out = new ByteArrayOutputStream(code.length);
        int at = 0;
        while (at + 1 < code.length) {
            int marker = code[at + 1] & 0xFF;
            boolean isMarker = (code[at] & 0xFF) == 0xFF && marker >= 0xC0 && marker != 0xFF;
            boolean standsAlone = marker >= 0xD0 && marker <= 0xD9;
            if (!isMarker || standsAlone) {
                // entropy-coded data, where what follows a byte 0xFF is no marker, and markers without a length
                out.write(code[at++]);
                if (isMarker) out.write(code[at++]);
                if (isMarker && marker == 0xD9) return Optional.of(even(out));
                continue;
            }
            if (at + 3 >= code.length) return Optional.empty();
            int end = at + 2 + ((code[at + 2] & 0xFF) << 8 | code[at + 3] & 0xFF);
            if (end > code.length) return Optional.empty();
            // the colour transform of Adobe's segment serves colour images alone, and these are grey
            boolean isText = marker >= 0xE0 && marker <= 0xEF || marker == 0xFE;
            if (!isText) out.write(code, at, end - at);
            at = end;
        }
        return Optional.empty();
    }

    /** None if the code is broken, or has a comment where taking it out would change lengths. */
    static Optional<byte[]> jpeg2000(byte[] code) {
        ByteBuffer in = ByteBuffer.wrap(code).order(ByteOrder.BIG_ENDIAN);
        if (code.length < 4 || in.getShort(0) != (short) 0xFF4F) return Optional.empty();
        ByteArrayOutputStream out = new ByteArrayOutputStream(code.length);
        out.write(code, 0, 2);
        int at = 2;
        while (at + 4 <= code.length) {
            int marker = Short.toUnsignedInt(in.getShort(at));
            if (marker == 0xFF90) break;
            int end = at + 2 + Short.toUnsignedInt(in.getShort(at + 2));
            if (marker < 0xFF00 || end > code.length) return Optional.empty();
            if (marker != 0xFF64) out.write(code, at, end - at);
            at = end;
        }
        return tiles(in, at, out) ? Optional.of(even(out)) : Optional.empty();
    }

    // Tile parts: SOT with the part's length, further segments, SOD and the data.
    private static boolean tiles(ByteBuffer in, int from, ByteArrayOutputStream out) {
        int at = from;
        byte[] code = in.array();
        while (at + 12 <= code.length && in.getShort(at) == (short) 0xFF90) {
            long length = Integer.toUnsignedLong(in.getInt(at + 6));
            // the last part may leave its length open
            long end = length == 0 ? lastEnd(code) : at + length;
            if (end > code.length || end < at + 14) return false;
            int segment = at + 12;
            while (segment + 2 <= end && in.getShort(segment) != (short) 0xFF93) {
                boolean isComment = in.getShort(segment) == (short) 0xFF64;
                if (isComment || segment + 4 > end) return false;
                segment += 2 + Short.toUnsignedInt(in.getShort(segment + 2));
            }
            out.write(code, at, (int) end - at);
            at = (int) end;
        }
        if (at == from) return false;
        out.write(0xFF);
        out.write(0xD9);
        return true;
    }

    private static long lastEnd(byte[] code) {
        for (int i = code.length - 2; i >= 0; i--) if (code[i] == (byte) 0xFF && code[i + 1] == (byte) 0xD9) return i;
        return code.length;
    }

    private static byte[] even(ByteArrayOutputStream out) {
        if (out.size() % 2 == 1) out.write(0);
        return out.toByteArray();
    }
}
