// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PageTest {
    private static final String SCRIPT = "<script>alert(1)</script><img src=x onerror=alert(2)>";

    @TempDir
    Path folder;

    private Path page() throws Exception {
        Figure figure = new Figure("curve", SCRIPT, new BufferedImage(8, 8, BufferedImage.TYPE_INT_RGB));
        Path file = folder.resolve("page.html");
        Page.write(
                file,
                new Page.Content(
                        "Two readers " + SCRIPT,
                        "Leiogauge test",
                        List.of(SCRIPT),
                        List.of(new Page.Section(
                                "Section",
                                List.of("words", SCRIPT),
                                List.of(new Page.Table(
                                        List.of("feature", "n"),
                                        List.of(List.of(SCRIPT, "3"), List.of("adc p50", "4")))),
                                List.of(figure)))));
        return file;
    }

    // Oracles: the Nu HTML checker; axe-core's rules in a browser, which also tells whether a dialog opened.
    @Test
    void outsideEyesFindNothing() throws Exception {
        PageCheck.assumePresent();
        Path page = page();
        assertThat(PageCheck.htmlMessages(page)).isEmpty();
        assertThat(PageCheck.findings(page)).isEmpty();
    }

    // Oracle: pages with known faults, by the HTML standard and by WCAG 2.1 (1.1.1, 1.4.3); without this the checks
    // above could pass because the tools say nothing.
    @Test
    void outsideEyesFindWhatIsWrong() throws Exception {
        PageCheck.assumePresent();
        Path wrong = Files.writeString(
                folder.resolve("wrong.html"),
                "<!DOCTYPE html><html lang=\"en\"><head><title>t</title></head><body><main><h1>h</h1><p><div></p>"
                        + "<p style=\"color:#ccc;background:#fff\">pale</p><img src=\"data:,\">"
                        + "<script>alert(1)</script></main></body></html>");
        assertThat(PageCheck.htmlMessages(wrong)).anyMatch(line -> line.contains("error"));
        assertThat(PageCheck.findings(wrong))
                .anyMatch(line -> line.startsWith("dark serious color-contrast"))
                .anyMatch(line -> line.startsWith("paper critical image-alt"))
                .anyMatch(line -> line.startsWith("light serious dialog"));
    }
}
