// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.ServiceLoader;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.leiogauge.cohort.CaseRunner;
import org.leiogauge.cohort.Cohort;
import org.leiogauge.cohort.LocalRunner;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "cohort",
        mixinStandardHelpOptions = true,
        description = {
            "Measures many cases into one table; a case that fails, or whose files are not there, is listed and stops nothing.",
            "The manifest is a CSV with the columns case,study,outline,case-file,site,reader,outcome:",
            "the first three are needed, paths are relative to it, several rows of one case are several outlines."
        },
        exitCodeListHeading = "%nExit codes:%n",
        exitCodeList = {"0:done", "1:done, but some cases failed: see failures.csv", "2:bad input", "3:internal error"},
        footer = {
            "",
            "Example:",
            "  leiogauge cohort cases.csv --out cohort",
            "  leiogauge cohort cases.csv --out cohort --resume"
        })
final class CohortCommand implements Callable<Integer> {
    private static final int SOME_FAILED = 1;
    private static final String SPARK = "spark";

    @Parameters(paramLabel = "MANIFEST.csv", description = "the list of cases")
    private String manifest;

    @Option(names = "--out", paramLabel = "DIR", required = true, description = "folder that gets tables and cases")
    private Path out;

    @Option(
            names = "--resume",
            description = "go on with a run that was stopped, in any way; with a new folder, begin one")
    private boolean resume;

    @Option(
            names = "--runner",
            paramLabel = "NAME",
            description = "what runs the cases: local, or spark, where leiogauge-spark.jar runs")
    private String runner = "local";

    @Option(
            names = "--memory-budget",
            paramLabel = "SIZE",
            converter = MemorySize.class,
            description =
                    "what the cases at work may take together, as 4g or 900m; without, three quarters of Java's memory")
    private Optional<MemorySize.Bytes> memory = Optional.empty();

    @Mixin
    private SettingsOptions settings;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        CaseRunner chosen = runner();
        Cohort.Options options = new Cohort.Options(
                out,
                resume,
                chosen,
                memory.map(MemorySize.Bytes::bytes).orElse(Runtime.getRuntime().maxMemory() / 4 * 3),
                settings.read(),
                "Leiogauge " + Main.VERSION);
        Cohort.Result result;
        try (Workers workers = common.workers()) {
            result = Cohort.run(chosen.manifest(manifest), options, workers, common.progress("measuring cases"));
        } catch (IOException e) {
            throw new IOException(e.getMessage() + "; what is finished stays: go on with --resume", e);
        }
        System.out.println(out.resolve("features.csv"));
        if (result.kept() > 0) System.err.println(Counted.of(result.kept(), "case") + " finished before");
        if (result.failed() == 0) return 0;
        System.err.println(result.failed() + " of " + Counted.of(result.cases(), "case") + " failed: "
                + out.resolve("failures.csv"));
        return SOME_FAILED;
    }

    private CaseRunner runner() throws InputException {
        List<CaseRunner> runners = new ArrayList<>(List.of(new LocalRunner()));
        ServiceLoader.load(CaseRunner.class).forEach(runners::add);
        for (CaseRunner one : runners) if (one.name().equals(runner)) return one;
        if (runner.equals(SPARK))
            throw new InputException(
                    "--runner",
                    "",
                    "spark, and no runner for it in this jar",
                    "leiogauge-spark.jar, which mvn -Pspark -DskipTests package makes; see docs/scale.md");
        throw new InputException(
                "--runner",
                "",
                runner,
                runners.stream().map(CaseRunner::name).collect(Collectors.joining(", ", "one of ", "")));
    }
}
