// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.lesion.LesionShape;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Role;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement.NotMeasured;

/** The rows of the feature table: lesion-level features in the order of their registry, then the standard's per series. */
final class CaseRows {
    private static final String NOT_YET = "this version does not measure it";

    private final CaseFile caseFile;
    private final List<SeriesMeasurement> series;
    private final List<LesionRow> rows = new ArrayList<>();

    private CaseRows(CaseFile caseFile, List<SeriesMeasurement> series) {
        this.caseFile = caseFile;
        this.series = series;
    }

    /** @param series with the outline's own first */
    static List<LesionRow> of(CaseFile caseFile, List<SeriesMeasurement> series) {
        CaseRows rows = new CaseRows(caseFile, series);
        rows.addShape();
        rows.addT2();
        rows.addPerRole(LesionDefinitions.t1(), Role.T1_FAT_SAT, Role.T1);
        rows.addPerRole(LesionDefinitions.enhancement(), Role.POST_CONTRAST);
        rows.addPerRole(LesionDefinitions.dwi(), Role.DWI);
        rows.addPerRole(LesionDefinitions.adc(), Role.ADC);
        series.forEach(rows::addStandard);
        return List.copyOf(rows.rows);
    }

    private void addShape() {
        LesionShape.shape(series.get(0).features()).forEach(value -> add("", value));
        addMissing(
                List.of(
                        LesionDefinitions.MARGIN_ROUGHNESS,
                        LesionDefinitions.MARGIN_SHARPNESS,
                        LesionDefinitions.LOBULATION_COUNT),
                "",
                NOT_YET);
    }

    private void addT2() {
        Optional<SeriesMeasurement> t2 = of(Role.T2);
        if (t2.isEmpty()) {
            addPerRole(LesionDefinitions.t2(), Role.T2);
            return;
        }
        addMissing(List.of(LesionDefinitions.T2_TO_MUSCLE, LesionDefinitions.T2_TO_MYOMETRIUM), Role.T2.key(), NOT_YET);
        LesionShape.t2Spread(t2.get().features()).forEach(value -> add(Role.T2.key(), value));
        addMissing(List.of(LesionDefinitions.T2_BRIGHT_FRACTION), Role.T2.key(), NOT_YET);
    }

    // The first of the roles that serve is named in the reason.
    private void addPerRole(List<Definition> definitions, Role... roles) {
        for (Role role : roles)
            if (of(role).isPresent()) {
                addMissing(definitions, role.key(), NOT_YET);
                return;
            }
        addMissing(definitions, roles[0].key(), "no " + roles[0].words() + " series was measured");
    }

    private void addStandard(SeriesMeasurement measured) {
        measured.features().forEach(value -> add(measured.key(), value));
    }

    private void addMissing(List<Definition> definitions, String seriesKey, String reason) {
        for (Definition definition : definitions)
            add(seriesKey, new FeatureValue(definition, Aggregation.NONE, new NotMeasured(reason)));
    }

    private void add(String seriesKey, FeatureValue value) {
        rows.add(new LesionRow(
                caseFile.caseName(), caseFile.lesion(), "lesion", seriesKey, value, Optional.empty(), ""));
    }

    private Optional<SeriesMeasurement> of(Role role) {
        return series.stream()
                .filter(one -> one.role().equals(Optional.of(role)))
                .findFirst();
    }
}
