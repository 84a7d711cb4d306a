// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.Yaml;

/**
 * Keeps a case file on the disk up to date with a case, for as long as the case is open.
 *
 * <p>Only the keys that changed are written; comments, layout and what somebody else wrote under other keys meanwhile stay. What
 * cannot be kept in its place is kept in a file beside it. A locked impression is never overwritten. The file is there whole
 * or as it was, also after a power cut. Not for several threads at once.
 */
public final class CaseFileWriter {
    private static final int MOST_KEPT = 1000;

    private final Path file;
    private CaseFile last;
    private Optional<String> lastText;
    private Optional<Path> aside = Optional.empty();

    /**
     * @param file which need not be there yet
     * @param asRead the case as it was read from the file, or as it begins
     */
    public CaseFileWriter(Path file, CaseFile asRead) throws InputException {
        this.file = file;
        this.last = asRead;
        this.lastText = Files.exists(file) ? Optional.of(Yaml.content(file)) : Optional.empty();
    }

    /**
     * Writes what has changed since the last time.
     *
     * @return what the reader should know, as that a copy was kept; mostly nothing
     * @throws InputException if somebody else locked an impression in the file meanwhile; this case is then kept beside it
     * @throws IOException if it cannot be written: the file is then as it was, and the next call tries all of it again
     */
    public List<String> save(CaseFile now) throws InputException, IOException {
        Set<String> changed = CaseFileText.differing(last, now);
        if (changed.isEmpty() && lastText.isPresent() && Files.exists(file)) return List.of();
        Path target = Files.exists(file) ? file.toRealPath() : file;
        List<String> notes = new ArrayList<>();
        String text = text(now, changed, target, notes);
        write(target, text);
        last = now;
        lastText = Optional.of(text);
        return List.copyOf(notes);
    }

    private String text(CaseFile now, Set<String> changed, Path target, List<String> notes)
            throws InputException, IOException {
        if (!Files.exists(target)) {
            if (lastText.isPresent()) notes.add(file + " was gone and is there again");
            return afresh(now, changed);
        }
        String found;
        CaseFile theirs;
        try {
            found = Yaml.content(target);
        } catch (InputException e) {
            throw refused(now, target, "", "what is no case file");
        }
        try {
            theirs = CaseFileText.parse(found, file);
        } catch (InputException broken) {
            notes.add("somebody changed " + file + " so that it cannot be read; that text is now in "
                    + keep(target, found) + " (" + broken.getMessage() + ")");
            return afresh(now, changed);
        }
        return over(found, theirs, now, changed, target, notes);
    }

    private String over(
            String found, CaseFile theirs, CaseFile now, Set<String> changed, Path target, List<String> notes)
            throws InputException, IOException {
        if (!theirs.caseName().equals(last.caseName()) || !theirs.lesion().equals(last.lesion()))
            throw refused(now, target, "case", "case " + theirs.caseName() + ", lesion " + theirs.lesion());
        boolean keepsImpressions = isKept(theirs.impression(), now.impression());
        if (changed.contains("impression") && !keepsImpressions)
            throw refused(now, target, "impression", "one that somebody else locked meanwhile");
        Set<String> both = new TreeSet<>(changed);
        both.retainAll(CaseFileText.differing(last, theirs));
        both.retainAll(CaseFileText.differing(now, theirs));
        if (!both.isEmpty())
            notes.add("somebody else changed " + String.join(", ", both) + " in " + file + "; their text is now in "
                    + keep(target, found));
        try {
            return CaseFileText.with(found, now, changed, file);
        } catch (InputException layout) {
            if (!keepsImpressions) throw refused(now, target, "impression", "one that somebody else locked meanwhile");
            notes.add("the layout of " + file + " could not be kept; the text as it was is now in "
                    + keep(target, found));
            return CaseFileText.of(now);
        }
    }

    private InputException refused(CaseFile now, Path target, String field, String found) throws IOException {
        Path ours = aside.isPresent() ? aside.get() : free(target);
        write(ours, CaseFileText.of(now));
        aside = Optional.of(ours);
        return new InputException(
                file,
                field,
                found,
                "the file as it was; this case is kept in " + ours.getFileName() + ", open the case again");
    }

    // An odd layout is not lost here: the file it stood in is gone, or kept beside.
    private String afresh(CaseFile now, Set<String> changed) {
        if (lastText.isEmpty()) return CaseFileText.of(now);
        try {
            return CaseFileText.with(lastText.get(), now, changed, file);
        } catch (InputException layout) {
            return CaseFileText.of(now);
        }
    }

    private static boolean isKept(List<Impression> theirs, List<Impression> ours) {
        List<Impression> locked =
                theirs.stream().filter(one -> one.locked().isPresent()).toList();
        return ours.containsAll(locked);
    }

    private static Path keep(Path target, String text) throws IOException {
        Path beside = free(target);
        write(beside, text);
        return beside.getFileName();
    }

    private static Path free(Path target) throws IOException {
        String name = target.getFileName().toString().replaceFirst("\\.ya?ml$", "");
        for (int i = 1; i <= MOST_KEPT; i++) {
            Path beside = target.resolveSibling(name + ".kept-" + i + ".yaml");
            if (!Files.exists(beside)) return beside;
        }
        throw new IOException("too many kept files beside " + target);
    }

    private static void write(Path to, String text) throws IOException {
        WholeFile.writeDurably(to, out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
    }
}
