// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.leiogauge.task.InputException;

/**
 * Reads DICOM files: with or without preamble, implicit and explicit VR, both byte orders, deflated.
 *
 * <p>Source: PS3.10 section 7, PS3.5 sections 7 and 10, annex A.
 */
public final class DicomReader {
    private static final int FIRST_READ = 1 << 15;
    private static final int PREAMBLE = 128;

    private DicomReader() {}

    /**
     * What stands before the pixel data, and where these are.
     *
     * @param meta the file meta information, group 0002; empty in a file without it
     * @param pixelOffset of the value of the pixel data in the file; −1 if there are none, or if the file is deflated
     * @param pixelLength in bytes; −1 for encapsulated ones
     */
    record Header(
            Path file,
            DataSet meta,
            DataSet set,
            TransferSyntax syntax,
            int pixelTag,
            long pixelOffset,
            long pixelLength) {}

    /** Whether the file begins as a DICOM file does: with DICM behind a preamble, or with a plausible first element. */
    public static boolean isDicom(Path file) throws IOException {
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
            ByteBuffer start = ByteBuffer.allocate(PREAMBLE + 4).order(ByteOrder.LITTLE_ENDIAN);
            fill(channel, start, 0);
            return hasPreamble(start.flip()) || hasPlausibleStart(start);
        }
    }

    /**
     * The whole data set.
     *
     * @throws InputException if it is not a DICOM file or breaks off, or has a transfer syntax that is not known here
     */
    public static DataSet read(Path file) throws IOException, InputException {
        return readFile(file).set();
    }

    static Header readFile(Path file) throws IOException, InputException {
        long size = Files.size(file);
        if (size > Integer.MAX_VALUE - 8)
            throw new InputException(file, "", "a file of " + size + " bytes", "a file below 2 GiB");
        return parse(file, ByteBuffer.wrap(Files.readAllBytes(file)), false);
    }

    /** The data set from bytes that are a whole file. */
    static DataSet read(Path name, byte[] bytes) throws InputException {
        return parse(name, ByteBuffer.wrap(bytes), false).set();
    }

    /** What stands before the pixel data, reading no more of the file than it takes. */
    static Header readHeader(Path file) throws IOException, InputException {
        try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
            long size = channel.size();
            if (size > Integer.MAX_VALUE - 8)
                throw new InputException(file, "", "a file of " + size + " bytes", "a file below 2 GiB");
            for (long part = Math.min(size, FIRST_READ); ; part = Math.min(size, part * 16)) {
                ByteBuffer bytes = ByteBuffer.allocate((int) part);
                fill(channel, bytes, 0);
                try {
                    return new Parse(file, bytes.flip(), size, true).file();
                } catch (Parse.MoreNeeded e) {
                    if (part == size) throw new InputException(file, "", "a file that breaks off", "a whole file");
                }
            }
        }
    }

    private static Header parse(Path file, ByteBuffer bytes, boolean headerOnly) throws InputException {
        try {
            return new Parse(file, bytes, bytes.remaining(), headerOnly).file();
        } catch (Parse.MoreNeeded e) {
            throw new InputException(file, "", "a file that breaks off", "a whole file");
        }
    }

    static void fill(FileChannel channel, ByteBuffer target, long from) throws IOException {
        long at = from;
        while (target.hasRemaining()) {
            int n = channel.read(target, at);
            if (n < 0) return;
            at += n;
        }
    }

    static boolean hasPreamble(ByteBuffer bytes) {
        return bytes.limit() >= PREAMBLE + 4
                && bytes.get(PREAMBLE) == 'D'
                && bytes.get(PREAMBLE + 1) == 'I'
                && bytes.get(PREAMBLE + 2) == 'C'
                && bytes.get(PREAMBLE + 3) == 'M';
    }

    // Files from before PS3.10 begin with group 0002 or 0008, in implicit VR or in explicit VR of either order.
    static boolean hasPlausibleStart(ByteBuffer bytes) {
        if (bytes.limit() < 8) return false;
        int group = Short.toUnsignedInt(bytes.order(ByteOrder.LITTLE_ENDIAN).getShort(0));
        int element = Short.toUnsignedInt(bytes.getShort(2));
        boolean big = group == 0x0800;
        if (group != 0x0008 && group != 0x0002 && !big) return false;
        if ((big ? Short.toUnsignedInt(Short.reverseBytes((short) element)) : element) > 0x0100) return false;
        String vr = new String(new byte[] {bytes.get(4), bytes.get(5)}, StandardCharsets.US_ASCII);
        return Parse.vr(vr).isPresent() || (!big && Integer.toUnsignedLong(bytes.getInt(4)) < 0x10000);
    }
}
