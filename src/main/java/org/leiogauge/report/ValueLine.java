// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.Locale;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.lesion.T1Blood;
import org.leiogauge.lesion.T2Signal;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.table.Definition;
import org.leiogauge.table.LesionRow;

/**
 * One value as the page shows it.
 *
 * @param interval empty where there is none
 * @param note why it wants care, or why there is no value
 */
public record ValueLine(
        String feature, String series, String value, String interval, String unit, String note, boolean care) {

    static ValueLine of(LesionRow row, MethodErrors errors) {
        Definition definition = row.value().definition();
        // readers think of volumes in mL; the tables, and the standard's features, keep mm3
        boolean isVolume = ReportPage.isSign(row) && definition.unit().equals("mm3");
        double scale = isVolume ? 1e-3 : 1;
        // what an interval lacks is said beside it: it is narrower than it should be
        String part = errors.isKnown(row.value()) ? "" : " (draws alone)";
        // a number and its unit stay on one line
        String detail = row.value().aggregation().name().replace(' ', '\u00a0');
        return new ValueLine(
                definition.feature() + (detail.isEmpty() ? "" : ", " + detail),
                row.series(),
                HtmlReport.digits(scale * row.value().measurement().number().orElse(Double.NaN)) + meaning(row),
                row.interval()
                        .map(i -> HtmlReport.digits(scale * i.low()) + " to " + HtmlReport.digits(scale * i.high())
                                + part)
                        .orElse(""),
                isVolume ? "mL" : HtmlReport.symbol(definition.unit()),
                Shown.text(row.note()),
                row.status() == LesionRow.Status.CAUTION);
    }

    // A class has a name; its number alone says nothing to a reader.
    private static String meaning(LesionRow row) {
        Definition definition = row.value().definition();
        int number = (int) row.value().measurement().number().orElse(-1);
        if (definition.equals(LesionDefinitions.T2_CLASS))
            for (T2Signal.SignalClass one : T2Signal.SignalClass.values())
                if (one.number() == number) return " (" + one.words() + ")";
        if (definition.equals(LesionDefinitions.T1_PATTERN))
            for (T1Blood.Pattern one : T1Blood.Pattern.values()) if (one.number() == number) return words(one);
        return "";
    }

    private static String words(Enum<?> one) {
        return " (" + one.name().toLowerCase(Locale.ROOT).replace('_', ' ') + ")";
    }
}
