// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * Which role a series has, and why: standard attributes first, the words of its description where they are silent.
 *
 * <p>Source: attributes, DICOM PS3.3 C.8.3.1 and C.8.13.5; the echo and repetition times that part T1 from T2 weighting are
 * common practice, no source.
 */
final class RoleRules {
    private static final double LONG_ECHO_MS = 60;
    private static final double SHORT_ECHO_MS = 30;
    private static final double LONG_REPETITION_MS = 1800;
    private static final double SHORT_REPETITION_MS = 1200;

    private static final Set<String> FAT_SAT_WORDS =
            Set.of("fs", "fatsat", "fat-sat", "fsat", "fatsuppressed", "spir", "spair", "sat", "chess", "water");
    private static final Set<String> PRE_WORDS = Set.of("pre", "native", "nativ", "plain", "unenhanced", "precontrast");
    private static final Set<String> POST_WORDS =
            Set.of("post", "gd", "gado", "km", "contrast", "enhanced", "postcontrast", "dynamic", "dyn", "dce");

    private RoleRules() {}

    /**
     * A role, or none, and the reason in words.
     *
     * @param role none where the series serves no purpose here
     */
    record Verdict(Optional<Role> role, String reason) {
        static Verdict of(Role role, String reason) {
            return new Verdict(Optional.of(role), reason);
        }

        static Verdict none(String reason) {
            return new Verdict(Optional.empty(), reason);
        }
    }

    static Verdict of(SeriesFacts facts) {
        if (!facts.modality().equals("MR")) return Verdict.none("modality is " + facts.modality() + ", not MR");
        if (facts.imageType().contains("LOCALIZER")) return Verdict.none("image type says localiser");
        if (facts.imageType().contains("ADC")) return Verdict.of(Role.ADC, "image type says ADC");
        Set<String> words = words(facts.description());
        if (words.contains("adc")) return Verdict.of(Role.ADC, "description says ADC");
        Optional<Verdict> diffusion = diffusion(facts, words);
        if (diffusion.isPresent()) return diffusion.get();
        if (facts.echoTime().isPresent() && facts.repetitionTime().isPresent()) return byTimes(facts, words);
        return byWords(facts, words);
    }

    private static Optional<Verdict> diffusion(SeriesFacts facts, Set<String> words) {
        Optional<Double> highest = facts.highestB();
        if (highest.isPresent() && (highest.get() > 0 || facts.bValues().size() > 1))
            return Optional.of(Verdict.of(Role.DWI, "b-values " + plain(facts.bValues()) + " s/mm²"));
        if (facts.imageType().contains("DIFFUSION"))
            return Optional.of(Verdict.of(Role.DWI, "image type says diffusion; no b-value is stated"));
        boolean named = words.contains("dwi") || words.contains("diff") || words.contains("diffusion");
        if (named && facts.scanningSequence().contains("EP"))
            return Optional.of(
                    Verdict.of(Role.DWI, "echo-planar, and description says diffusion; no b-value is stated"));
        return Optional.empty();
    }

    private static Verdict byTimes(SeriesFacts facts, Set<String> words) {
        double echo = facts.echoTime().getAsDouble();
        double repetition = facts.repetitionTime().getAsDouble();
        String times = "echo time " + plain(echo) + " ms, repetition time " + plain(repetition) + " ms";
        if (echo >= LONG_ECHO_MS && repetition >= LONG_REPETITION_MS)
            return Verdict.of(Role.T2, times + ": T2-weighted");
        if (echo <= SHORT_ECHO_MS && repetition <= SHORT_REPETITION_MS)
            return t1(facts, words, times + ": T1-weighted");
        return Verdict.none(times + ": neither clearly T1- nor T2-weighted");
    }

    private static Verdict byWords(SeriesFacts facts, Set<String> words) {
        boolean t1 = words.contains("t1") || words.contains("t1w");
        boolean t2 = words.contains("t2") || words.contains("t2w");
        if (t1 == t2) return Verdict.none("neither attributes nor description tell the weighting");
        String reason = "no echo and repetition time; description says " + (t1 ? "T1" : "T2");
        return t1 ? t1(facts, words, reason) : Verdict.of(Role.T2, reason);
    }

    private static Verdict t1(SeriesFacts facts, Set<String> words, String reason) {
        if (facts.phases() > 1)
            return Verdict.of(
                    Role.POST_CONTRAST, reason + ", " + facts.phases() + " time points: dynamic contrast series");
        boolean pre = words.stream().anyMatch(PRE_WORDS::contains);
        boolean post = words.stream().anyMatch(POST_WORDS::contains);
        if (pre && (post || facts.contrastAgent()))
            return Verdict.of(Role.PRE_CONTRAST, reason + ", description says before contrast");
        if (facts.contrastAgent()) return Verdict.of(Role.POST_CONTRAST, reason + ", a contrast agent is named");
        if (post && !pre) return Verdict.of(Role.POST_CONTRAST, reason + ", description says after contrast");
        boolean option = facts.scanOptions().contains("FS");
        if (option || words.stream().anyMatch(FAT_SAT_WORDS::contains))
            return Verdict.of(
                    Role.T1_FAT_SAT,
                    reason + (option ? ", scan options say fat saturation" : ", description says fat suppression"));
        return Verdict.of(Role.T1, reason);
    }

    private static Set<String> words(String description) {
        return new TreeSet<>(List.of(description.toLowerCase(Locale.ROOT).split("[^a-z0-9-]+")));
    }

    private static String plain(List<Double> values) {
        return String.join(", ", values.stream().map(RoleRules::plain).toList());
    }

    private static String plain(double value) {
        return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
    }
}
