// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.task.WholeFile;

/**
 * Writes a data set as a DICOM file in explicit VR little endian, or with its pixel data run-length encoded.
 *
 * <p>Sequences and items have defined lengths; group lengths are written in the meta information alone. Source: PS3.5 7.1,
 * 7.5, A.4; PS3.10 7.1.
 */
public final class DicomWriter {
    private static final String IMPLEMENTATION = Uid.of("org.leiogauge.dicom");

    private DicomWriter() {}

    /**
     * Writes the file. The data set needs (0008,0016) and (0008,0018); for {@link TransferSyntax#RLE} its native pixel
     * data are encoded on the way.
     *
     * @param syntax {@code EXPLICIT_LITTLE_ENDIAN}, {@code RLE}, or the one that the set's fragments are in
     */
    public static void write(Path file, DataSet set, TransferSyntax syntax) throws IOException {
        byte[] bytes = bytes(set, syntax);
        WholeFile.write(file, out -> out.write(bytes));
    }

    /** The bytes of the file. */
    public static byte[] bytes(DataSet set, TransferSyntax syntax) {
        if (syntax == TransferSyntax.IMPLICIT_LITTLE_ENDIAN
                || syntax == TransferSyntax.EXPLICIT_BIG_ENDIAN
                || syntax == TransferSyntax.DEFLATED)
            throw new IllegalArgumentException("syntax must be explicit little endian or encapsulated, got " + syntax);
        DataSet body = prepared(set, syntax);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.writeBytes(new byte[128]);
        out.writeBytes("DICM".getBytes(StandardCharsets.US_ASCII));
        byte[] meta = encode(meta(body, syntax));
        writeElement(out, Element.whole(Tag.FILE_META_INFORMATION_GROUP_LENGTH, Vr.UL, meta.length));
        out.writeBytes(meta);
        out.writeBytes(encode(body));
        return out.toByteArray();
    }

    private static DataSet prepared(DataSet set, TransferSyntax syntax) {
        boolean encapsulated =
                set.get(Tag.PIXEL_DATA).filter(Element::isEncapsulated).isPresent();
        if (syntax == TransferSyntax.RLE && set.has(Tag.PIXEL_DATA) && !encapsulated) return RunLengths.encoded(set);
        if (set.has(Tag.PIXEL_DATA) && encapsulated != syntax.isEncapsulated())
            throw new IllegalArgumentException("pixel data must fit the transfer syntax " + syntax);
        return set;
    }

    // PS3.10 7.1
    private static DataSet meta(DataSet set, TransferSyntax syntax) {
        return new DataSet()
                .put(Element.bytes(Tag.FILE_META_INFORMATION_VERSION, Vr.OB, new byte[] {0, 1}))
                .put(Tag.MEDIA_STORAGE_SOP_CLASS_UID, own(set, Tag.SOP_CLASS_UID))
                .put(Tag.MEDIA_STORAGE_SOP_INSTANCE_UID, own(set, Tag.SOP_INSTANCE_UID))
                .put(Tag.TRANSFER_SYNTAX_UID, syntax.uid())
                .put(Tag.IMPLEMENTATION_CLASS_UID, IMPLEMENTATION)
                .put(Tag.IMPLEMENTATION_VERSION_NAME, "LEIOGAUGE");
    }

    private static String own(DataSet set, int tag) {
        return set.text(tag)
                .orElseThrow(() -> new IllegalArgumentException("data set must have " + Tag.text(tag) + ", got none"));
    }

    private static byte[] encode(DataSet set) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        for (Element element : set.elements()) if (Tag.element(element.tag()) != 0) writeElement(out, element);
        return out.toByteArray();
    }

    private static void writeElement(ByteArrayOutputStream out, Element element) {
        if (element.isEncapsulated()) writeFragments(out, element);
        else if (element.vr() == Vr.SQ) writeSequence(out, element);
        else {
            byte[] value = element.littleEndian();
            int padded = value.length + value.length % 2;
            if (!element.vr().hasLongLength() && padded > 0xFFFF)
                throw new IllegalArgumentException("value of " + Tag.text(element.tag()) + " must be shorter than 65536"
                        + " bytes, got " + value.length);
            writeHeader(out, element.tag(), element.vr(), padded);
            out.writeBytes(value);
            if (padded > value.length) out.write(element.vr().padding());
        }
    }

    private static void writeSequence(ByteArrayOutputStream out, Element element) {
        List<byte[]> items = new ArrayList<>();
        int length = 0;
        for (DataSet item : element.items()) {
            items.add(encode(item));
            length += 8 + items.get(items.size() - 1).length;
        }
        writeHeader(out, element.tag(), Vr.SQ, length);
        for (byte[] item : items) {
            writeDelimiter(out, Tag.ITEM, item.length);
            out.writeBytes(item);
        }
    }

    private static void writeFragments(ByteArrayOutputStream out, Element element) {
        writeHeader(out, element.tag(), Vr.OB, -1);
        for (ByteBuffer fragment : element.fragments()) {
            byte[] bytes = new byte[fragment.remaining()];
            fragment.get(bytes);
            writeDelimiter(out, Tag.ITEM, bytes.length + bytes.length % 2);
            out.writeBytes(bytes);
            if (bytes.length % 2 == 1) out.write(0);
        }
        writeDelimiter(out, Tag.SEQUENCE_END, 0);
    }

    private static void writeHeader(ByteArrayOutputStream out, int tag, Vr vr, int length) {
        ByteBuffer header = ByteBuffer.allocate(12).order(ByteOrder.LITTLE_ENDIAN);
        header.putShort((short) Tag.group(tag)).putShort((short) Tag.element(tag));
        header.put((byte) vr.name().charAt(0)).put((byte) vr.name().charAt(1));
        if (vr.hasLongLength()) header.putShort((short) 0).putInt(length);
        else header.putShort((short) length);
        out.write(header.array(), 0, header.position());
    }

    private static void writeDelimiter(ByteArrayOutputStream out, int tag, int length) {
        ByteBuffer header = ByteBuffer.allocate(8).order(ByteOrder.LITTLE_ENDIAN);
        header.putShort((short) Tag.group(tag))
                .putShort((short) Tag.element(tag))
                .putInt(length);
        out.writeBytes(header.array());
    }
}
