// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;

/**
 * Looks in a text for what may tell who somebody is: names that the registry knows, and the shapes of dates, numbers of
 * patients, addresses, paths and image identifiers. It cannot know a plain name that stands in a sentence.
 */
final class IdentityCheck {
    private static final int SHORTEST_NAME = 3;
    private static final Map<String, Pattern> SHAPES = new LinkedHashMap<>();

    static {
        SHAPES.put("an image identifier", Pattern.compile("\\d+(?:\\.\\d+){5,}"));
        SHAPES.put("a name as images write it", Pattern.compile("\\p{L}\\^|\\^\\p{L}"));
        SHAPES.put("an e-mail address", Pattern.compile("[^\\s@]+@[^\\s@]+\\.[^\\s@]+"));
        SHAPES.put("a path", Pattern.compile("(?:^|[\\s'\"(:])(?:[A-Za-z]:\\\\|/)[^\\s/\\\\]+[/\\\\]"));
        SHAPES.put(
                "a date",
                Pattern.compile("(?<![\\d.])(?:19|20)\\d\\d([-/.]?)(?:0[1-9]|1[0-2])\\1(?:0[1-9]|[12]\\d|3[01])(?!\\d)"
                        + "|(?<!\\d)(?:0?[1-9]|[12]\\d|3[01])[-/.](?:0?[1-9]|1[0-2])[-/.](?:19|20)\\d\\d(?!\\d)"));
        SHAPES.put("a long number", Pattern.compile("(?<![\\d.])\\d{7,}(?![\\d.])"));
    }

    private final Set<String> names;

    /** @param names of cases and readers in the registry */
    IdentityCheck(Set<String> names) {
        this.names = Set.copyOf(names);
    }

    /** What was found, in words that do not repeat it; nothing if the text is clean. */
    Optional<String> find(String text) {
        for (Map.Entry<String, Pattern> shape : SHAPES.entrySet())
            if (shape.getValue().matcher(text).find()) return Optional.of(shape.getKey());
        for (String name : names)
            if (name.length() >= SHORTEST_NAME && holds(text, name))
                return Optional.of("the name of a case or reader of this registry");
        return Optional.empty();
    }

    private static boolean holds(String text, String name) {
        for (int at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
            int end = at + name.length();
            boolean begins = at == 0 || !Character.isLetterOrDigit(text.charAt(at - 1));
            boolean ends = end == text.length() || !Character.isLetterOrDigit(text.charAt(end));
            if (begins && ends) return true;
        }
        return false;
    }
}
