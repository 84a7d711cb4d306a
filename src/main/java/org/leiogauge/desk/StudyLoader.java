// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Opens a study for the desk: each series is read once and kept, so that the study may go away while it is looked at. */
final class StudyLoader {
    // In this order side by side.
    private static final List<Role> ORDER =
            List.of(Role.T2, Role.T1_FAT_SAT, Role.T1, Role.POST_CONTRAST, Role.DWI, Role.ADC, Role.PRE_CONTRAST);

    private StudyLoader() {}

    /** @throws InputException if the folder holds no study */
    static Study open(Path folder, Workers workers, Progress progress) throws InputException {
        Study study = Study.open(folder, workers, progress);
        return new Study(
                study.pseudonym(),
                study.series().stream().map(StudyLoader::kept).toList(),
                study.decisions());
    }

    /** One series per role, T2 first; where no series has a role, all of them. */
    static List<Series> shown(Study study) {
        List<Series> shown = new ArrayList<>();
        for (Role role : ORDER) study.of(role).stream().findFirst().ifPresent(shown::add);
        return shown.isEmpty() ? study.series() : shown;
    }

    /** What the reader has to know before beginning; empty if nothing. */
    static String notice(Study study) {
        if (study.of(Role.T2).isEmpty())
            return "This study has no T2-weighted series. You can draw on any other; the T2 signs will not be measured.";
        return "";
    }

    private static Series kept(Series series) {
        return new Series(
                series.id(),
                series.name(),
                series.facts(),
                series.acquisition(),
                series.role(),
                series.reason(),
                series.images(),
                series.frameOfReference(),
                series.sopInstances(),
                new Kept(series.source()));
    }

    /** Reads once. */
    private static final class Kept implements Series.Source {
        private final Series.Source source;
        private Optional<Series.Content> content = Optional.empty();

        Kept(Series.Source source) {
            this.source = source;
        }

        @Override
        public synchronized Series.Content read(Workers workers, Progress progress) throws InputException {
            if (content.isEmpty()) content = Optional.of(source.read(workers, progress));
            progress.at(1);
            return content.get();
        }
    }
}
