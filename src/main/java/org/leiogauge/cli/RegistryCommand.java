// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import org.leiogauge.cohort.ManifestRow;
import org.leiogauge.cohort.registry.Entry;
import org.leiogauge.cohort.registry.ExportFolder;
import org.leiogauge.cohort.registry.ExportedFolder;
import org.leiogauge.cohort.registry.MeasuredFolder;
import org.leiogauge.cohort.registry.Registry;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "registry",
        mixinStandardHelpOptions = true,
        description = {
            "The case registry: cases, lesions, measurements, impressions and outcomes, in one file or on a PostgreSQL server.",
            "It only grows: what is there is never overwritten, and what contradicts it is listed."
        },
        synopsisSubcommandLabel = "COMMAND",
        subcommands = {
            RegistryCommand.Add.class,
            RegistryCommand.Listing.class,
            RegistryCommand.Export.class,
            RegistryCommand.Merge.class
        },
        exitCodeListHeading = "%nExit codes:%n",
        exitCodeList = {"0:done", "1:done, but some entries contradict the registry", "2:bad input", "3:internal error"
        },
        footer = {
            "",
            "Example:",
            "  leiogauge registry add --db cases cohort",
            "  leiogauge registry export --db cases --out for-pooling",
            "  leiogauge registry merge --db pooled for-pooling"
        })
final class RegistryCommand implements Runnable {
    private static final int CONFLICTS = 1;

    @CommandLine.Spec
    private CommandLine.Model.CommandSpec spec;

    @Override
    public void run() {
        throw new CommandLine.ParameterException(spec.commandLine(), "one of add, list, export, merge is missing");
    }

    /** Which registry. */
    static final class Place {
        @Option(
                names = "--db",
                paramLabel = "REGISTRY",
                required = true,
                description =
                        "file of the registry, .mv.db being added to its name, or jdbc:postgresql://host/name?user=…")
        private String place;

        @Mixin
        private Common common;

        Registry open(boolean create) throws InputException, IOException {
            return Registry.open(place, create);
        }
    }

    /** What was added and what was not. */
    private static final class Tally {
        private int added;
        private int unchanged;
        private int conflicts;

        void count(Registry.Added added) {
            if (added.change() == Registry.Change.ADDED) this.added++;
            else if (added.change() == Registry.Change.UNCHANGED) unchanged++;
            else conflicts++;
            added.conflicts().forEach(conflict -> System.err.println("conflict: " + conflict));
        }

        int exitCode() {
            System.out.println(added + " added, " + unchanged + " there already, " + conflicts + " in conflict");
            return conflicts == 0 ? 0 : CONFLICTS;
        }
    }

    @Command(
            name = "add",
            mixinStandardHelpOptions = true,
            description = "Adds what measure or cohort wrote.",
            footer = {"", "Example:", "  leiogauge registry add --db cases result --case case.yaml --reader reader-1"})
    static final class Add implements Callable<Integer> {
        @Mixin
        private Place place;

        @Parameters(arity = "1..*", paramLabel = "FOLDER", description = "folders that measure or cohort wrote")
        private List<Path> folders = new ArrayList<>();

        @Option(
                names = "--case",
                paramLabel = "CASE.yaml",
                description = "case file with impressions and outcome; repeatable")
        private List<Path> caseFiles = new ArrayList<>();

        @Option(names = "--reader", paramLabel = "NAME", description = "who drew the outline; a cohort knows it")
        private String reader = "";

        @Option(names = "--site", paramLabel = "NAME", description = "where it was scanned; a cohort knows it")
        private String site = "";

        @Option(names = "--outcome", paramLabel = "WORD", description = "what it was; a cohort knows it")
        private String outcome = "";

        @Override
        public Integer call() throws InputException, IOException {
            Map<List<String>, MeasuredFolder.Notes> notes = new HashMap<>();
            Map<List<String>, Path> unused = new HashMap<>();
            for (Path file : caseFiles) {
                CaseFile read = CaseFile.read(file);
                List<String> lesion = List.of(read.caseName(), read.lesion());
                notes.put(lesion, notesOf(read));
                unused.put(lesion, file);
            }
            Tally tally = new Tally();
            Set<List<String>> found = new HashSet<>();
            try (Registry registry = place.open(true)) {
                for (Path folder : folders)
                    MeasuredFolder.forEach(folder, new ManifestRow("", reader, site, outcome), notes, entry -> {
                        found.add(List.of(entry.key().caseName(), entry.key().lesion()));
                        tally.count(registry.add(entry));
                    });
                registry.force();
            }
            unused.keySet().removeAll(found);
            for (Path file : unused.values()) System.err.println(file + ": its lesion is in none of the folders");
            return tally.exitCode();
        }

        private static MeasuredFolder.Notes notesOf(CaseFile file) {
            Optional<CaseFile.Clinical> clinical = file.clinical();
            return new MeasuredFolder.Notes(
                    clinical.flatMap(CaseFile.Clinical::ageBand).orElse(""),
                    clinical.flatMap(CaseFile.Clinical::menopausalStatus).orElse(""),
                    file.outline().flatMap(CaseFile.Drawn::reader).orElse(""),
                    file.impression().stream().map(Add::seen).toList(),
                    file.outcome().flatMap(CaseFile.Outcome::histology).orElse(""),
                    file.outcome().flatMap(CaseFile.Outcome::procedure).orElse(""));
        }

        private static Entry.Impression seen(CaseFile.Impression one) {
            return new Entry.Impression(
                    one.locked().orElse(""),
                    CaseFile.Impression.signs().stream()
                            .map(sign -> one.term(sign).orElse(""))
                            .toList(),
                    one.concern(),
                    one.comment().orElse(""));
        }
    }

    @Command(
            name = "list",
            mixinStandardHelpOptions = true,
            description = "Prints one line per measurement.",
            footer = {"", "Example:", "  leiogauge registry list --db cases"})
    static final class Listing implements Callable<Integer> {
        @Mixin
        private Place place;

        @Override
        public Integer call() throws InputException, IOException {
            List<List<String>> rows = new ArrayList<>();
            try (Registry registry = place.open(false)) {
                for (Registry.Line line : registry.list())
                    rows.add(List.of(
                            line.key().caseName(),
                            line.key().lesion(),
                            line.key().reader(),
                            line.site(),
                            line.outcome(),
                            line.software(),
                            line.dictionary(),
                            Integer.toString(line.values()),
                            Integer.toString(line.impressions())));
            }
            new CsvTable(
                            List.of(
                                    "case",
                                    "lesion",
                                    "reader",
                                    "site",
                                    "outcome",
                                    "software",
                                    "dictionary",
                                    "values",
                                    "impressions"),
                            rows)
                    .write(System.out);
            return 0;
        }
    }

    @Command(
            name = "export",
            mixinStandardHelpOptions = true,
            description = {
                "Writes tables that may leave the house: other names for cases and readers, no remarks,",
                "dates left out or shifted, every text looked through for what may tell who somebody is."
            },
            footer = {"", "Example:", "  leiogauge registry export --db cases --out for-pooling --dates shift"})
    static final class Export implements Callable<Integer> {
        @Mixin
        private Place place;

        @Option(names = "--out", paramLabel = "DIR", required = true, description = "new folder for the tables")
        private Path out;

        @Option(names = "--dates", paramLabel = "HOW", description = "drop, or shift by a number of days of each case")
        private ExportFolder.Dates dates = ExportFolder.Dates.DROP;

        @Option(names = "--software", paramLabel = "VERSION", description = "only what this version measured")
        private Optional<String> software = Optional.empty();

        @Option(names = "--smallest-group", paramLabel = "N", description = "warn of groups of fewer cases; 5")
        private int smallest = 5;

        @Override
        public Integer call() throws InputException, IOException {
            ExportFolder.Result result;
            try (Registry registry = place.open(false)) {
                result = ExportFolder.write(registry, new ExportFolder.Options(dates, software, smallest), out);
            }
            result.warnings().forEach(warning -> System.err.println("small group: " + warning));
            System.out.println(out.resolve("features-wide.csv"));
            return 0;
        }
    }

    @Command(
            name = "merge",
            mixinStandardHelpOptions = true,
            description = "Adds what other registries exported; merging the same again changes nothing.",
            footer = {"", "Example:", "  leiogauge registry merge --db pooled centre-a centre-b"})
    static final class Merge implements Callable<Integer> {
        @Mixin
        private Place place;

        @Parameters(arity = "1..*", paramLabel = "EXPORT", description = "folders that registry export wrote")
        private List<Path> exports = new ArrayList<>();

        @Override
        public Integer call() throws InputException, IOException {
            Tally tally = new Tally();
            try (Registry registry = place.open(true)) {
                for (Path export : exports) ExportedFolder.forEach(export, entry -> tally.count(registry.add(entry)));
                registry.force();
            }
            return tally.exitCode();
        }
    }
}
