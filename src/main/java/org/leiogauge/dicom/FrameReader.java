// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.task.InputException;

/**
 * The frames of one image object, decoded one at a time.
 *
 * <p>Native pixel data are read from the file in pieces; compressed ones need the whole file. The memory that a frame claims
 * is checked against what its code can hold before it is asked for.
 */
final class FrameReader {
    private static final int PIECE = 1 << 18;
    private static final ThreadLocal<ByteBuffer> BUFFER =
            ThreadLocal.withInitial(() -> ByteBuffer.allocateDirect(PIECE));

    private final DicomReader.Header header;
    private final PixelFormat format;
    private List<byte[]> codes = List.of();
    private Optional<ByteBuffer> inflated = Optional.empty();

    private FrameReader(DicomReader.Header header, PixelFormat format) {
        this.header = header;
        this.format = format;
    }

    static FrameReader open(DicomReader.Header header) throws IOException, InputException {
        PixelFormat format = PixelFormat.of(header);
        FrameReader reader = new FrameReader(header, format);
        if (header.pixelTag() == 0)
            throw new InputException(header.file(), Tag.text(Tag.PIXEL_DATA), "nothing", "pixel data");
        if (header.syntax().isEncapsulated() || header.pixelLength() < 0 || header.pixelOffset() < 0) reader.load();
        reader.requireEnough();
        return reader;
    }

    PixelFormat format() {
        return format;
    }

    private void load() throws IOException, InputException {
        Element pixels = DicomReader.readFile(header.file())
                .set()
                .get(header.pixelTag())
                .orElseThrow(
                        () -> new InputException(header.file(), Tag.text(header.pixelTag()), "nothing", "pixel data"));
        if (pixels.isEncapsulated() != header.syntax().isEncapsulated())
            throw unusable(
                    "pixel data in another form than the transfer syntax says",
                    header.syntax().name());
        if (pixels.isEncapsulated()) codes = Fragments.frames(header.file(), pixels.fragments(), format.frames());
        else inflated = Optional.of(pixels.value());
    }

    private void requireEnough() throws InputException {
        if (!codes.isEmpty()) return;
        long have = inflated.map(b -> (long) b.remaining()).orElse(header.pixelLength());
        long need = format.bits() == 1
                ? (format.pixels() * format.frames() + 7) / 8
                : format.frameBytes() * format.frames();
        if (have < need) throw unusable(have + " bytes", need + " bytes for " + words());
    }

    private String words() {
        return format.columns() + " × " + format.rows() + " pixels in " + format.frames() + " frames of "
                + format.bits() + " bits";
    }

    /** The real values of a frame, row by row, into {@code target} from {@code at} on. */
    void read(int frame, float[] target, int at, Scale scale) throws IOException, InputException {
        if (format.bits() == 1) throw unusable("1 bit per pixel", "8, 16 or 32");
        if (!codes.isEmpty()) decode(codes.get(frame), target, at, scale);
        else if (inflated.isPresent()) {
            ByteBuffer bytes = inflated.get();
            ByteBuffer part = bytes.slice((int) (frame * format.frameBytes()), (int) format.frameBytes());
            scaleNative(part.order(bytes.order()), target, at, (int) format.pixels(), scale);
        } else readNative(frame, target, at, scale);
    }

    /** The bits of all frames of a binary segmentation, packed from the least significant bit on (PS3.5 8.2). */
    ByteBuffer packedBits() throws IOException, InputException {
        if (!codes.isEmpty()) throw unusable("compressed bits", "native ones");
        if (inflated.isPresent()) return inflated.get();
        long need = (format.pixels() * format.frames() + 7) / 8;
        if (need > Integer.MAX_VALUE - 8) throw unusable(need + " bytes", "fewer than 2³¹");
        ByteBuffer all = ByteBuffer.allocate((int) need);
        try (FileChannel channel = FileChannel.open(header.file(), StandardOpenOption.READ)) {
            DicomReader.fill(channel, all, header.pixelOffset());
        }
        if (all.hasRemaining()) throw unusable("a file that breaks off", "whole pixel data");
        return all.flip();
    }

    private void readNative(int frame, float[] target, int at, Scale scale) throws IOException, InputException {
        int width = format.bits() / 8;
        ByteBuffer buffer = BUFFER.get().order(header.syntax().order());
        long from = header.pixelOffset() + frame * format.frameBytes();
        int left = (int) format.pixels();
        int to = at;
        try (FileChannel channel = FileChannel.open(header.file(), StandardOpenOption.READ)) {
            while (left > 0) {
                int count = Math.min(left, PIECE / width);
                buffer.clear().limit(count * width);
                DicomReader.fill(channel, buffer, from);
                if (buffer.hasRemaining()) throw unusable("a file that breaks off", "whole pixel data");
                scaleNative(buffer.flip(), target, to, count, scale);
                from += (long) count * width;
                to += count;
                left -= count;
            }
        }
    }

    // PS3.5 8.1.1: bytes in 16-bit words are turned round in big-endian files
    private void scaleNative(ByteBuffer bytes, float[] target, int at, int count, Scale scale) {
        if (format.bits() != 8 || bytes.order() == ByteOrder.LITTLE_ENDIAN) {
            format.scale(bytes, target, at, count, scale);
            return;
        }
        byte[] turned = new byte[count];
        int start = bytes.position();
        for (int i = 0; i < count; i++) turned[i] = bytes.get(start + Math.min(i ^ 1, bytes.remaining() - 1));
        format.scale(ByteBuffer.wrap(turned), target, at, count, scale);
    }

    private void decode(byte[] code, float[] target, int at, Scale scale) throws InputException {
        requirePlausible(code);
        int count = (int) format.pixels();
        if (header.syntax() == TransferSyntax.RLE) {
            byte[] bytes = new byte[(int) format.frameBytes()];
            if (!RunLengths.decode(ByteBuffer.wrap(code), bytes, 1)) throw unusable("broken code", "PS3.5 annex G");
            format.scale(ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN), target, at, count, scale);
            return;
        }
        if (format.bits() > 16) throw unusable(format.bits() + " bits in a JPEG picture", "8 or 16");
        format.scale(samples(code), 0, target, at, count, scale);
    }

    private void requirePlausible(byte[] code) throws InputException {
        if (format.pixels() > mostPixels(header.syntax()) * code.length || format.frameBytes() > Integer.MAX_VALUE - 8)
            throw unusable(code.length + " bytes of code", "enough for " + words());
    }

    // What one byte of code can stand for at most: two bytes for 128 (RLE), 1 bit per pixel (lossless), 2 bits per
    // block
    // of 64 (JPEG), 258 bytes for 2 bits (deflate); JPEG 2000 has no limit of its own.
    private static long mostPixels(TransferSyntax syntax) {
        return switch (syntax) {
            case RLE -> 64;
            case JPEG_LOSSLESS, JPEG_LOSSLESS_FIRST_ORDER -> 8;
            case JPEG_BASELINE, JPEG_EXTENDED -> 256;
            case DEFLATED -> 1032;
            default -> 1 << 13;
        };
    }

    /** A header may claim more than its file can hold: says so before memory is asked for. */
    static void requirePlausible(DicomReader.Header header) throws IOException, InputException {
        PixelFormat format = PixelFormat.of(header);
        long pixels = format.pixels() * format.frames();
        boolean isNative = header.pixelOffset() >= 0 && header.pixelLength() >= 0;
        long most = isNative
                ? header.pixelLength() * 8 / format.bits()
                : Files.size(header.file()) * mostPixels(header.syntax());
        if (pixels > most)
            throw new InputException(
                    header.file(),
                    Tag.text(header.pixelTag()),
                    isNative ? header.pixelLength() + " bytes" : "too few bytes",
                    "enough for " + format.columns() + " × " + format.rows() + " pixels in " + format.frames()
                            + " frames of " + format.bits() + " bits");
    }

    private short[] samples(byte[] code) throws InputException {
        TransferSyntax syntax = header.syntax();
        if (syntax == TransferSyntax.JPEG_2000 || syntax == TransferSyntax.JPEG_2000_LOSSLESS)
            return ImageCodec.jpeg2000(code, format.rows(), format.columns())
                    .orElseThrow(() -> unusable("a broken JPEG 2000 picture", words()));
        JpegFrame frame = JpegFrame.of(code).orElseThrow(() -> unusable("no JPEG frame header", words()));
        if (frame.rows() != format.rows() || frame.columns() != format.columns() || frame.components() != 1)
            throw unusable(
                    "a JPEG picture of " + frame.columns() + " × " + frame.rows() + " in " + frame.components()
                            + " colours",
                    words());
        return switch (frame.marker()) {
            case JpegFrame.LOSSLESS ->
                JpegLossless.decode(code, frame).orElseThrow(() -> unusable("a broken lossless JPEG picture", words()));
            case JpegFrame.BASELINE, JpegFrame.EXTENDED -> lossy(code, frame);
            case JpegFrame.JPEG_LS -> throw unsupported("JPEG-LS");
            default -> throw unsupported(String.format(Locale.ROOT, "JPEG process 0x%02X", frame.marker()));
        };
    }

    private short[] lossy(byte[] code, JpegFrame frame) throws InputException {
        if (frame.precision() != 8) throw unsupported("lossy JPEG of " + frame.precision() + " bits");
        return ImageCodec.jpeg(code, frame).orElseThrow(() -> unusable("a broken JPEG picture", words()));
    }

    private InputException unsupported(String what) {
        return new InputException(
                header.file(),
                Tag.text(Tag.TRANSFER_SYNTAX_UID),
                what + " (" + header.syntax().uid() + ")",
                "native, RLE, JPEG of 8 bits, lossless JPEG, or JPEG 2000");
    }

    private InputException unusable(String found, String expected) {
        return new InputException(header.file(), Tag.text(header.pixelTag()), found, expected);
    }

    /** Which fragments make up which frame. Source: PS3.5 A.4. */
    static final class Fragments {
        static List<byte[]> frames(Object file, List<ByteBuffer> fragments, int frames) throws InputException {
            List<ByteBuffer> parts = fragments.subList(1, fragments.size());
            if (frames == 1 && !parts.isEmpty()) return List.of(Element.join(parts));
            if (parts.size() == frames)
                return parts.stream().map(p -> Element.join(List.of(p))).toList();
            List<byte[]> byTable = byTable(fragments.get(0), parts, frames);
            if (byTable.size() == frames) return byTable;
            throw new InputException(
                    file,
                    Tag.text(Tag.PIXEL_DATA),
                    parts.size() + " fragments without a fitting offset table",
                    frames + " frames");
        }

        private static List<byte[]> byTable(ByteBuffer table, List<ByteBuffer> parts, int frames) {
            List<byte[]> found = new ArrayList<>();
            if (table.remaining() != 4L * frames) return found;
            ByteBuffer offsets = table.order(ByteOrder.LITTLE_ENDIAN);
            List<ByteBuffer> open = new ArrayList<>();
            long at = 0;
            int next = 1;
            for (ByteBuffer part : parts) {
                if (next < frames && at == Integer.toUnsignedLong(offsets.getInt(4 * next))) {
                    found.add(Element.join(open));
                    open.clear();
                    next++;
                }
                open.add(part);
                at += 8 + part.remaining();
            }
            found.add(Element.join(open));
            return found;
        }
    }
}
