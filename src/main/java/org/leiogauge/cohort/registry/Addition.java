// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Key;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.cohort.registry.Registry.Added;
import org.leiogauge.cohort.registry.Registry.Change;

/** One entry on its way into the tables: first all is compared, then, if nothing contradicts, what is new is written. */
final class Addition {
    private final Connection connection;
    private final Entry entry;
    private final Key key;
    private final List<String> conflicts = new ArrayList<>();

    Addition(Connection connection, Entry entry) {
        this.connection = connection;
        this.entry = entry;
        this.key = entry.key();
    }

    Added run() throws SQLException {
        Optional<Facts> facts = Registry.facts(connection, key);
        Optional<Outcome> outcome = Registry.outcome(connection, key);
        List<Impression> impressions = Registry.impressions(connection, key);
        facts.ifPresent(known -> compare(
                List.of("site", "age-band", "menopausal-status"),
                known.cells(),
                entry.facts().cells()));
        outcome.ifPresent(known -> compare(
                List.of("outcome", "histology", "procedure"),
                known.cells(),
                entry.outcome().cells()));
        compareImpressions(impressions);
        List<String> content = contentOfSet();
        if (!content.isEmpty() && !content.get(0).equals(entry.contentId()))
            conflicts.add(where() + ": other values are there, measured by "
                    + entry.origin().software() + " with the same settings");
        if (!conflicts.isEmpty()) return new Added(Change.CONFLICT, conflicts);
        boolean changed = writeFacts(facts);
        changed |= writeOutcome(outcome);
        changed |= writeImpressions(impressions.size());
        if (content.isEmpty()) writeValues();
        return new Added(changed || content.isEmpty() ? Change.ADDED : Change.UNCHANGED, List.of());
    }

    private String where() {
        String reader = key.reader().isEmpty() ? "" : ", reader " + key.reader();
        return "case " + key.caseName() + ", lesion " + key.lesion() + reader;
    }

    // What is not known contradicts nothing.
    private void compare(List<String> names, List<String> known, List<String> said) {
        for (int i = 0; i < names.size(); i++)
            if (!known.get(i).isEmpty()
                    && !said.get(i).isEmpty()
                    && !known.get(i).equals(said.get(i)))
                conflicts.add(where() + ": " + names.get(i) + " is " + known.get(i) + ", not " + said.get(i));
    }

    private void compareImpressions(List<Impression> known) {
        int shared = Math.min(known.size(), entry.impressions().size());
        for (int i = 0; i < shared; i++)
            if (!known.get(i).equals(entry.impressions().get(i)))
                conflicts.add(where() + ": impression " + (i + 1) + " is another than the one that was locked at "
                        + known.get(i).locked());
    }

    private List<String> contentOfSet() throws SQLException {
        return Rows.select(connection, "SELECT content_id FROM registry_set WHERE set_id = ?", entry.setId()).stream()
                .map(row -> row.get(0))
                .toList();
    }

    private boolean writeFacts(Optional<Facts> known) throws SQLException {
        Facts facts = entry.facts();
        boolean changed = false;
        if (known.isEmpty()) {
            Rows.insert(
                    connection,
                    "registry_case",
                    List.of(key.caseName(), facts.site(), facts.ageBand(), facts.menopausalStatus()));
            changed = true;
        } else {
            Facts all = new Facts(
                    either(known.get().site(), facts.site()),
                    either(known.get().ageBand(), facts.ageBand()),
                    either(known.get().menopausalStatus(), facts.menopausalStatus()));
            if (!all.equals(known.get())) {
                Registry.update(
                        connection,
                        "UPDATE registry_case SET site = ?, age_band = ?, menopausal_status = ? WHERE case_name = ?",
                        all.site(),
                        all.ageBand(),
                        all.menopausalStatus(),
                        key.caseName());
                changed = true;
            }
        }
        if (Rows.select(
                        connection,
                        "SELECT lesion FROM registry_lesion WHERE case_name = ? AND lesion = ?",
                        key.caseName(),
                        key.lesion())
                .isEmpty()) {
            Rows.insert(connection, "registry_lesion", List.of(key.caseName(), key.lesion()));
            changed = true;
        }
        return changed;
    }

    private boolean writeOutcome(Optional<Outcome> known) throws SQLException {
        Outcome said = entry.outcome();
        if (known.isEmpty()) {
            if (said.equals(Outcome.NONE)) return false;
            Rows.insert(
                    connection,
                    "registry_outcome",
                    List.of(key.caseName(), key.lesion(), said.label(), said.histology(), said.treatment()));
            return true;
        }
        Outcome all = new Outcome(
                either(known.get().label(), said.label()),
                either(known.get().histology(), said.histology()),
                either(known.get().treatment(), said.treatment()));
        if (all.equals(known.get())) return false;
        Registry.update(
                connection,
                "UPDATE registry_outcome SET outcome = ?, histology = ?, treatment = ?"
                        + " WHERE case_name = ? AND lesion = ?",
                all.label(),
                all.histology(),
                all.treatment(),
                key.caseName(),
                key.lesion());
        return true;
    }

    private boolean writeImpressions(int known) throws SQLException {
        List<List<Object>> rows = new ArrayList<>();
        for (int i = known; i < entry.impressions().size(); i++) {
            Impression one = entry.impressions().get(i);
            List<Object> row =
                    new ArrayList<>(List.of(key.caseName(), key.lesion(), key.reader(), i + 1, one.locked()));
            row.addAll(one.terms());
            row.add(one.concern());
            row.add(one.remark());
            rows.add(row);
        }
        Rows.insertAll(connection, "registry_impression", rows);
        return !rows.isEmpty();
    }

    private void writeValues() throws SQLException {
        Rows.insert(
                connection,
                "registry_set",
                List.of(
                        entry.setId(),
                        key.caseName(),
                        key.lesion(),
                        key.reader(),
                        entry.origin().software(),
                        entry.origin().settings(),
                        entry.origin().settingsId(),
                        entry.dictionaryVersion(),
                        entry.contentId()));
        writeDefinitions();
        List<List<Object>> rows = new ArrayList<>();
        for (Value value : entry.values())
            rows.add(List.of(
                    entry.setId(),
                    value.definitionId(),
                    rows.size(),
                    value.number(),
                    value.low(),
                    value.high(),
                    value.status(),
                    value.note()));
        Rows.insertAll(connection, "registry_measurement", rows);
    }

    private void writeDefinitions() throws SQLException {
        Set<String> known = new HashSet<>();
        Rows.select(connection, "SELECT definition_id FROM registry_definition").forEach(row -> known.add(row.get(0)));
        List<List<Object>> rows = new ArrayList<>();
        for (Value value : entry.values())
            if (known.add(value.definitionId())) {
                List<Object> row = new ArrayList<>(List.of(value.definitionId()));
                row.addAll(value.meaning());
                rows.add(row);
            }
        Rows.insertAll(connection, "registry_definition", rows);
    }

    private static String either(String known, String said) {
        return known.isEmpty() ? said : known;
    }
}
