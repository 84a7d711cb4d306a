// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.Yaml;

/**
 * Holds a reader's case file to the order of a blind reading: impression, lock, numbers. A front end that shows measurements
 * of a case to a reader begins with {@link #begin} and ends with {@link #numbersShown}; a cohort, which nobody reads case by
 * case, does neither.
 *
 * <p>Keys are only added to the file, each once: {@code locked} to an impression that has none, {@code numbers-shown} to the
 * case. An impression that is entered later as the first is then refused when the file is read; a change of mind is the next
 * entry of the list. What somebody changes by hand in an entry that is locked is not noticed.
 */
public final class BlindReading {
    private final Optional<Path> file;

    private BlindReading(Optional<Path> file) {
        this.file = file;
    }

    /**
     * Locks the impression, if it is not.
     *
     * @throws InputException if the file is not usable, or an impression says that it was locked later than now
     */
    public static BlindReading begin(Optional<Path> caseFile, LocalDateTime now) throws InputException, IOException {
        BlindReading reading = new BlindReading(caseFile);
        if (caseFile.isEmpty()) return reading;
        Path file = caseFile.get();
        List<Impression> impressions = lexicon().read(file).impression();
        for (int i = 0; i < impressions.size(); i++) {
            Optional<String> locked = impressions.get(i).locked();
            if (locked.isPresent() && LocalDateTime.parse(locked.get()).isAfter(now))
                throw new InputException(
                        file,
                        impressions.size() == 1 ? "impression" : "impression " + (i + 1),
                        "locked " + locked.get(),
                        "a time that is not later than now, " + shown(now));
        }
        // the case file refuses an entry without a time among several
        if (impressions.size() == 1 && impressions.get(0).locked().isEmpty()) reading.lock(now);
        return reading;
    }

    /**
     * Says in the case file when the numbers were shown, unless it says so already.
     *
     * @return what the reader must know: that the file could not be written
     */
    public Optional<String> numbersShown(LocalDateTime now) throws InputException, IOException {
        if (file.isEmpty()) return Optional.empty();
        CaseFile before = CaseFile.read(file.get());
        if (before.numbersShown().isPresent()) return Optional.empty();
        if (added(List.of(List.of()), "numbers-shown", now, before.showing(exact(now)))) return Optional.empty();
        return Optional.of(
                file.get() + " could not be changed; it does not say that the numbers were shown. Add numbers-shown: "
                        + shown(now));
    }

    private void lock(LocalDateTime now) throws InputException, IOException {
        Path path = file.orElseThrow();
        CaseFile wanted = CaseFile.read(path).lockedAt(exact(now));
        // a single impression may stand without a list
        if (!added(List.of(List.of("impression"), List.of("impression", "0")), "locked", now, wanted))
            throw new InputException(
                    path,
                    "impression",
                    "no time at which it was locked, in a file that could not be changed",
                    "locked: " + shown(now));
    }

    private boolean added(List<List<String>> places, String key, LocalDateTime now, CaseFile wanted)
            throws InputException, IOException {
        Path path = file.orElseThrow();
        String text = Yaml.content(path);
        if (!Files.isWritable(path) || !Files.isWritable(path.toRealPath().getParent())) return false;
        for (List<String> place : places) {
            Optional<String> more = Yaml.PLAIN.with(text, place, key, exact(now).toString());
            if (more.isEmpty() || !says(more.get(), wanted)) continue;
            byte[] bytes = more.get().getBytes(StandardCharsets.UTF_8);
            // for those who could read the old one
            WholeFile.writeDurably(path.toRealPath(), out -> out.write(bytes));
            return true;
        }
        return false;
    }

    private static boolean says(String text, CaseFile wanted) {
        try {
            return Yaml.PLAIN.parse(text, "", CaseFile.class).equals(wanted);
        } catch (InputException e) {
            // the key did not fit in where it was put
            return false;
        }
    }

    // Not finer than a file's other times: of the clock's many digits three are kept.
    private static LocalDateTime exact(LocalDateTime now) {
        return now.truncatedTo(ChronoUnit.MILLIS);
    }

    private static String shown(LocalDateTime now) {
        return DateTimeFormatter.ISO_LOCAL_DATE_TIME.format(now.truncatedTo(ChronoUnit.SECONDS));
    }

    /** The terms that a reader may choose from, by sign, in the order in which they are asked. */
    public static Map<String, List<String>> terms() {
        Map<String, List<String>> terms = new LinkedHashMap<>();
        for (Lexicon.Sign sign : lexicon().signs()) terms.put(sign.key(), sign.allowed());
        return terms;
    }

    private static Lexicon lexicon() {
        return Lexicon.shipped(TableAppraisal.definitions());
    }
}
