// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.leiogauge.dicom.OutsideTool;

/** Outside eyes on a page: the Nu HTML checker, and axe-core in Debian's Chromium; {@code npm ci} in {@code .ci} brings both. */
public final class PageCheck {
    private static final Path TOOLS = Path.of(".ci");
    private static final Path CHECKER = TOOLS.resolve("node_modules/vnu-jar/build/dist/vnu.jar");

    private PageCheck() {}

    public static void assumePresent() {
        OutsideTool.assumePresent("node", "chromium");
        OutsideTool.assume(
                Files.isRegularFile(CHECKER) && Files.isDirectory(TOOLS.resolve("node_modules/axe-core")),
                "not installed: the packages of .ci/package.json (npm ci --ignore-scripts in .ci)");
    }

    /** Errors and warnings of the HTML checker; what it only notes, as a slash that XML needs, is left out. */
    public static List<String> htmlMessages(Path... pages) throws IOException, InterruptedException {
        String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
        List<String> command = new ArrayList<>(List.of(
                java, "-Xss8m", "-jar", CHECKER.toString(), "--stdout", "--exit-zero-always", "--format", "gnu"));
        for (Path page : pages) command.add(page.toString());
        return OutsideTool.run(command.toArray(String[]::new)).stream()
                .filter(line -> !line.contains(": info: "))
                .toList();
    }

    /** What each page is found wanting in, on light and dark screens and on paper, and what it asked for from outside. */
    public static List<String> findings(Path... pages) throws IOException, InterruptedException {
        List<String> command =
                new ArrayList<>(List.of("node", TOOLS.resolve("page.mjs").toString()));
        for (Path page : pages) command.add(page.toAbsolutePath().toString());
        List<String> lines = OutsideTool.run(command.toArray(String[]::new));
        // three views of each page were looked at, each by many rules
        List<String> looked = lines.stream()
                .filter(line -> line.matches("(light|dark|paper) passed \\d\\d+"))
                .toList();
        Stream<String> missing = looked.size() == 3 * pages.length
                ? Stream.empty()
                : Stream.of("only " + looked.size() + " views were looked at");
        return Stream.concat(missing, lines.stream().filter(line -> !looked.contains(line)))
                .toList();
    }
}
