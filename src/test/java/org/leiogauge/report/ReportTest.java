// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.CriteriaCards;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.feature.Definitions;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.stability.MethodError;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Interval;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement;

class ReportTest {
    private static final String SCRIPT = "<script>alert(1)</script><img src=x onerror=alert(2)>";
    private static final String FORMULA = "=HYPERLINK(\"http://example.org\")";
    private static final String OVERRIDE = "abc\u202Efdp.exe\u0000\u0007";
    private static final String HEBREW = "\u05E9\u05DC\u05D5\u05DD";
    private static final String LONG = "x".repeat(50_000);

    private static ReportContent content(String hostile) {
        return content(hostile, MethodErrors.NONE);
    }

    private static ReportContent content(String hostile, MethodErrors errors) {
        List<Definition> known = Stream.concat(LesionDefinitions.all().stream(), Definitions.all().stream())
                .toList();
        LesionRow row = new LesionRow(
                hostile,
                hostile,
                "lesion",
                "",
                new FeatureValue(LesionDefinitions.VOLUME, new Aggregation("", ""), new Measurement.Measured(1234.5)),
                Optional.of(new Interval(1200, 1300)),
                hostile);
        Appraisal appraisal = Appraisal.of(
                List.of(row),
                Appraisal.Standards.of(CriteriaCards.shipped(known), Lexicon.shipped(known), Prevalence.standard()),
                Optional.empty());
        Figure figure = new Figure("t2-slice-001", "a slice", new BufferedImage(8, 8, BufferedImage.TYPE_INT_RGB));
        return new ReportContent(
                hostile,
                hostile,
                "Leiogauge test",
                Optional.of(hostile),
                List.of(new ReportContent.Group("Pictures", "words", List.of(figure))),
                Pictures.patterns(appraisal),
                List.of(row),
                appraisal,
                List.of(),
                30,
                errors,
                List.of(new ReportContent.SeriesLine(hostile, hostile, hostile)),
                List.of(hostile),
                List.of(hostile),
                "a: b\n");
    }

    @Test
    void anIntervalThatLacksTheErrorOfTheMethodSaysSo(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("report.html");
        HtmlReport.write(file, content("case"));
        assertThat(Files.readString(file)).contains("1.2 to 1.3 (draws alone)");
        MethodErrors known = new MethodErrors(Map.of("volume", new MethodError(0, 0.01, 0, 0, 1e9, 1000)));
        HtmlReport.write(file, content("case", known));
        assertThat(Files.readString(file)).contains("1.2 to 1.3<").doesNotContain("(draws alone)");
    }

    @Test
    void hostileTextStaysText(@TempDir Path folder) throws IOException {
        for (String hostile : List.of(SCRIPT, FORMULA, OVERRIDE, HEBREW, LONG)) {
            HtmlReport.write(folder.resolve("report.html"), content(hostile));
            String page = Files.readString(folder.resolve("report.html"));
            // Oracle: HTML, a tag begins with a bare "<"; the page has none of these of its own.
            assertThat(page).doesNotContain("<script", "<img src=x", "\u202E", "\u0000", "\u0007", "x".repeat(2000));
        }
    }

    @Test
    void rightToLeftTextIsShownAndKeptApart(@TempDir Path folder) throws IOException {
        HtmlReport.write(folder.resolve("report.html"), content(HEBREW));
        assertThat(Files.readString(folder.resolve("report.html"))).contains("<bdi>" + HEBREW + "</bdi>");
    }

    @Test
    void aPageLoadsNothingFromOutside(@TempDir Path folder) throws IOException {
        HtmlReport.write(folder.resolve("report.html"), content("case"));
        String page = Files.readString(folder.resolve("report.html"));
        assertThat(page.split("<style", -1)).hasSize(2);
        assertThat(page).doesNotContain("<script", "<link", "src=\"http", "url(", "@import");
    }

    @Test
    void hostileTextMakesAPdfThatReadsAsText() throws IOException {
        for (String hostile : List.of(SCRIPT, FORMULA, OVERRIDE, HEBREW, LONG))
            try (PDDocument document = Loader.loadPDF(PdfReport.bytes(content(hostile)))) {
                String text = new PDFTextStripper().getText(document);
                assertThat(text).contains("Not a diagnosis", "1.2 to 1.3");
                assertThat(document.getDocumentCatalog().getOpenAction()).isNull();
            }
    }

    @Test
    void theSameContentGivesTheSamePdfBytes() {
        assertThat(PdfReport.bytes(content("case"))).isEqualTo(PdfReport.bytes(content("case")));
    }

    @Test
    void theRampGrowsSteadilyLighter() {
        double before = -1;
        for (int i = 0; i <= 100; i++) {
            double now = luminance(ColourRamp.rgb(i / 100.0));
            assertThat(now).isGreaterThan(before);
            before = now;
        }
    }

    // Oracle: relative luminance of sRGB, WCAG 2.1.
    private static double luminance(int rgb) {
        return 0.2126 * linear(rgb >> 16 & 0xff) + 0.7152 * linear(rgb >> 8 & 0xff) + 0.0722 * linear(rgb & 0xff);
    }

    private static double linear(int level) {
        double c = level / 255.0;
        return c <= 0.03928 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4);
    }
}
