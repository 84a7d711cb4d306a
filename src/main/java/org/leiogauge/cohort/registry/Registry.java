// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Key;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.task.InputException;

/**
 * Cases, lesions, measurements with their definitions, impressions and outcomes in a database. Adding what is there already
 * changes nothing; what contradicts it is a conflict, and changes nothing either.
 */
public final class Registry implements AutoCloseable {
    private final Database database;

    private Registry(Database database) {
        this.database = database;
    }

    /**
     * @param place a file, or a URL that begins with {@code jdbc:postgresql:}
     * @param create whether a file that is not there is begun
     * @throws InputException if it is in use, damaged, not ours or not there
     */
    public static Registry open(String place, boolean create) throws InputException, IOException {
        return new Registry(Database.open(place, create));
    }

    /** What adding an entry did. */
    public enum Change {
        ADDED,
        UNCHANGED,
        CONFLICT
    }

    /** @param conflicts what the registry says and what the entry says; none unless the change is a conflict */
    public record Added(Change change, List<String> conflicts) {
        public Added {
            conflicts = List.copyOf(conflicts);
        }
    }

    /** Adds an entry whole, or leaves the registry as it is. */
    public Added add(Entry entry) throws InputException, IOException {
        return database.transaction(connection -> {
            Addition addition = new Addition(connection, entry);
            return addition.run();
        });
    }

    /** What was added is on the disk from then on. */
    public void force() throws IOException {
        database.force();
    }

    /** One line per measurement: the lesion, its facts, and where the values come from. */
    public record Line(
            Key key, String site, String outcome, String software, String dictionary, int values, int impressions) {}

    /** All measurements, sorted by case, lesion, reader, software and settings. */
    public List<Line> list() throws InputException, IOException {
        return database.transaction(connection -> {
            List<Line> lines = new ArrayList<>();
            for (List<String> row : Rows.select(
                    connection,
                    "SELECT s.case_name, s.lesion, s.reader, c.site, COALESCE(o.outcome, ''), s.software,"
                            + " s.dictionary_version,"
                            + " (SELECT COUNT(*) FROM registry_measurement m WHERE m.set_id = s.set_id),"
                            + " (SELECT COUNT(*) FROM registry_impression i"
                            + "   WHERE i.case_name = s.case_name AND i.lesion = s.lesion AND i.reader = s.reader)"
                            + " FROM registry_set s JOIN registry_case c ON c.case_name = s.case_name"
                            + " LEFT JOIN registry_outcome o ON o.case_name = s.case_name AND o.lesion = s.lesion"
                            + " ORDER BY s.case_name, s.lesion, s.reader, s.software, s.settings_id"))
                lines.add(new Line(
                        new Key(row.get(0), row.get(1), row.get(2)),
                        row.get(3),
                        row.get(4),
                        row.get(5),
                        row.get(6),
                        Integer.parseInt(row.get(7)),
                        Integer.parseInt(row.get(8))));
            return lines;
        });
    }

    /** Takes one entry after the other. */
    @FunctionalInterface
    public interface Visitor {
        void visit(Entry entry) throws IOException, InputException;
    }

    /**
     * Visits all entries, sorted by case, lesion, reader, software and settings; one is in memory at a time.
     *
     * @param software only what this version measured; none: all
     */
    public void forEach(Optional<String> software, Visitor visitor) throws InputException, IOException {
        database.transaction(connection -> {
            for (List<String> set : Rows.select(
                    connection,
                    "SELECT set_id, case_name, lesion, reader, software, settings FROM registry_set"
                            + " ORDER BY case_name, lesion, reader, software, settings_id"))
                if (software.isEmpty() || software.get().equals(set.get(4))) visitor.visit(entry(connection, set));
            return true;
        });
    }

    private static Entry entry(Connection connection, List<String> set) throws SQLException {
        Key key = new Key(set.get(1), set.get(2), set.get(3));
        List<Value> values = new ArrayList<>();
        for (List<String> row : Rows.select(
                connection,
                "SELECT d.column_name, d.region, d.series, d.feature_group, d.feature, d.code, d.aggregation,"
                        + " d.aggregation_code, d.unit, d.meaning, d.source, m.measured, m.low, m.high, m.status, m.note"
                        + " FROM registry_measurement m JOIN registry_definition d ON d.definition_id = m.definition_id"
                        + " WHERE m.set_id = ? ORDER BY m.place",
                set.get(0)))
            values.add(new Value(
                    row.subList(0, 11),
                    number(row.get(11)),
                    number(row.get(12)),
                    number(row.get(13)),
                    row.get(14),
                    row.get(15)));
        return new Entry(
                key,
                facts(connection, key).orElse(Facts.NONE),
                new Origin(set.get(4), set.get(5)),
                values,
                impressions(connection, key),
                outcome(connection, key).orElse(Outcome.NONE));
    }

    static Optional<Facts> facts(Connection connection, Key key) throws SQLException {
        return Rows.select(
                        connection,
                        "SELECT site, age_band, menopausal_status FROM registry_case WHERE case_name = ?",
                        key.caseName())
                .stream()
                .map(row -> new Facts(row.get(0), row.get(1), row.get(2)))
                .findFirst();
    }

    static Optional<Outcome> outcome(Connection connection, Key key) throws SQLException {
        return Rows.select(
                        connection,
                        "SELECT outcome, histology, treatment FROM registry_outcome WHERE case_name = ? AND lesion = ?",
                        key.caseName(),
                        key.lesion())
                .stream()
                .map(row -> new Outcome(row.get(0), row.get(1), row.get(2)))
                .findFirst();
    }

    static List<Impression> impressions(Connection connection, Key key) throws SQLException {
        return Rows.select(
                        connection,
                        "SELECT locked, border, t2_signal, t2_homogeneity, t1_bright_signal, enhancement,"
                                + " non_enhancing_areas, diffusion, concern, remark FROM registry_impression"
                                + " WHERE case_name = ? AND lesion = ? AND reader = ? ORDER BY place",
                        key.caseName(),
                        key.lesion(),
                        key.reader())
                .stream()
                .map(row -> new Impression(
                        row.get(0),
                        row.subList(1, 8),
                        row.get(8).isEmpty() ? Optional.empty() : Optional.of(Integer.valueOf(row.get(8))),
                        row.get(9)))
                .toList();
    }

    /** What the names and dates of exports are derived from: made once, never exported. */
    String secret() throws InputException, IOException {
        return database.transaction(connection -> {
            List<List<String>> rows = Rows.select(connection, "SELECT secret FROM registry_secret");
            if (!rows.isEmpty()) return rows.get(0).get(0);
            byte[] random = new byte[32];
            new SecureRandom().nextBytes(random);
            String secret = HexFormat.of().formatHex(random);
            Rows.insert(connection, "registry_secret", List.of(1, secret));
            return secret;
        });
    }

    /** Columns that have more than one definition, with the software versions that measured them. */
    Map<String, List<String>> mixedColumns(Optional<String> software) throws InputException, IOException {
        return database.transaction(connection -> {
            Map<String, List<String>> mixed = new LinkedHashMap<>();
            for (List<String> row : Rows.select(
                    connection,
                    "SELECT DISTINCT d.column_name, d.definition_id, s.software FROM registry_definition d"
                            + " JOIN registry_measurement m ON m.definition_id = d.definition_id"
                            + " JOIN registry_set s ON s.set_id = m.set_id ORDER BY 1, 3, 2"))
                if (software.isEmpty() || software.get().equals(row.get(2)))
                    mixed.computeIfAbsent(row.get(0), column -> new ArrayList<>())
                            .add(row.get(1) + " " + row.get(2));
            mixed.values()
                    .removeIf(found -> found.stream()
                                    .map(one -> one.split(" ")[0])
                                    .distinct()
                                    .count()
                            < 2);
            return mixed;
        });
    }

    public String shown() {
        return database.shown();
    }

    @Override
    public void close() throws IOException {
        database.close();
    }

    static void update(Connection connection, String statement, Object... values) throws SQLException {
        try (PreparedStatement update = connection.prepareStatement(statement)) {
            for (int i = 0; i < values.length; i++) update.setObject(i + 1, values[i]);
            update.executeUpdate();
        }
    }

    private static Optional<Double> number(String cell) {
        return cell.isEmpty() ? Optional.empty() : Optional.of(Double.valueOf(cell));
    }
}
