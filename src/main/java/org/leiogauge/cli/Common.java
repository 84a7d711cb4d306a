// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Option;

/** What all commands that work for a while have in common. */
final class Common {
    @Option(
            names = "--threads",
            paramLabel = "N",
            converter = Count.class,
            description = "threads to use; the results do not depend on it")
    private int threads = Runtime.getRuntime().availableProcessors();

    @Option(names = "--quiet", description = "no progress on standard error")
    private boolean quiet;

    @Option(names = "--trace", description = "with an error, also where in the program it arose")
    private boolean trace;

    /** To be closed by the caller. */
    Workers workers() {
        return Workers.of(threads);
    }

    /** @param work what is being done, as {@code measuring} */
    Progress progress(String work) {
        // a console means that somebody watches: without one, the output goes into a file or a pipe
        return quiet || System.console() == null ? Progress.NONE : new ProgressLine(work);
    }
}
