// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.zip.DataFormatException;
import java.util.zip.Inflater;
import org.leiogauge.task.InputException;

/** One pass over the bytes of a file, or over the first part of it. */
final class Parse {
    /** The file goes on behind the bytes at hand. */
    static final class MoreNeeded extends Exception {
        private static final long serialVersionUID = 1L;

        MoreNeeded() {
            super("more bytes needed", null, false, false);
        }
    }

    private static final int DEEPEST = 24;
    private static final int MOST_ELEMENTS = 2_000_000;
    private static final int LONGEST_INFLATED = 512 << 20;
    private static final int UNDEFINED = -1;
    private static final Map<String, Vr> VRS =
            Arrays.stream(Vr.values()).collect(Collectors.toMap(Vr::name, Function.identity()));

    private final Path file;
    private final boolean headerOnly;
    private ByteBuffer in;
    private long size;
    private int elements;
    private boolean explicit;
    private int pixelTag;
    private long pixelOffset = -1;
    private long pixelLength = -1;

    /**
     * @param in the file from its start, or a part of it
     * @param size of the whole file
     * @param headerOnly whether to stop at the pixel data
     */
    Parse(Path file, ByteBuffer in, long size, boolean headerOnly) {
        this.file = file;
        this.in = in.order(ByteOrder.LITTLE_ENDIAN);
        this.size = size;
        this.headerOnly = headerOnly;
    }

    static Optional<Vr> vr(String name) {
        return Optional.ofNullable(VRS.get(name));
    }

    DicomReader.Header file() throws InputException, MoreNeeded {
        if (DicomReader.hasPreamble(in)) in.position(132);
        else if (!DicomReader.hasPlausibleStart(in))
            throw new InputException(file, "", "no DICOM file", "DICM after 128 bytes, or a data set");
        explicit = true;
        DataSet meta = new DataSet(file, StandardCharsets.ISO_8859_1);
        // PS3.10 7.1: the meta information is explicit VR little endian
        while (remaining() >= 8 && nextGroup() == 0x0002) readElement(meta, 0);
        TransferSyntax syntax = syntax(meta);
        boolean deflated = syntax == TransferSyntax.DEFLATED;
        if (deflated) inflate();
        explicit = syntax.isExplicit();
        in.order(syntax.order());
        DataSet set = new DataSet(file, StandardCharsets.ISO_8859_1);
        readElements(set, size, 0, false);
        return new DicomReader.Header(file, meta, set, syntax, pixelTag, deflated ? -1 : pixelOffset, pixelLength);
    }

    private TransferSyntax syntax(DataSet meta) throws InputException, MoreNeeded {
        if (!meta.has(Tag.TRANSFER_SYNTAX_UID)) return guessedSyntax();
        String uid = meta.needText(Tag.TRANSFER_SYNTAX_UID);
        return TransferSyntax.of(uid)
                .orElseThrow(() -> meta.unusable(
                        Tag.TRANSFER_SYNTAX_UID,
                        uid,
                        "a transfer syntax that can be read: native, deflated, RLE or JPEG"));
    }

    private TransferSyntax guessedSyntax() throws MoreNeeded, InputException {
        need(8, "an element");
        int at = in.position();
        String vr = new String(new byte[] {in.get(at + 4), in.get(at + 5)}, StandardCharsets.US_ASCII);
        if (vr(vr).isEmpty()) return TransferSyntax.IMPLICIT_LITTLE_ENDIAN;
        return in.getShort(at) == 0x0800 ? TransferSyntax.EXPLICIT_BIG_ENDIAN : TransferSyntax.EXPLICIT_LITTLE_ENDIAN;
    }

    // PS3.5 A.5: the data set alone is deflated
    private void inflate() throws InputException, MoreNeeded {
        if (in.limit() < size) throw new MoreNeeded();
        Inflater inflater = new Inflater(true);
        try {
            inflater.setInput(in);
            byte[] out = new byte[Math.max(1 << 16, (int) Math.min(in.remaining() * 4L, 1 << 24))];
            int length = 0;
            while (!inflater.finished()) {
                int n = inflater.inflate(out, length, out.length - length);
                if (n == 0 && length < out.length) throw broken("deflated data that break off", "whole ones");
                length += n;
                if (length < out.length) continue;
                if (length >= LONGEST_INFLATED || length / 200 > size)
                    throw broken("deflated data that become more than " + length + " bytes", "less");
                out = Arrays.copyOf(out, (int) Math.min(2L * length, LONGEST_INFLATED));
            }
            in = ByteBuffer.wrap(out, 0, length).order(ByteOrder.LITTLE_ENDIAN);
            size = length;
        } catch (DataFormatException e) {
            throw broken("deflated data with an error", "RFC 1951");
        } finally {
            inflater.end();
        }
    }

    /** Elements up to {@code end}, or to the end of an item if that is not known. */
    private void readElements(DataSet set, long end, int depth, boolean delimited) throws InputException, MoreNeeded {
        if (depth > DEEPEST) throw broken("sequences nested deeper than " + DEEPEST, "less");
        while (in.position() < end) {
            if (end - in.position() < 8) {
                // some writers leave a few zeros at the end of the file
                if (depth == 0) return;
                throw broken("an item that breaks off", "whole elements");
            }
            need(8, "an element");
            int tag = peekTag();
            if (tag == Tag.ITEM_END) {
                in.position(in.position() + 8);
                if (delimited) return;
                continue;
            }
            if (headerOnly && depth == 0 && isPixelData(tag)) {
                notePixels(tag);
                return;
            }
            readElement(set, depth);
        }
        if (delimited) throw broken("an item without an end", Tag.text(Tag.ITEM_END));
    }

    private static boolean isPixelData(int tag) {
        return tag == Tag.PIXEL_DATA || tag == Tag.FLOAT_PIXEL_DATA || tag == Tag.DOUBLE_FLOAT_PIXEL_DATA;
    }

    private void notePixels(int tag) throws InputException, MoreNeeded {
        int[] head = readHead();
        pixelTag = tag;
        pixelOffset = in.position();
        pixelLength = head[1] == UNDEFINED ? -1 : Integer.toUnsignedLong(head[1]);
        if (pixelLength > size - pixelOffset) throw tooLong(tag, pixelLength);
    }

    private void readElement(DataSet set, int depth) throws InputException, MoreNeeded {
        if (++elements > MOST_ELEMENTS) throw broken("more than " + MOST_ELEMENTS + " elements", "fewer");
        int tag = peekTag();
        int[] head = readHead();
        Vr vr = Vr.values()[head[0]];
        if (Tag.group(tag) == 0xFFFE) throw broken(Tag.text(tag) + " outside a sequence", "an element");
        if (head[1] == UNDEFINED) readUndefined(set, tag, vr, depth);
        else if (vr == Vr.SQ) {
            long end = in.position() + checked(tag, head[1]);
            set.put(Element.sequence(tag, readItems(set.charset(), end, depth)));
        } else {
            int length = (int) checked(tag, head[1]);
            if (isPixelData(tag) && depth == 0) notePlace(tag, length);
            set.put(Element.of(tag, vr, slice(length)));
        }
    }

    private void notePlace(int tag, long length) {
        pixelTag = tag;
        pixelOffset = in.position();
        pixelLength = length;
    }

    private void readUndefined(DataSet set, int tag, Vr vr, int depth) throws InputException, MoreNeeded {
        if (isPixelData(tag) && vr != Vr.SQ) {
            notePlace(tag, -1);
            set.put(Element.encapsulated(tag, vr, readFragments()));
            return;
        }
        if (vr != Vr.SQ && vr != Vr.UN) throw broken("undefined length of " + Tag.text(tag) + " " + vr, "a length");
        boolean keep = explicit;
        ByteOrder order = in.order();
        if (vr == Vr.UN) {
            // PS3.5 6.2.2 note 6: a sequence whose writer did not know it is implicit VR little endian inside
            explicit = false;
            in.order(ByteOrder.LITTLE_ENDIAN);
        }
        set.put(Element.sequence(tag, readItems(set.charset(), Long.MAX_VALUE, depth)));
        explicit = keep;
        in.order(order);
    }

    // PS3.5 7.5
    private List<DataSet> readItems(Charset charset, long end, int depth) throws InputException, MoreNeeded {
        List<DataSet> items = new ArrayList<>();
        while (in.position() < end) {
            need(8, "an item");
            int tag = peekTag();
            int length = in.getInt(in.position() + 4);
            if (tag == Tag.SEQUENCE_END) {
                in.position(in.position() + 8);
                return items;
            }
            if (tag != Tag.ITEM) throw broken(Tag.text(tag) + " in a sequence", "an item");
            if (++elements > MOST_ELEMENTS) throw broken("more than " + MOST_ELEMENTS + " elements", "fewer");
            in.position(in.position() + 8);
            DataSet item = new DataSet(file, charset);
            if (length == UNDEFINED) readElements(item, size, depth + 1, true);
            else readElements(item, in.position() + checked(tag, length), depth + 1, false);
            items.add(item);
        }
        return items;
    }

    // PS3.5 A.4
    private List<ByteBuffer> readFragments() throws InputException, MoreNeeded {
        List<ByteBuffer> fragments = new ArrayList<>();
        while (true) {
            need(8, "a fragment");
            int tag = peekTag();
            int length = in.getInt(in.position() + 4);
            in.position(in.position() + 8);
            if (tag == Tag.SEQUENCE_END) break;
            if (tag != Tag.ITEM) throw broken(Tag.text(tag) + " among fragments", "an item");
            if (++elements > MOST_ELEMENTS) throw broken("more than " + MOST_ELEMENTS + " fragments", "fewer");
            fragments.add(slice((int) checked(tag, length)));
        }
        if (fragments.isEmpty()) throw broken("encapsulated pixel data without an offset table", "one");
        return fragments;
    }

    /** Ordinal of the VR, and length. PS3.5 7.1.2 and 7.1.3. */
    private int[] readHead() throws InputException, MoreNeeded {
        need(8, "an element");
        int tag = peekTag();
        int at = in.position() + 4;
        if (!explicit || Tag.group(tag) == 0xFFFE) {
            in.position(at + 4);
            return new int[] {Dictionary.vr(tag).ordinal(), in.getInt(at)};
        }
        String name = new String(new byte[] {in.get(at), in.get(at + 1)}, StandardCharsets.ISO_8859_1);
        Vr vr = vr(name).orElseThrow(() -> broken("VR “" + name + "” of " + Tag.text(tag), "a VR of PS3.5"));
        if (!vr.hasLongLength()) {
            in.position(at + 4);
            return new int[] {vr.ordinal(), Short.toUnsignedInt(in.getShort(at + 2))};
        }
        need(12, "an element");
        in.position(at + 8);
        return new int[] {vr.ordinal(), in.getInt(at + 4)};
    }

    private ByteBuffer slice(int length) throws MoreNeeded {
        if (length > in.remaining()) throw new MoreNeeded();
        ByteBuffer slice = in.slice(in.position(), length).order(in.order());
        in.position(in.position() + length);
        return slice;
    }

    private int peekTag() {
        int at = in.position();
        return Short.toUnsignedInt(in.getShort(at)) << 16 | Short.toUnsignedInt(in.getShort(at + 2));
    }

    private int nextGroup() throws MoreNeeded {
        if (in.remaining() < 8) throw new MoreNeeded();
        return Short.toUnsignedInt(in.getShort(in.position()));
    }

    private long remaining() {
        return size - in.position();
    }

    private void need(int bytes, String what) throws InputException, MoreNeeded {
        if (remaining() < bytes) throw broken("a file that breaks off", what);
        if (in.remaining() < bytes) throw new MoreNeeded();
    }

    private long checked(int tag, int length) throws InputException {
        long bytes = Integer.toUnsignedLong(length);
        if (bytes > remaining()) throw tooLong(tag, bytes);
        return bytes;
    }

    private InputException tooLong(int tag, long length) {
        return new InputException(
                file, Tag.text(tag), "a length of " + length + " bytes", "no more than the " + remaining() + " left");
    }

    private InputException broken(String found, String expected) {
        return new InputException(file, "at byte " + in.position(), found, expected);
    }
}
