// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/**
 * The text of a case file, changed key by key: what stands under a key that has not changed stays as it was written, with its
 * comments and its layout. Of a key that has changed the comments stay, above it.
 */
final class CaseFileText {
    private static final Pattern KEY = Pattern.compile("([a-z][a-z0-9-]*)[ \\t]*:(?=[ \\t\\r\\n]|$).*", Pattern.DOTALL);
    private static final Pattern COMMENT = Pattern.compile("(?:^|[ \\t])(#.*)$");
    private static final Set<String> NOTHING = Set.of("{}", "[]");

    private CaseFileText() {}

    /** Lines above a key, and the key with what it holds; the last one of a file may have no key. */
    private record Block(List<String> above, Optional<String> key, List<String> lines) {}

    /** The keys under which two case files differ. */
    static Set<String> differing(CaseFile one, CaseFile other) {
        Map<String, String> a = values(one);
        Map<String, String> b = values(other);
        Set<String> keys = new TreeSet<>(a.keySet());
        keys.addAll(b.keySet());
        keys.removeIf(key -> a.getOrDefault(key, "").equals(b.getOrDefault(key, "")));
        return keys;
    }

    /**
     * A file's text with these keys as the case has them.
     *
     * @param file named in errors
     * @throws InputException if the text cannot be changed so without changing the rest
     */
    static String with(String text, CaseFile wanted, Set<String> keys, Object file) throws InputException {
        CaseFile before = parse(text, file);
        Map<String, String> values = values(wanted);
        StringBuilder changed = new StringBuilder();
        Set<String> missing = new LinkedHashSet<>(values.keySet());
        missing.retainAll(keys);
        for (Block block : blocks(text)) {
            add(changed, block.above);
            if (block.key.isEmpty() || !keys.contains(block.key.get())) {
                add(changed, block.lines);
                continue;
            }
            comments(block.lines).forEach(comment -> changed.append(comment).append('\n'));
            if (missing.remove(block.key.get())) changed.append(values.get(block.key.get()));
        }
        if (!missing.isEmpty() && changed.length() > 0 && changed.charAt(changed.length() - 1) != '\n')
            changed.append('\n');
        missing.forEach(key -> changed.append(values.get(key)));
        String result = changed.toString();
        Set<String> wrong = new TreeSet<>(differing(parse(result, file), wanted));
        wrong.retainAll(keys);
        Set<String> touched = new TreeSet<>(differing(parse(result, file), before));
        touched.removeAll(keys);
        if (!wrong.isEmpty() || !touched.isEmpty())
            throw new InputException(file, "", "a layout in which single keys cannot be changed", "one key a line");
        return result;
    }

    /** The whole case as text, without what is empty. */
    static String of(CaseFile wanted) {
        return String.join("", values(wanted).values());
    }

    static CaseFile parse(String text, Object file) throws InputException {
        return Yaml.PLAIN.parse(text, file, CaseFile.class);
    }

    /** Per key its text, in the order of the record. */
    private static Map<String, String> values(CaseFile caseFile) {
        Map<String, String> values = new LinkedHashMap<>();
        for (Block block : blocks(Yaml.PLAIN.text(caseFile)))
            block.key.ifPresent(key -> {
                String text = String.join("", block.lines);
                if (!NOTHING.contains(text.substring(key.length() + 1).strip())) values.put(key, text);
            });
        return values;
    }

    // A key stands at the start of its line, what it holds is indented or begins with a hyphen.
    private static List<Block> blocks(String text) {
        List<Block> blocks = new ArrayList<>();
        List<String> waiting = new ArrayList<>();
        for (String line : text.split("(?<=\n)")) {
            Matcher key = KEY.matcher(line);
            if (key.matches()) {
                blocks.add(new Block(List.copyOf(waiting), Optional.of(key.group(1)), new ArrayList<>(List.of(line))));
                waiting.clear();
            } else if (line.isBlank() || line.startsWith("#") || blocks.isEmpty()) {
                waiting.add(line);
            } else {
                List<String> lines = blocks.get(blocks.size() - 1).lines;
                lines.addAll(waiting);
                waiting.clear();
                lines.add(line);
            }
        }
        if (!waiting.isEmpty()) blocks.add(new Block(List.copyOf(waiting), Optional.empty(), List.of()));
        return blocks;
    }

    private static List<String> comments(Collection<String> lines) {
        List<String> comments = new ArrayList<>();
        for (String line : lines) {
            Matcher comment = COMMENT.matcher(line.stripTrailing());
            if (comment.find()) comments.add(comment.group(1));
        }
        return comments;
    }

    private static void add(StringBuilder text, List<String> lines) {
        if (!lines.isEmpty() && text.length() > 0 && text.charAt(text.length() - 1) != '\n') text.append('\n');
        lines.forEach(text::append);
    }
}
