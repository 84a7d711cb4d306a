// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import org.leiogauge.task.WholeFile;
import org.thymeleaf.TemplateEngine;
import org.thymeleaf.context.Context;
import org.thymeleaf.templatemode.TemplateMode;
import org.thymeleaf.templateresolver.ClassLoaderTemplateResolver;

/** Writes a report as one HTML page that needs nothing else: pictures inside, no script, no network. */
public final class HtmlReport {
    static final TemplateEngine ENGINE = engine();
    private static final MathContext FOUR_DIGITS = new MathContext(4);

    private HtmlReport() {}

    public static void write(Path file, ReportContent content) throws IOException {
        write(file, "report", context(content, false));
    }

    static void write(Path file, String template, Context context) throws IOException {
        WholeFile.write(file, out -> {
            Writer text = new OutputStreamWriter(out, StandardCharsets.UTF_8);
            ENGINE.process(template, context, text);
            text.flush();
        });
    }

    /** @param paper for pages of paper, in the older style sheets that the PDF writer knows */
    static Context context(ReportContent content, boolean paper) {
        Context context = new Context(Locale.ROOT);
        context.setVariable("page", ReportPage.of(content));
        context.setVariable("paper", paper);
        return context;
    }

    // Four digits for the eye; the table has them all.
    static String digits(double value) {
        if (Double.isNaN(value)) return "–";
        BigDecimal rounded = new BigDecimal(value).round(FOUR_DIGITS);
        double size = Math.abs(value);
        return size != 0 && (size < 1e-3 || size >= 1e7)
                ? String.format(Locale.ROOT, "%.3e", value)
                : rounded.stripTrailingZeros().toPlainString();
    }

    static String symbol(String ucum) {
        switch (ucum) {
            case "1":
                return "";
            case "mm2":
                return "mm²";
            case "mm3":
                return "mm³";
            case "10-3.mm2/s":
                return "10⁻³ mm²/s";
            default:
                return ucum;
        }
    }

    private static TemplateEngine engine() {
        ClassLoaderTemplateResolver resolver = new ClassLoaderTemplateResolver(HtmlReport.class.getClassLoader());
        resolver.setPrefix("org/leiogauge/report/");
        resolver.setSuffix(".html");
        resolver.setTemplateMode(TemplateMode.HTML);
        resolver.setCharacterEncoding("UTF-8");
        TemplateEngine engine = new TemplateEngine();
        engine.setTemplateResolver(resolver);
        return engine;
    }
}
