// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;

/**
 * What is open on the desk: the study, its case, and the parts that the reader works on; who listens is told of a change of
 * any of them. No window; for one thread.
 */
final class DeskModel {
    private final List<Runnable> listeners = new ArrayList<>();
    private final Lightbox lightbox = new Lightbox(this::changed);
    private final Layers layers = new Layers(this::changed);
    private final Tool tool = new Tool(this::changed);
    private final DrawnLesion lesion = new DrawnLesion(lightbox, new Host());
    private final ReferenceBalls references = new ReferenceBalls(lesion::edited);
    private Optional<Path> folder = Optional.empty();
    private Optional<Study> study = Optional.empty();
    private CaseFile caseFile = CaseFile.named("none");
    private boolean showingName;
    private String message = "";
    private long edits;

    /** The series, and how they are looked at. */
    Lightbox lightbox() {
        return lightbox;
    }

    /** The maps over them. */
    Layers layers() {
        return layers;
    }

    Tool tool() {
        return tool;
    }

    DrawnLesion lesion() {
        return lesion;
    }

    ReferenceBalls references() {
        return references;
    }

    /** To be told of every change. */
    void listen(Runnable listener) {
        listeners.add(listener);
    }

    private void changed() {
        listeners.forEach(Runnable::run);
    }

    /** Puts another study on the desk, none of whose series has been read yet; what was there is put away. */
    void open(Path newFolder, Study newStudy, CaseFile newCase, List<Series> shown) {
        folder = Optional.of(newFolder);
        study = Optional.of(newStudy);
        caseFile = newCase;
        lightbox.begin(shown);
        layers.begin();
        tool.begin();
        lesion.begin();
        references.begin(newCase);
        message = "";
        changed();
    }

    /** A series cannot be read: the reader is told in its place and below. */
    void fail(Series series, String why) {
        lightbox.fail(series, why);
        say(why);
    }

    Optional<Path> folder() {
        return folder;
    }

    Optional<Study> study() {
        return study;
    }

    /** What is to be told to the reader; empty if nothing. */
    String message() {
        return message;
    }

    void say(String words) {
        message = words;
        changed();
    }

    /** Another number after every change of what is to be saved. */
    long edits() {
        return edits;
    }

    /** The case as it came or was last told, with the references as they stand. */
    CaseFile caseFile() {
        return references.in(caseFile);
    }

    /** The case file now says something else: an impression, who drew, that numbers were shown. */
    void caseFile(CaseFile now) {
        caseFile = now;
        edits++;
        changed();
    }

    /** Who drew the outline, and when: no edit of its own. */
    void drawn(CaseFile.Drawn how) {
        caseFile = caseFile.drawn(how);
        changed();
    }

    boolean isShowingName() {
        return showingName;
    }

    void showName(boolean on) {
        showingName = on;
        changed();
    }

    private final class Host implements DrawnLesion.Host {
        @Override
        public void changed() {
            DeskModel.this.changed();
        }

        @Override
        public void edited() {
            edits++;
            message = "";
            DeskModel.this.changed();
        }

        @Override
        public void say(String words) {
            DeskModel.this.say(words);
        }
    }
}
