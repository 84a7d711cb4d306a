// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;

/**
 * One data element: a tag, a VR, and either bytes, or the items of a sequence, or the fragments of encapsulated pixel data.
 *
 * <p>Bytes keep the order that they have in the file. Source: PS3.5 7.1, A.4.
 */
public final class Element {
    private static final ByteBuffer NOTHING = ByteBuffer.allocate(0).order(ByteOrder.LITTLE_ENDIAN);

    private final int tag;
    private final Vr vr;
    private final ByteBuffer value;
    private final List<DataSet> items;
    private final List<ByteBuffer> fragments;

    private Element(int tag, Vr vr, ByteBuffer value, List<DataSet> items, List<ByteBuffer> fragments) {
        this.tag = tag;
        this.vr = vr;
        this.value = value;
        this.items = List.copyOf(items);
        this.fragments = List.copyOf(fragments);
    }

    /** @param value its order says how to read it; not copied */
    static Element of(int tag, Vr vr, ByteBuffer value) {
        return new Element(tag, vr, value, List.of(), List.of());
    }

    /** A sequence (PS3.5 7.5). */
    public static Element sequence(int tag, List<DataSet> items) {
        return new Element(tag, Vr.SQ, NOTHING, items, List.of());
    }

    /** Encapsulated pixel data; the first fragment is the basic offset table (PS3.5 A.4), which may be empty. */
    static Element encapsulated(int tag, Vr vr, List<ByteBuffer> fragments) {
        return new Element(tag, vr, NOTHING, List.of(), fragments);
    }

    /** Text values; in UTF-8 where the VR follows the character set. */
    public static Element text(int tag, Vr vr, String... values) {
        return bytes(tag, vr, String.join("\\", values).getBytes(StandardCharsets.UTF_8));
    }

    /** Bytes, little endian where they stand for numbers; not copied if their number is even. */
    public static Element bytes(int tag, Vr vr, byte[] bytes) {
        byte[] even = bytes;
        if (bytes.length % 2 == 1) {
            even = Arrays.copyOf(bytes, bytes.length + 1);
            even[bytes.length] = vr.padding();
        }
        return of(tag, vr, ByteBuffer.wrap(even).order(ByteOrder.LITTLE_ENDIAN));
    }

    /** Whole numbers in a binary VR, or as text in {@code IS} and {@code DS}. */
    public static Element whole(int tag, Vr vr, long... values) {
        if (vr.kind() == Vr.Kind.TEXT)
            return text(tag, vr, Arrays.stream(values).mapToObj(Long::toString).toArray(String[]::new));
        ByteBuffer buffer = ByteBuffer.allocate(values.length * (vr == Vr.AT ? 4 : Math.max(vr.width(), 2)))
                .order(ByteOrder.LITTLE_ENDIAN);
        for (long value : values) {
            if (vr == Vr.AT) buffer.putShort((short) (value >>> 16)).putShort((short) value);
            else if (vr.kind() == Vr.Kind.FLOAT)
                return real(tag, vr, Arrays.stream(values).asDoubleStream().toArray());
            else if (vr.width() == 2) buffer.putShort((short) value);
            else if (vr.width() == 4) buffer.putInt((int) value);
            else buffer.putLong(value);
        }
        return of(tag, vr, buffer.flip());
    }

    /** Real numbers in {@code FL}, {@code FD}, or as text of at most 16 characters in {@code DS}. */
    public static Element real(int tag, Vr vr, double... values) {
        if (vr.kind() == Vr.Kind.TEXT)
            return text(tag, vr, Arrays.stream(values).mapToObj(DecimalText::of).toArray(String[]::new));
        ByteBuffer buffer = ByteBuffer.allocate(values.length * vr.width()).order(ByteOrder.LITTLE_ENDIAN);
        for (double value : values) {
            if (vr.width() == 8) buffer.putDouble(value);
            else buffer.putFloat((float) value);
        }
        return of(tag, vr, buffer.flip());
    }

    public int tag() {
        return tag;
    }

    public Vr vr() {
        return vr;
    }

    public List<DataSet> items() {
        return items;
    }

    boolean isEncapsulated() {
        return !fragments.isEmpty();
    }

    List<ByteBuffer> fragments() {
        return fragments.stream().map(Element::view).toList();
    }

    /** The value's bytes in the file's order, from position 0; a view, to be read only. */
    ByteBuffer value() {
        return view(value);
    }

    int length() {
        return value.remaining();
    }

    /** The bytes of the value, little endian. */
    byte[] littleEndian() {
        byte[] bytes = new byte[value.remaining()];
        value().get(bytes);
        if (value.order() == ByteOrder.BIG_ENDIAN) turn(bytes, vr.width());
        return bytes;
    }

    private static void turn(byte[] bytes, int width) {
        for (int at = 0; at + width <= bytes.length; at += width)
            for (int i = 0; i < width / 2; i++) {
                byte keep = bytes[at + i];
                bytes[at + i] = bytes[at + width - 1 - i];
                bytes[at + width - 1 - i] = keep;
            }
    }

    // duplicate() forgets the order
    private static ByteBuffer view(ByteBuffer buffer) {
        return buffer.duplicate().order(buffer.order());
    }

    static byte[] join(List<ByteBuffer> parts) {
        ByteArrayOutputStream all = new ByteArrayOutputStream(
                parts.stream().mapToInt(ByteBuffer::remaining).sum());
        for (ByteBuffer part : parts) {
            byte[] bytes = new byte[part.remaining()];
            part.duplicate().get(bytes);
            all.writeBytes(bytes);
        }
        return all.toByteArray();
    }
}
