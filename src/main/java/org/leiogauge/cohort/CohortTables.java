// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.task.Workers;

/**
 * The tables of a cohort, put together from the folders of its cases in the order of the manifest. One case's rows are in
 * memory at a time; beyond it the names of the columns, and what the rows of one group of the Parquet file hold.
 */
final class CohortTables {
    private static final String FAILURES = "failures.csv";
    // its place in a case's wide table
    private static final int LESION = 1;

    private final Path out;
    private final List<CaseJob> jobs;
    private final List<Optional<String>> failures;

    /** @param failures per job why it has no folder, if so */
    CohortTables(Path out, List<CaseJob> jobs, List<Optional<String>> failures) {
        this.out = out;
        this.jobs = jobs;
        this.failures = new ArrayList<>(failures);
    }

    /** Writes all tables, unless they stand as they would be written, and returns the number of failed cases. */
    int write(Workers workers) throws IOException {
        List<CaseList> lists = new ArrayList<>();
        for (int i = 0; i < jobs.size(); i++) if (failures.get(i).isEmpty()) lists.add(CaseList.of(i, jobs.get(i)));
        String cases = checksum(lists);
        Optional<FinishedTables> before =
                FinishedTables.read(out).filter(tables -> tables.cases().equals(cases));
        if (before.isPresent() && before.get().areWhole(out, workers))
            return before.get().failed();
        List<ListedFile> tables = writeAll(lists, workers);
        int failed = (int) failures.stream().filter(Optional::isPresent).count();
        new FinishedTables(cases, failed, tables).write(out);
        return failed;
    }

    /** What the list of a finished case's files says, as far as the tables need it. */
    private record CaseList(int at, String checksum, String dictionary) {
        static CaseList of(int at, CaseJob job) throws IOException {
            List<ListedFile> files = FinishedCase.files(job.folder())
                    .orElseThrow(() -> new IOException(job.folder() + " is no longer whole"));
            StringBuilder all = new StringBuilder();
            String dictionary = "";
            for (ListedFile file : files) {
                all.append(file.line()).append('\n');
                if (file.name().equals(FinishedCase.DICTIONARY)) dictionary = file.checksum();
            }
            return new CaseList(at, Checksum.of(all.toString()), dictionary);
        }
    }

    // Of all that goes into a table: the cases' files, and what the manifest says of each.
    private String checksum(List<CaseList> lists) {
        StringBuilder all = new StringBuilder();
        for (int i = 0; i < jobs.size(); i++)
            all.append(jobs.get(i).one()).append(' ').append(failures.get(i)).append('\n');
        for (CaseList list : lists)
            all.append(list.at()).append(' ').append(list.checksum()).append('\n');
        return Checksum.of(all.toString());
    }

    @FunctionalInterface
    private interface Table {
        List<ListedFile> write() throws IOException;
    }

    private List<ListedFile> writeAll(List<CaseList> lists, Workers workers) throws IOException {
        WideTable wide = new WideTable();
        List<CaseTables> cases = cases(lists, wide);
        List<String> readers = jobs.stream().map(job -> job.one().reader()).toList();
        // side by side, the longest first; each reads the cases on its own
        List<Table> tables = List.of(
                () -> List.of(ParquetTable.write(out, cases)),
                () -> TidyTables.write(out, readers, cases),
                () -> List.of(wide.write(out, cases)),
                () -> List.of(CohortDictionary.write(out, cases)),
                () -> List.of(writeFailures()));
        List<ListedFile> written = new ArrayList<>();
        workers.<List<ListedFile>, IOException>map(
                        tables.size(), i -> tables.get(i).write())
                .forEach(written::addAll);
        return written;
    }

    // The cases whose rows the tables have; one that is there already becomes a failure.
    private List<CaseTables> cases(List<CaseList> lists, WideTable wide) throws IOException {
        Map<List<String>, Long> seen = new HashMap<>();
        List<CaseTables> cases = new ArrayList<>();
        CsvBytes table = CsvBytes.NONE;
        for (CaseList list : lists) {
            CaseJob job = jobs.get(list.at());
            CohortCase one = job.one();
            table = CaseTables.wide(job.folder(), table);
            String lesion = table.text(LESION);
            Long before = seen.putIfAbsent(List.of(one.name(), lesion, one.reader()), one.line());
            if (before == null) {
                wide.addColumns(table.header());
                cases.add(new CaseTables(one, lesion, job.folder(), list.dictionary()));
            } else
                failures.set(
                        list.at(),
                        Optional.of("lesion " + lesion + " of " + one.name() + " by reader '" + one.reader()
                                + "' is that of line " + before + " again: give readers or lesions different names"));
        }
        return cases;
    }

    private ListedFile writeFailures() throws IOException {
        try (PendingFile file = new PendingFile(out, FAILURES)) {
            CsvWriter csv = new CsvWriter(
                    file.stream(), List.of("line", "case", "study", "outline", "site", "reader", "reason"));
            for (int i = 0; i < jobs.size(); i++) {
                if (failures.get(i).isEmpty()) continue;
                CohortCase one = jobs.get(i).one();
                csv.row(List.of(
                        Long.toString(one.line()),
                        one.name(),
                        one.study().toString(),
                        one.outline().toString(),
                        one.site(),
                        one.reader(),
                        failures.get(i).get()));
            }
            csv.flush();
            return file.keep();
        }
    }
}
