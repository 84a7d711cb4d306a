// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;

/** Rows of a table, in and out. Values are never part of a statement's text. */
final class Rows {
    private Rows() {}

    /** @param values in the order of the table's columns; an empty Optional is an absent number */
    static void insert(Connection database, String table, List<?> values) throws SQLException {
        insertAll(database, table, List.of(values));
    }

    static void insertAll(Connection database, String table, List<? extends List<?>> rows) throws SQLException {
        if (rows.isEmpty()) return;
        String marks = String.join(", ", Collections.nCopies(rows.get(0).size(), "?"));
        try (PreparedStatement insert = database.prepareStatement("INSERT INTO " + table + " VALUES (" + marks + ")")) {
            for (List<?> row : rows) {
                for (int i = 0; i < row.size(); i++) set(insert, i + 1, row.get(i));
                insert.addBatch();
            }
            insert.executeBatch();
        }
    }

    private static void set(PreparedStatement statement, int at, Object value) throws SQLException {
        Object plain = value instanceof Optional<?> optional ? optional.orElse(null) : value;
        if (plain == null) statement.setNull(at, Types.DOUBLE);
        else statement.setObject(at, plain);
    }

    /** The rows that a query finds, every cell as text; an absent number is empty. */
    static List<List<String>> select(Connection database, String query, Object... values) throws SQLException {
        try (PreparedStatement select = database.prepareStatement(query)) {
            for (int i = 0; i < values.length; i++) select.setObject(i + 1, values[i]);
            try (ResultSet found = select.executeQuery()) {
                List<List<String>> rows = new ArrayList<>();
                while (found.next()) rows.add(row(found));
                return rows;
            }
        }
    }

    private static List<String> row(ResultSet found) throws SQLException {
        List<String> cells = new ArrayList<>();
        for (int i = 1; i <= found.getMetaData().getColumnCount(); i++) {
            boolean isNumber = found.getMetaData().getColumnType(i) == Types.DOUBLE;
            String cell = isNumber ? Double.toString(found.getDouble(i)) : found.getString(i);
            cells.add(found.wasNull() ? "" : cell);
        }
        return cells;
    }
}
