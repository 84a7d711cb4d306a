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
import org.apache.parquet.format.DictionaryPageHeader;
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
 * A flat table as Parquet, written cell by cell: texts, and numbers that may be absent. Per column and row group a page of the
 * different texts and one of their numbers, with gzip; or one page of plain numbers, which gzip would make no smaller.
 *
 * <p>Source: Apache Parquet, file format 2.10: file layout, data page v1, dictionary page, encodings PLAIN, RLE and
 * RLE_DICTIONARY.
 */
final class ParquetFile {
    private static final byte[] MAGIC = "PAR1".getBytes(StandardCharsets.US_ASCII);
    private static final int ROWS_IN_GROUP = 1 << 16;

    private final OutputStream out;
    private final List<Column> columns = new ArrayList<>();
    private final ParquetTexts[] texts;
    private final ParquetNumbers[] numbers;
    private final List<RowGroup> groups = new ArrayList<>();
    private long at;
    private long rows;
    private int inGroup;

    /**
     * @param out stays open
     * @param names of the columns
     * @param ofNumbers names among them of those that hold numbers
     */
    ParquetFile(OutputStream out, List<String> names, List<String> ofNumbers) throws IOException {
        this.out = out;
        this.texts = new ParquetTexts[names.size()];
        this.numbers = new ParquetNumbers[names.size()];
        for (int c = 0; c < names.size(); c++) {
            if (ofNumbers.contains(names.get(c))) {
                numbers[c] = new ParquetNumbers(ROWS_IN_GROUP);
                columns.add(new NumberColumn(names.get(c), numbers[c]));
            } else {
                texts[c] = new ParquetTexts(ROWS_IN_GROUP);
                columns.add(new TextColumn(names.get(c), texts[c]));
            }
        }
        put(MAGIC);
    }

    /** The row's cell in a column of texts: UTF-8, {@code to} is behind its last byte. */
    void text(int column, byte[] bytes, int from, int to) {
        texts[column].add(bytes, from, to);
    }

    /** The row's cell in a column of numbers. */
    void number(int column, double value) {
        numbers[column].add(value);
    }

    /** The row has no number in a column of numbers. */
    void noNumber(int column) {
        numbers[column].addNone();
    }

    /** Ends a row, of which every cell was given. */
    void endRow() throws IOException {
        rows++;
        if (++inGroup == ROWS_IN_GROUP) writeGroup();
    }

    /** Writes what is left and the file's own description, without which it is none. */
    void finish() throws IOException {
        if (inGroup > 0) writeGroup();
        List<SchemaElement> schema = new ArrayList<>();
        schema.add(new SchemaElement("table").setNum_children(columns.size()));
        for (Column column : columns) schema.add(column.schema());
        FileMetaData file = new FileMetaData(1, schema, rows, groups);
        file.setCreated_by("Leiogauge");
        ByteArrayOutputStream footer = new ByteArrayOutputStream();
        Util.writeFileMetaData(file, footer);
        put(footer.toByteArray());
        put(ByteBuffer.allocate(Integer.BYTES)
                .order(ByteOrder.LITTLE_ENDIAN)
                .putInt(footer.size())
                .array());
        put(MAGIC);
        out.flush();
    }

    private void writeGroup() throws IOException {
        List<ColumnChunk> chunks = new ArrayList<>();
        long uncompressed = 0;
        for (Column column : columns) {
            ColumnChunk chunk = column.write();
            uncompressed += chunk.getMeta_data().getTotal_uncompressed_size();
            chunks.add(chunk);
        }
        groups.add(new RowGroup(chunks, uncompressed, inGroup));
        inGroup = 0;
    }

    /** Writes a page and returns how many bytes it would have without compression. */
    private int writePage(PageHeader header, byte[] content) throws IOException {
        ByteArrayOutputStream written = new ByteArrayOutputStream();
        Util.writePageHeader(header, written);
        put(written.toByteArray());
        put(content);
        return written.size() + header.getUncompressed_page_size();
    }

    private static PageHeader dataPage(int rows, Encoding encoding, int plain, int packed) {
        PageHeader header = new PageHeader(PageType.DATA_PAGE, plain, packed);
        header.setData_page_header(new DataPageHeader(rows, encoding, Encoding.RLE, Encoding.RLE));
        return header;
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

    private interface Column {
        SchemaElement schema();

        /** Writes the column of a row group, and is empty then. */
        ColumnChunk write() throws IOException;
    }

    private final class TextColumn implements Column {
        private final String name;
        private final ParquetTexts cells;

        TextColumn(String name, ParquetTexts cells) {
            this.name = name;
            this.cells = cells;
        }

        @Override
        public SchemaElement schema() {
            return new SchemaElement(name)
                    .setType(Type.BYTE_ARRAY)
                    .setRepetition_type(FieldRepetitionType.REQUIRED)
                    .setConverted_type(ConvertedType.UTF8)
                    .setLogicalType(LogicalType.STRING(new StringType()));
        }

        @Override
        public ColumnChunk write() throws IOException {
            long begin = at;
            byte[] dictionary = cells.dictionary();
            byte[] packedDictionary = gzip(dictionary);
            PageHeader first = new PageHeader(PageType.DICTIONARY_PAGE, dictionary.length, packedDictionary.length);
            first.setDictionary_page_header(new DictionaryPageHeader(cells.texts(), Encoding.PLAIN));
            int uncompressed = writePage(first, packedDictionary);
            long data = at;
            byte[] page = cells.page();
            byte[] packed = gzip(page);
            uncompressed += writePage(dataPage(inGroup, Encoding.RLE_DICTIONARY, page.length, packed.length), packed);
            cells.clear();
            ColumnMetaData meaning = new ColumnMetaData(
                    Type.BYTE_ARRAY,
                    List.of(Encoding.PLAIN, Encoding.RLE, Encoding.RLE_DICTIONARY),
                    List.of(name),
                    CompressionCodec.GZIP,
                    inGroup,
                    uncompressed,
                    at - begin,
                    data);
            meaning.setDictionary_page_offset(begin);
            return new ColumnChunk(begin).setMeta_data(meaning);
        }
    }

    private final class NumberColumn implements Column {
        private final String name;
        private final ParquetNumbers cells;

        NumberColumn(String name, ParquetNumbers cells) {
            this.name = name;
            this.cells = cells;
        }

        @Override
        public SchemaElement schema() {
            return new SchemaElement(name).setType(Type.DOUBLE).setRepetition_type(FieldRepetitionType.OPTIONAL);
        }

        @Override
        public ColumnChunk write() throws IOException {
            long begin = at;
            byte[] page = cells.page();
            int bytes = writePage(dataPage(inGroup, Encoding.PLAIN, page.length, page.length), page);
            cells.clear();
            ColumnMetaData meaning = new ColumnMetaData(
                    Type.DOUBLE,
                    List.of(Encoding.PLAIN, Encoding.RLE),
                    List.of(name),
                    CompressionCodec.UNCOMPRESSED,
                    inGroup,
                    bytes,
                    at - begin,
                    begin);
            return new ColumnChunk(begin).setMeta_data(meaning);
        }
    }
}
