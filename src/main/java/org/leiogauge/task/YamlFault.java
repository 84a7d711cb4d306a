// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.exc.InvalidFormatException;
import com.fasterxml.jackson.databind.exc.MismatchedInputException;
import com.fasterxml.jackson.databind.exc.ValueInstantiationException;
import com.fasterxml.jackson.databind.introspect.BeanPropertyDefinition;
import com.fasterxml.jackson.databind.node.MissingNode;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.yaml.snakeyaml.error.MarkedYAMLException;

/**
 * What is wrong with a YAML text, in the words of whoever wrote it: the libraries speak of their own options and of the
 * program's classes.
 */
final class YamlFault {
    private static final Set<Class<?>> CHOICES = Set.of(boolean.class, Boolean.class);
    private static final Pattern TWICE = Pattern.compile("Duplicate field '(.*)'", Pattern.DOTALL);

    private YamlFault() {}

    /** The value that a fault is about; missing where the key is not there. */
    static JsonNode at(JsonNode tree, List<JsonMappingException.Reference> path) {
        JsonNode node = tree;
        if (tree.isPojo()) return tree;
        for (JsonMappingException.Reference step : path)
            node = step.getFieldName() == null ? node.path(step.getIndex()) : node.path(step.getFieldName());
        return node;
    }

    static String found(JsonMappingException e, JsonNode value) {
        // in a mapping whose keys are choices it is the key that does not fit
        if (e instanceof InvalidFormatException choice && value.isObject())
            return "the unknown key '" + choice.getValue() + "'";
        if (value.isMissingNode() || value.isNull()) return "nothing";
        if (value.isTextual()) return "\"" + value.textValue() + "\"";
        if (value.isArray()) return value.isEmpty() ? "an empty list" : "a list";
        return value.isObject() ? "keys with values" : value.asText();
    }

    /** What fits, where a value of another kind stands. */
    static String expected(JsonMappingException e, ObjectMapper mapper) {
        Class<?> type = null;
        if (e instanceof MismatchedInputException mismatch) type = mismatch.getTargetType();
        if (e instanceof ValueInstantiationException refused && refused.getType() != null)
            type = refused.getType().getRawClass();
        return type == null ? "a value that fits the key" : expected(type, mapper);
    }

    private static String expected(Class<?> type, ObjectMapper mapper) {
        Optional<String> words = TypeWords.of(type);
        if (words.isPresent()) return words.get();
        if (CHOICES.contains(type)) return "true or false";
        if (CharSequence.class.isAssignableFrom(type)) return "a text";
        if (Iterable.class.isAssignableFrom(type) || type.isArray()) return "a list";
        return type.isRecord() ? "keys as " + keys(type, mapper) : "a value that fits the key";
    }

    private static String keys(Class<?> record, ObjectMapper mapper) {
        return mapper.getDeserializationConfig().introspect(mapper.constructType(record)).findProperties().stream()
                .map(BeanPropertyDefinition::getName)
                .sorted()
                .collect(Collectors.joining(", "));
    }

    /** The key that stands twice, if that is what is wrong. */
    static Optional<String> twice(IOException e) {
        Matcher twice = TWICE.matcher(String.valueOf(e.getMessage()));
        return twice.lookingAt() ? Optional.of(twice.group(1)) : Optional.empty();
    }

    /** Why a text is no YAML; the library's own words for the grammar alone, which are about the text. */
    static String syntax(IOException e) {
        for (Throwable cause = e; cause != null; cause = cause.getCause())
            if (cause instanceof MarkedYAMLException marked && marked.getProblem() != null)
                return "text that is no YAML (" + marked.getProblem() + ")";
        return "text that is no YAML, or is nested too deep, or refers to itself too often";
    }

    /** An empty document. */
    static boolean isEmpty(JsonNode tree) {
        return tree instanceof MissingNode || tree.isNull();
    }
}
