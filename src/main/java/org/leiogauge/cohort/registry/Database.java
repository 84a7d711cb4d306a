// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import org.leiogauge.cohort.Checksum;
import org.leiogauge.task.InputException;

/** The database under a registry: one file, or a PostgreSQL server; opened, brought to this version's tables, closed. */
final class Database implements AutoCloseable {
    private static final String SERVER = "jdbc:postgresql:";
    private static final String SUFFIX = ".mv.db";
    private static final List<String> MIGRATIONS = List.of("001-cases.sql");

    // H2 error codes
    private static final int IN_USE = 90020;
    private static final int DAMAGED = 90030;
    private static final int OTHER_FORMAT = 90048;

    private final String shown;
    private final Connection connection;
    private final boolean embedded;

    private Database(String shown, Connection connection, boolean embedded) {
        this.shown = shown;
        this.connection = connection;
        this.embedded = embedded;
    }

    /** Work on the database. */
    @FunctionalInterface
    interface Work<T> {
        T run(Connection connection) throws SQLException, InputException, IOException;
    }

    /**
     * @param place a file, or a URL that begins with {@code jdbc:postgresql:}
     * @param create whether a file that is not there is begun
     */
    static Database open(String place, boolean create) throws InputException, IOException {
        Database database = place.startsWith(SERVER) ? server(place) : file(place, create);
        try {
            database.migrate();
            return database;
        } catch (InputException | IOException | RuntimeException e) {
            database.close();
            throw e;
        }
    }

    private static Database server(String url) throws InputException, IOException {
        // what stands behind the question mark may be a password
        String shown = url.replaceAll("\\?.*", "");
        try {
            return new Database(shown, DriverManager.getConnection(url), false);
        } catch (SQLException e) {
            throw new InputException(shown, "", "no connection: " + e.getMessage(), "a PostgreSQL server that answers");
        }
    }

    private static Database file(String place, boolean create) throws InputException, IOException {
        if (place.startsWith("jdbc:") || place.indexOf(';') >= 0)
            throw new InputException("--db", "", place, "a file, or a URL that begins with " + SERVER);
        Path file = path(place);
        String name = file.toString();
        Path whole = Path.of(name + SUFFIX);
        if (!create && !Files.isRegularFile(whole)) throw new InputException(whole, "", "no such file", "a registry");
        Files.createDirectories(file.getParent());
        try {
            return new Database(
                    whole.toString(),
                    DriverManager.getConnection(
                            "jdbc:h2:file:" + name + ";WRITE_DELAY=0;TRACE_LEVEL_FILE=0;DB_CLOSE_ON_EXIT=FALSE",
                            "registry",
                            ""),
                    true);
        } catch (SQLException e) {
            throw notOpened(whole, e);
        }
    }

    private static Path path(String place) throws InputException {
        try {
            String name = place.endsWith(SUFFIX) ? place.substring(0, place.length() - SUFFIX.length()) : place;
            return Path.of(name).toAbsolutePath().normalize();
        } catch (InvalidPathException e) {
            throw new InputException("--db", "", place, "a file");
        }
    }

    private static InputException notOpened(Path file, SQLException e) {
        if (e.getErrorCode() == IN_USE)
            return new InputException(file, "", "a registry that another program has open", "one that is free");
        boolean damaged = e.getErrorCode() == DAMAGED || e.getErrorCode() == OTHER_FORMAT;
        return new InputException(
                file,
                "",
                damaged ? "a damaged file, or none of ours" : "a file that cannot be opened: " + e.getMessage(),
                "a registry");
    }

    /** Runs the work whole or not at all. */
    <T> T transaction(Work<T> work) throws InputException, IOException {
        try {
            connection.setAutoCommit(false);
            T result = work.run(connection);
            connection.commit();
            return result;
        } catch (SQLException e) {
            rollBack(e);
            throw new IOException(
                    shown + ": the registry did not take it: " + e.getMessage().replace('\n', ' ')
                            + "; what was in it before is untouched",
                    e);
        } catch (InputException | IOException | RuntimeException e) {
            rollBack(e);
            throw e;
        }
    }

    private void rollBack(Exception reason) {
        try {
            connection.rollback();
        } catch (SQLException gone) {
            // a database that is gone rolls back by itself
            reason.addSuppressed(gone);
        }
    }

    /** What is committed is on the disk from then on. */
    void force() throws IOException {
        if (!embedded) return;
        try (Statement statement = connection.createStatement()) {
            statement.execute("CHECKPOINT SYNC");
        } catch (SQLException e) {
            throw new IOException(shown + ": " + e.getMessage(), e);
        }
    }

    String shown() {
        return shown;
    }

    @Override
    public void close() throws IOException {
        try {
            connection.close();
        } catch (SQLException e) {
            throw new IOException(shown + ": " + e.getMessage(), e);
        }
    }

    private void migrate() throws InputException, IOException {
        transaction(database -> {
            try (Statement statement = database.createStatement()) {
                statement.execute("CREATE TABLE IF NOT EXISTS registry_migration ("
                        + "version INTEGER NOT NULL PRIMARY KEY, script VARCHAR NOT NULL, checksum VARCHAR NOT NULL)");
            }
            return true;
        });
        for (int version = 1; version <= MIGRATIONS.size(); version++) migrate(version);
        transaction(this::requireNoneNewer);
    }

    private boolean requireNoneNewer(Connection database) throws SQLException, InputException {
        try (Statement statement = database.createStatement();
                ResultSet newest = statement.executeQuery("SELECT MAX(version) FROM registry_migration")) {
            newest.next();
            if (newest.getInt(1) > MIGRATIONS.size())
                throw new InputException(
                        shown,
                        "",
                        "tables of version " + newest.getInt(1),
                        "at most " + MIGRATIONS.size() + ": a newer program made it");
            return true;
        }
    }

    private void migrate(int version) throws InputException, IOException {
        String script = MIGRATIONS.get(version - 1);
        String text = text(script);
        transaction(database -> {
            try (PreparedStatement known =
                    database.prepareStatement("SELECT checksum FROM registry_migration WHERE version = ?")) {
                known.setInt(1, version);
                try (ResultSet row = known.executeQuery()) {
                    if (row.next()) return requireSame(script, text, row.getString(1));
                }
            }
            run(database, text);
            Rows.insert(database, "registry_migration", List.of(version, script, Checksum.of(text)));
            return true;
        });
    }

    private boolean requireSame(String script, String text, String checksum) throws InputException {
        if (!checksum.equals(Checksum.of(text)))
            throw new InputException(shown, "migration " + script, "another text than ours", "tables that we made");
        return true;
    }

    // The embedded database commits after each table: one that a stop left half-way is taken up again.
    private void run(Connection database, String text) throws SQLException {
        String statements = text.replaceAll("(?m)^--.*$", "").replace("CREATE TABLE ", "CREATE TABLE IF NOT EXISTS ");
        try (Statement statement = database.createStatement()) {
            for (String one : statements.split(";")) if (!one.isBlank()) statement.execute(one);
        }
    }

    private static String text(String script) throws IOException {
        try (InputStream in = Database.class.getResourceAsStream(script)) {
            if (in == null) throw new IllegalStateException("the program lacks " + script);
            return new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
