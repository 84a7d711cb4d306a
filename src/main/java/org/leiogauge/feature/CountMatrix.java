// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;

/**
 * How often each pair (row, column) occurs, as the list of pairs that do, in rising order of row and then column. Rows
 * are grey levels from 1 on; columns are what the matrix in hand counts beside them, from 1 on too.
 */
public final class CountMatrix {
    private final int[] rows;
    private final int[] columns;
    private final long[] counts;
    private final long total;

    private CountMatrix(int[] rows, int[] columns, long[] counts) {
        this.rows = rows;
        this.columns = columns;
        this.counts = counts;
        this.total = Arrays.stream(counts).sum();
    }

    /** The sum of several matrices. */
    static CountMatrix sum(List<CountMatrix> parts) {
        if (parts.size() == 1) return parts.get(0);
        int row = parts.stream().mapToInt(CountMatrix::highestRow).max().orElse(0);
        int column = parts.stream().mapToInt(CountMatrix::highestColumn).max().orElse(0);
        Tally tally = new Tally(row, column);
        for (CountMatrix part : parts) part.addTo(tally);
        return tally.matrix();
    }

    private void addTo(Tally tally) {
        for (int k = 0; k < size(); k++) tally.add(rows[k], columns[k], (int) counts[k]);
    }

    /** Number of different pairs that occur. */
    public int size() {
        return rows.length;
    }

    public int row(int k) {
        return rows[k];
    }

    public int column(int k) {
        return columns[k];
    }

    public long count(int k) {
        return counts[k];
    }

    /** The sum of all counts. */
    public long total() {
        return total;
    }

    public boolean isEmpty() {
        return rows.length == 0;
    }

    int highestRow() {
        return isEmpty() ? 0 : rows[rows.length - 1];
    }

    int highestColumn() {
        int highest = 0;
        for (int column : columns) highest = Math.max(highest, column);
        return highest;
    }

    /** This matrix and its mirror image about the diagonal added. */
    CountMatrix symmetric() {
        int most = Math.max(highestRow(), highestColumn());
        Tally tally = new Tally(most, most);
        for (int k = 0; k < size(); k++) {
            tally.add(rows[k], columns[k], (int) counts[k]);
            tally.add(columns[k], rows[k], (int) counts[k]);
        }
        return tally.matrix();
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof CountMatrix matrix
                && Arrays.equals(rows, matrix.rows)
                && Arrays.equals(columns, matrix.columns)
                && Arrays.equals(counts, matrix.counts);
    }

    @Override
    public int hashCode() {
        return 31 * (31 * Arrays.hashCode(rows) + Arrays.hashCode(columns)) + Arrays.hashCode(counts);
    }

    /** One line per pair: row, column, count. */
    @Override
    public String toString() {
        StringBuilder text = new StringBuilder();
        for (int k = 0; k < size(); k++)
            text.append(rows[k])
                    .append(',')
                    .append(columns[k])
                    .append(',')
                    .append(counts[k])
                    .append('\n');
        return text.toString();
    }

    /** Counts pairs while a matrix is made: a table where it is small enough, else only the pairs that occur. */
    static final class Tally {
        private static final long LARGEST_TABLE = 1 << 22;
        private static final long EMPTY = -1;

        private final int width;
        private final int[] table;
        // Open addressing: pair numbers and their counts.
        private long[] pairs = new long[0];
        private int[] found = new int[0];
        private int used;

        /** @param row the highest row, {@code column} the highest column */
        Tally(int row, int column) {
            width = column + 1;
            boolean fits = (row + 1L) * width <= LARGEST_TABLE;
            table = fits ? new int[(row + 1) * width] : new int[0];
            if (!fits) grow(1 << 12);
        }

        private Tally() {
            width = 0;
            table = new int[0];
            grow(1 << 8);
        }

        /** For few pairs of which the highest column isn't known beforehand. */
        static Tally ofFew() {
            return new Tally();
        }

        /** Counts a pair; what is counted in row or column 0 is left out of the matrix. */
        void add(int row, int column) {
            if (table.length != 0) table[row * width + column]++;
            else addSparse(row, column, 1);
        }

        void add(int row, int column, int count) {
            if (table.length != 0) table[row * width + column] += count;
            else addSparse(row, column, count);
        }

        /** Counts level by level the pairs that lie {@code offset} apart in an array. */
        void addPairs(char[] levels, int from, int behind, int offset) {
            int[] counts = table;
            if (counts.length == 0) {
                for (int i = from; i < behind; i++) if (levels[i] != 0) addSparse(levels[i], levels[i + offset], 1);
                return;
            }
            for (int i = from; i < behind; i++) {
                int level = levels[i];
                if (level != 0) counts[level * width + levels[i + offset]]++;
            }
        }

        private void addSparse(int row, int column, int count) {
            if (column == 0) return;
            if (2 * used >= pairs.length) grow(2 * pairs.length);
            int slot = slot(((long) row << 32) | column);
            if (pairs[slot] == EMPTY) {
                pairs[slot] = ((long) row << 32) | column;
                used++;
            }
            found[slot] += count;
        }

        private int slot(long pair) {
            int mask = pairs.length - 1;
            int slot = (int) ((pair * 0x9e3779b97f4a7c15L) >>> 32) & mask;
            while (pairs[slot] != EMPTY && pairs[slot] != pair) slot = slot + 1 & mask;
            return slot;
        }

        private void grow(int size) {
            long[] oldPairs = pairs;
            int[] oldFound = found;
            pairs = new long[size];
            found = new int[size];
            Arrays.fill(pairs, EMPTY);
            for (int k = 0; k < oldPairs.length; k++) {
                if (oldPairs[k] == EMPTY) continue;
                int slot = slot(oldPairs[k]);
                pairs[slot] = oldPairs[k];
                found[slot] = oldFound[k];
            }
        }

        CountMatrix matrix() {
            return table.length != 0 ? fromTable() : fromPairs();
        }

        private CountMatrix fromTable() {
            int size = 0;
            for (int i = width; i < table.length; i++) if (table[i] != 0 && i % width != 0) size++;
            int[] rows = new int[size];
            int[] columns = new int[size];
            long[] counts = new long[size];
            int k = 0;
            for (int row = 1; row * width < table.length; row++)
                for (int column = 1; column < width; column++) {
                    int count = table[row * width + column];
                    if (count == 0) continue;
                    rows[k] = row;
                    columns[k] = column;
                    counts[k++] = count;
                }
            return new CountMatrix(rows, columns, counts);
        }

        private CountMatrix fromPairs() {
            long[] sorted =
                    Arrays.stream(pairs).filter(p -> p != EMPTY).sorted().toArray();
            int[] rows = new int[sorted.length];
            int[] columns = new int[sorted.length];
            long[] counts = new long[sorted.length];
            for (int k = 0; k < sorted.length; k++) {
                rows[k] = (int) (sorted[k] >>> 32);
                columns[k] = (int) sorted[k];
                counts[k] = found[slot(sorted[k])];
            }
            return new CountMatrix(rows, columns, counts);
        }
    }
}
