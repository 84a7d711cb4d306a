// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.GZIPOutputStream;
import org.apache.parquet.format.ColumnChunk;
import org.apache.parquet.format.ColumnMetaData;
import org.apache.parquet.format.CompressionCodec;
import org.apache.parquet.format.ConvertedType;
import org.apache.parquet.format.DataPageHeader;
import org.apache.parquet.format.Encoding;
import org.apache.parquet.format.FieldRepetitionType;
import org.apache.parquet.format.FileMetaData;
import org.apache.parquet.format.LogicalType;
import org.apache.parquet.format.PageHeader;
import org.apache.parquet.format.PageType;
import org.apache.parquet.format.RowGroup;
import org.apache.parquet.format.SchemaElement;
import org.apache.parquet.format.StringType;
import org.apache.parquet.format.Type;
import org.apache.parquet.format.Util;

/**
 * A flat table as Parquet, written row by row: texts, and numbers that may be absent. One page per column and row group,
 * plain encoding, gzip.
 *
 * <p>Source: Apache Parquet, file format 2.10: file layout, data page v1, encodings PLAIN and RLE.
 */
final class ParquetFile {
    private static final byte[] MAGIC = "PAR1".getBytes(StandardCharsets.US_ASCII);
    private static final int ROWS_IN_GROUP = 1 << 16;

    private final OutputStream out;
    private final List<Column> columns = new ArrayList<>();
    private final List<RowGroup> groups = new ArrayList<>();
    private long at;
    private long rows;
    private int inGroup;

    /**
     * @param out stays open
     * @param numbers names among the columns that hold numbers
     */
    ParquetFile(OutputStream out, List<String> names, List<String> numbers) throws IOException {
        this.out = out;
        for (String name : names) columns.add(new Column(name, numbers.contains(name)));
        put(MAGIC);
    }

    /** @param cells one per column; of a number its text, empty if it is absent */
    void row(List<String> cells) throws IOException {
        for (int c = 0; c < columns.size(); c++) columns.get(c).add(cells.get(c));
        rows++;
        if (++inGroup == ROWS_IN_GROUP) writeGroup();
    }

    /** Writes what is left and the file's own description, without which it is none. */
    void finish() throws IOException {
        if (inGroup > 0) writeGroup();
        FileMetaData file = new FileMetaData(1, schema(), rows, groups);
        file.setCreated_by("Leiogauge");
        ByteArrayOutputStream footer = new ByteArrayOutputStream();
        Util.writeFileMetaData(file, footer);
        put(footer.toByteArray());
        put(littleEndian(4).putInt(footer.size()).array());
        put(MAGIC);
        out.flush();
    }

    private void writeGroup() throws IOException {
        List<ColumnChunk> chunks = new ArrayList<>();
        long uncompressed = 0;
        for (Column column : columns) {
            ColumnChunk chunk = writeChunk(column);
            uncompressed += chunk.getMeta_data().getTotal_uncompressed_size();
            chunks.add(chunk);
            column.clear();
        }
        groups.add(new RowGroup(chunks, uncompressed, inGroup));
        inGroup = 0;
    }

    private ColumnChunk writeChunk(Column column) throws IOException {
        byte[] plain = column.page();
        byte[] packed = gzip(plain);
        PageHeader header = new PageHeader(PageType.DATA_PAGE, plain.length, packed.length);
        header.setData_page_header(new DataPageHeader(inGroup, Encoding.PLAIN, Encoding.RLE, Encoding.RLE));
        ByteArrayOutputStream written = new ByteArrayOutputStream();
        Util.writePageHeader(header, written);
        long begin = at;
        put(written.toByteArray());
        put(packed);
        ColumnMetaData data = new ColumnMetaData(
                column.isNumber ? Type.DOUBLE : Type.BYTE_ARRAY,
                List.of(Encoding.PLAIN, Encoding.RLE),
                List.of(column.name),
                CompressionCodec.GZIP,
                inGroup,
                written.size() + plain.length,
                at - begin,
                begin);
        ColumnChunk chunk = new ColumnChunk(begin);
        chunk.setMeta_data(data);
        return chunk;
    }

    private List<SchemaElement> schema() {
        List<SchemaElement> schema = new ArrayList<>();
        schema.add(new SchemaElement("table").setNum_children(columns.size()));
        for (Column column : columns) schema.add(column.schema());
        return schema;
    }

    private void put(byte[] bytes) throws IOException {
        out.write(bytes);
        at += bytes.length;
    }

    private static byte[] gzip(byte[] plain) throws IOException {
        ByteArrayOutputStream packed = new ByteArrayOutputStream();
        try (GZIPOutputStream gzip = new GZIPOutputStream(packed)) {
            gzip.write(plain);
        }
        return packed.toByteArray();
    }

    private static ByteBuffer littleEndian(int bytes) {
        return ByteBuffer.allocate(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }

    /** The cells of one column in the row group that is being filled. */
    private static final class Column {
        private final String name;
        private final boolean isNumber;
        private final ByteArrayOutputStream values = new ByteArrayOutputStream();
        // runs of present and absent cells: only a number may be absent
        private final ByteArrayOutputStream runs = new ByteArrayOutputStream();
        private boolean present;
        private int run;

        Column(String name, boolean isNumber) {
            this.name = name;
            this.isNumber = isNumber;
        }

        void add(String cell) {
            if (!isNumber) {
                byte[] text = cell.getBytes(StandardCharsets.UTF_8);
                values.writeBytes(littleEndian(4).putInt(text.length).array());
                values.writeBytes(text);
                return;
            }
            if (cell.isEmpty() == present) endRun();
            present = !cell.isEmpty();
            run++;
            if (present)
                values.writeBytes(
                        littleEndian(8).putDouble(Double.parseDouble(cell)).array());
        }

        // RLE run: its length times 2 as a variable-length number, then the level in one byte.
        private void endRun() {
            if (run > 0) {
                for (int left = run << 1; ; left >>>= 7) {
                    runs.write(left < 0x80 ? left : left & 0x7f | 0x80);
                    if (left < 0x80) break;
                }
                runs.write(present ? 1 : 0);
            }
            run = 0;
        }

        byte[] page() {
            if (!isNumber) return values.toByteArray();
            endRun();
            return littleEndian(4 + runs.size() + values.size())
                    .putInt(runs.size())
                    .put(runs.toByteArray())
                    .put(values.toByteArray())
                    .array();
        }

        void clear() {
            values.reset();
            runs.reset();
            run = 0;
        }

        SchemaElement schema() {
            SchemaElement element = new SchemaElement(name).setType(isNumber ? Type.DOUBLE : Type.BYTE_ARRAY);
            if (isNumber) return element.setRepetition_type(FieldRepetitionType.OPTIONAL);
            return element.setRepetition_type(FieldRepetitionType.REQUIRED)
                    .setConverted_type(ConvertedType.UTF8)
                    .setLogicalType(LogicalType.STRING(new StringType()));
        }
    }
}
