// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.task.OneLine;

/** A study as text: what is in it, the role of each series and why. Text from files shows no control characters. */
public final class StudyText {
    private StudyText() {}

    /** A table for reading. */
    public static String table(Study study) {
        List<List<String>> rows = new ArrayList<>();
        rows.add(List.of("role", "images", "series", "why"));
        for (Series series : study.series())
            rows.add(List.of(
                    series.role().map(Role::key).orElse("–"),
                    Integer.toString(series.images()),
                    OneLine.of(series.label()),
                    series.reason()));
        StringBuilder text = new StringBuilder();
        for (List<String> row : rows) {
            for (int column = 0; column < 3; column++)
                text.append(row.get(column))
                        .append(" ".repeat(width(rows, column) - row.get(column).length() + 2));
            text.append(row.get(3)).append('\n');
        }
        if (!study.decisions().isEmpty()) text.append('\n');
        study.decisions().forEach(decision -> text.append(OneLine.of(decision)).append('\n'));
        text.append("\nprotocol check\n");
        List<ProtocolCheck.Shortfall> shortfalls = ProtocolCheck.of(study, ProtocolCheck.Settings.standard());
        if (shortfalls.isEmpty()) text.append("  nothing missing, nothing too coarse\n");
        for (ProtocolCheck.Shortfall shortfall : shortfalls)
            text.append("  ")
                    .append(OneLine.of(shortfall.what()))
                    .append("\n    costs: ")
                    .append(String.join(", ", shortfall.costs()))
                    .append('\n');
        return text.toString();
    }

    /** The same as JSON. */
    public static String json(Study study) {
        List<Map<String, Object>> series = new ArrayList<>();
        for (Series one : study.series()) {
            Map<String, Object> fields = new LinkedHashMap<>();
            fields.put("id", one.id());
            fields.put("description", one.name());
            fields.put("role", one.role().map(Role::key).orElse(null));
            fields.put("reason", one.reason());
            fields.put("images", one.images());
            fields.put("modality", one.facts().modality());
            fields.put("b-values", one.facts().bValues());
            fields.put("frame-of-reference", one.frameOfReference());
            series.add(fields);
        }
        Map<String, Object> whole = new LinkedHashMap<>();
        whole.put("series", series);
        whole.put("decisions", study.decisions());
        whole.put("protocol", protocol(study));
        try {
            return new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT).writeValueAsString(whole) + "\n";
        } catch (JsonProcessingException e) {
            throw new IllegalStateException(e);
        }
    }

    private static List<Map<String, Object>> protocol(Study study) {
        List<Map<String, Object>> shortfalls = new ArrayList<>();
        for (ProtocolCheck.Shortfall shortfall : ProtocolCheck.of(study, ProtocolCheck.Settings.standard())) {
            Map<String, Object> fields = new LinkedHashMap<>();
            fields.put("what", shortfall.what());
            fields.put("costs", shortfall.costs());
            fields.put("source", shortfall.source());
            shortfalls.add(fields);
        }
        return shortfalls;
    }

    private static int width(List<List<String>> rows, int column) {
        return rows.stream().mapToInt(row -> row.get(column).length()).max().orElse(0);
    }
}
