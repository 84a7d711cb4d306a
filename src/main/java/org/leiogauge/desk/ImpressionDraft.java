// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.time.LocalDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Lexicon.Sign;
import org.leiogauge.study.CaseFile.Impression;

/** An impression while the reader forms it. For the event thread. */
final class ImpressionDraft {
    private final Lexicon lexicon;
    private final Map<String, String> terms = new LinkedHashMap<>();
    private Optional<Integer> concern = Optional.empty();
    private String comment = "";

    /** @param begun what was said before; a term that the lexicon does not have is left open */
    ImpressionDraft(Lexicon lexicon, Optional<Impression> begun) {
        this.lexicon = lexicon;
        begun.ifPresent(words -> {
            for (Sign sign : lexicon.signs())
                words.term(sign.key()).filter(sign.allowed()::contains).ifPresent(term -> terms.put(sign.key(), term));
            concern = words.concern();
            comment = words.comment().orElse("");
        });
    }

    Lexicon lexicon() {
        return lexicon;
    }

    /**
     * Calls a sign, or leaves it open.
     *
     * @throws IllegalArgumentException if the lexicon does not have the term
     */
    void call(String sign, Optional<String> term) {
        Sign known = lexicon.signs().stream()
                .filter(one -> one.key().equals(sign))
                .findFirst()
                .orElseThrow(() -> new IllegalArgumentException("sign must be of the lexicon, got " + sign));
        if (term.isEmpty()) terms.remove(sign);
        else if (known.allowed().contains(term.get())) terms.put(sign, term.get());
        else throw new IllegalArgumentException("term of " + sign + " must be of the lexicon, got " + term.get());
    }

    Optional<String> term(String sign) {
        return Optional.ofNullable(terms.get(sign));
    }

    /** @param grade 1 (none) to 5 (grave) */
    void grade(Optional<Integer> grade) {
        if (grade.filter(g -> g < 1 || g > 5).isPresent())
            throw new IllegalArgumentException("concern must be 1 to 5, got " + grade.get());
        concern = grade;
    }

    Optional<Integer> concern() {
        return concern;
    }

    void comment(String text) {
        comment = text;
    }

    /** What is still open, in the lexicon's words. */
    List<String> open() {
        List<String> open = new ArrayList<>(lexicon.signs().stream()
                .filter(sign -> !terms.containsKey(sign.key()))
                .map(Sign::name)
                .toList());
        if (concern.isEmpty()) open.add("Overall concern");
        return List.copyOf(open);
    }

    /** Whether there is enough in it to be an impression: a sign or the overall concern. */
    boolean canBeLocked() {
        return !terms.isEmpty() || concern.isPresent();
    }

    /** What has been said so far, not locked; nothing if all is open. */
    Optional<Impression> words() {
        boolean isOpen = terms.isEmpty() && concern.isEmpty() && comment.isBlank();
        return isOpen ? Optional.empty() : Optional.of(impression(Optional.empty()));
    }

    /**
     * The impression, locked.
     *
     * @throws IllegalStateException if nothing was called
     */
    Impression locked(LocalDateTime now) {
        if (!canBeLocked()) throw new IllegalStateException("an impression needs a sign or the overall concern");
        return impression(Optional.of(now.truncatedTo(ChronoUnit.MILLIS).toString()));
    }

    private Impression impression(Optional<String> locked) {
        return Impression.of(this::term, concern, Optional.of(comment.strip()).filter(text -> !text.isEmpty()), locked);
    }
}
