// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.PropertyNamingStrategies;
import com.fasterxml.jackson.databind.cfg.CoercionAction;
import com.fasterxml.jackson.databind.cfg.CoercionInputShape;
import com.fasterxml.jackson.databind.cfg.MapperConfig;
import com.fasterxml.jackson.databind.exc.UnrecognizedPropertyException;
import com.fasterxml.jackson.databind.introspect.AnnotatedClass;
import com.fasterxml.jackson.databind.introspect.JacksonAnnotationIntrospector;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.databind.node.POJONode;
import com.fasterxml.jackson.dataformat.yaml.YAMLFactory;
import com.fasterxml.jackson.dataformat.yaml.YAMLGenerator;
import com.fasterxml.jackson.dataformat.yaml.YAMLMapper;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.yaml.snakeyaml.LoaderOptions;

/**
 * Records as YAML, read strictly: an unknown key, a key that stands twice or a value of the wrong kind is an error that
 * names key and line. Keys and the values of enums are the Java names in lower case with hyphens.
 *
 * <p>Tags make no objects, and size, depth and aliases are limited, so that a hostile file is only refused.
 */
public final class Yaml {
    /** For records that need no help. */
    public static final Yaml PLAIN = with(Map.of());

    /** For records in which an absent number is 0 and an absent choice is no. */
    public static final Yaml SPARSE =
            new Yaml(PLAIN.mapper.copy().disable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES));

    private static final int LARGEST_BYTES = 4 << 20;
    private static final int DEEPEST = 40;
    private static final int MOST_ALIASES = 20;

    private static final JsonNode NONE = new POJONode("a value that cannot be read");

    private final ObjectMapper mapper;

    private Yaml(ObjectMapper mapper) {
        this.mapper = mapper;
    }

    /** @param mixIns per type, the type whose annotations say how it is written */
    public static Yaml with(Map<Class<?>, Class<?>> mixIns) {
        LoaderOptions limits = new LoaderOptions();
        limits.setMaxAliasesForCollections(MOST_ALIASES);
        limits.setNestingDepthLimit(DEEPEST);
        limits.setCodePointLimit(LARGEST_BYTES);
        limits.setAllowDuplicateKeys(false);
        YAMLFactory factory = YAMLFactory.builder()
                .loaderOptions(limits)
                .enable(YAMLGenerator.Feature.MINIMIZE_QUOTES)
                .enable(YAMLGenerator.Feature.ALWAYS_QUOTE_NUMBERS_AS_STRINGS)
                .disable(YAMLGenerator.Feature.WRITE_DOC_START_MARKER)
                .build();
        ObjectMapper mapper = YAMLMapper.builder(factory)
                .addModule(new Jdk8Module())
                .annotationIntrospector(new LowerCaseEnums())
                .propertyNamingStrategy(PropertyNamingStrategies.KEBAB_CASE)
                .defaultPropertyInclusion(
                        JsonInclude.Value.construct(JsonInclude.Include.NON_ABSENT, JsonInclude.Include.NON_ABSENT))
                .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
                .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
                .enable(DeserializationFeature.FAIL_ON_READING_DUP_TREE_KEY)
                .disable(DeserializationFeature.ACCEPT_FLOAT_AS_INT)
                .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
                .build();
        mapper.setMixIns(mixIns);
        // A key without a value says no more than an absent one.
        mapper.coercionConfigDefaults().setCoercion(CoercionInputShape.EmptyString, CoercionAction.AsNull);
        return new Yaml(mapper);
    }

    /** Reads a file as one record. */
    public <T> T read(Path file, Class<T> type) throws InputException {
        return read(file, List.of(), type);
    }

    /**
     * Reads a file as one record, with single values overridden.
     *
     * @param overrides as {@code key.key=value}
     */
    public <T> T read(Path file, List<String> overrides, Class<T> type) throws InputException {
        String text = content(file);
        T plain = parse(text, file, type);
        return overrides.isEmpty() ? plain : override(tree(text, file), overrides, type);
    }

    /**
     * Reads a file over a record: a key that is absent, at any depth, keeps the record's value.
     *
     * @param overrides as {@code key.key=value}
     */
    public <T> T readOver(T standard, Path file, List<String> overrides, Class<T> type) throws InputException {
        String text = content(file);
        JsonNode base = mapper.valueToTree(standard);
        JsonNode given = tree(text, file);
        JsonNode merged = given.isMissingNode() || given.isNull() ? base : merged(base, given);
        T plain;
        try {
            plain = mapper.treeToValue(merged, type);
        } catch (IOException e) {
            throw wrong(file, e, text, merged);
        }
        return overrides.isEmpty() ? plain : override(merged, overrides, type);
    }

    private static JsonNode merged(JsonNode base, JsonNode given) {
        if (!(base instanceof ObjectNode) || !(given instanceof ObjectNode)) return given;
        ObjectNode merged = base.deepCopy();
        given.properties().forEach(field -> {
            JsonNode before = merged.get(field.getKey());
            merged.set(field.getKey(), before == null ? field.getValue() : merged(before, field.getValue()));
        });
        return merged;
    }

    /** A record with single values overridden. */
    public <T> T override(T record, List<String> overrides, Class<T> type) throws InputException {
        return overrides.isEmpty() ? record : override(mapper.<JsonNode>valueToTree(record), overrides, type);
    }

    /** @param file named in errors */
    public <T> T parse(String text, Object file, Class<T> type) throws InputException {
        try (JsonParser parser = mapper.createParser(text)) {
            T value = mapper.readValue(parser, type);
            if (value == null || parser.nextToken() != null)
                throw new InputException(file, "", value == null ? "nothing" : "a second document", "one document");
            return value;
        } catch (IOException e) {
            throw wrong(file, e, text, treeOrNone(text));
        }
    }

    /** The record as YAML, all of it. */
    public String text(Object record) {
        try {
            return mapper.writeValueAsString(record);
        } catch (JsonProcessingException e) {
            throw new IllegalStateException(e);
        }
    }

    /** The text of a YAML file that is there, UTF-8 and not too large. */
    public static String content(Path file) throws InputException {
        if (!Files.isRegularFile(file)) throw new InputException(file, "", "no such file", "a YAML file");
        try {
            if (Files.size(file) > LARGEST_BYTES)
                throw new InputException(
                        file, "", Files.size(file) + " bytes", "a YAML file of at most " + LARGEST_BYTES + " bytes");
            return Files.readString(file);
        } catch (CharacterCodingException e) {
            throw new InputException(file, "", "no UTF-8 text", "a YAML file");
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a YAML file");
        }
    }

    // A number too large to be held is a fault of its key, not of the text.
    private JsonNode treeOrNone(String text) {
        try {
            return mapper.readTree(text);
        } catch (IOException e) {
            return NONE;
        }
    }

    private JsonNode tree(String text, Object file) throws InputException {
        try {
            return mapper.readTree(text);
        } catch (IOException e) {
            throw syntax(file, e);
        }
    }

    private <T> T override(JsonNode tree, List<String> overrides, Class<T> type) throws InputException {
        for (String override : overrides) set(tree, override);
        try {
            return mapper.treeToValue(tree, type);
        } catch (IOException e) {
            throw wrong("--set " + String.join(" ", overrides), e, "", tree);
        }
    }

    private void set(JsonNode tree, String override) throws InputException {
        int equals = override.indexOf('=');
        if (equals < 1 || !(tree instanceof ObjectNode))
            throw new InputException("--set", "", override, "key=value, as features.dimensions=2");
        String[] keys = override.substring(0, equals).split("\\.");
        ObjectNode at = (ObjectNode) tree;
        for (int i = 0; i < keys.length - 1; i++) {
            JsonNode next = at.get(keys[i]);
            at = next instanceof ObjectNode object ? object : at.putObject(keys[i]);
        }
        at.set(keys[keys.length - 1], tree(override.substring(equals + 1), "--set " + override));
    }

    private InputException wrong(Object file, IOException e, String text, JsonNode tree) {
        if (e instanceof UnrecognizedPropertyException unknown)
            return new InputException(
                    file,
                    place(unknown, text),
                    "the unknown key '" + unknown.getPropertyName() + "'",
                    unknown.getKnownPropertyIds().stream()
                            .map(String::valueOf)
                            .sorted()
                            .collect(Collectors.joining(", ", "one of ", "")));
        // A record's own check says it best.
        if (e instanceof JsonMappingException mapping && e.getCause() instanceof IllegalArgumentException refusal)
            return InputException.refused(file, place(mapping, text), refusal);
        if (e instanceof JsonMappingException mapping) return misfit(file, mapping, text, tree);
        return syntax(file, e);
    }

    private InputException misfit(Object file, JsonMappingException e, String text, JsonNode tree) {
        String expected = YamlFault.expected(e, mapper);
        if (e.getPath().isEmpty() && YamlFault.isEmpty(tree))
            return new InputException(file, "", "an empty file", expected);
        return new InputException(file, place(e, text), YamlFault.found(e, YamlFault.at(tree, e.getPath())), expected);
    }

    private static InputException syntax(Object file, IOException e) {
        String place = e instanceof JsonProcessingException syntax ? line(syntax.getLocation()) : "";
        Optional<String> twice = YamlFault.twice(e);
        return twice.isPresent()
                ? new InputException(file, place, "the key '" + twice.get() + "' twice", "each key once")
                : new InputException(file, place, YamlFault.syntax(e), "YAML");
    }

    private String place(JsonMappingException e, String text) {
        String key = e.getPath().stream()
                .map(step -> step.getFieldName() == null ? "[" + step.getIndex() + "]" : step.getFieldName())
                .collect(Collectors.joining("."));
        return Stream.of(line(e, text), key.isEmpty() ? "" : "key " + key)
                .filter(part -> !part.isEmpty())
                .collect(Collectors.joining(", "));
    }

    /**
     * Where a value stands in a file, for the message of a check that comes after reading: line and key.
     *
     * @param text the file's
     * @param keys from the top; numbers count entries of a list from 0
     */
    public String place(String text, List<String> keys) {
        String key = "key " + String.join(".", keys);
        String line = line("/" + String.join("/", keys), text);
        return line.isEmpty() ? key : line + ", " + key;
    }

    /**
     * The text with one more key in a mapping, before the mapping's first; all else stays as it was written, comments too.
     *
     * @param text of a file that was read
     * @param keys of the mapping, from the top; numbers count entries of a list from 0; empty for the whole document
     * @param value plain text that needs no quotes
     * @return none where there is no such mapping, or it begins with an anchor or a tag
     */
    public Optional<String> with(String text, List<String> keys, String key, String value) {
        String pointer = keys.stream().map(one -> "/" + one).collect(Collectors.joining());
        String entry = key + ": " + value;
        try (JsonParser parser = mapper.createParser(text)) {
            for (JsonToken token = parser.nextToken(); token != null; token = parser.nextToken()) {
                if (token != JsonToken.START_OBJECT
                        || !parser.getParsingContext()
                                .pathAsPointer()
                                .toString()
                                .equals(pointer)) continue;
                int start = offset(text, parser.currentTokenLocation());
                boolean isEmpty = parser.nextToken() == JsonToken.END_OBJECT;
                if (text.startsWith("{", start))
                    return Optional.of(put(text, start + 1, entry + (isEmpty ? "" : ", ")));
                int first = offset(text, parser.currentTokenLocation());
                String indent = " ".repeat(parser.currentTokenLocation().getColumnNr() - 1);
                return first == start ? Optional.of(put(text, start, entry + "\n" + indent)) : Optional.empty();
            }
        } catch (IOException syntax) {
            // then it has no such mapping
        }
        return Optional.empty();
    }

    private static int offset(String text, JsonLocation location) {
        return text.offsetByCodePoints(0, (int) location.getCharOffset());
    }

    private static String put(String text, int at, String more) {
        return text.substring(0, at) + more + text.substring(at);
    }

    // The exception itself may point behind the key: a record is made only once all its keys are read.
    private String line(JsonMappingException e, String text) {
        String pointer = e.getPath().stream()
                .map(step -> "/" + (step.getFieldName() == null ? step.getIndex() : step.getFieldName()))
                .collect(Collectors.joining());
        String line = line(pointer, text);
        return line.isEmpty() && !text.isEmpty() ? line(e.getLocation()) : line;
    }

    private String line(String pointer, String text) {
        try (JsonParser parser = mapper.createParser(text)) {
            while (parser.nextToken() != null)
                if (parser.getParsingContext().pathAsPointer().toString().equals(pointer))
                    return line(parser.currentTokenLocation());
        } catch (IOException syntax) {
            // then it has no place of its own
        }
        return "";
    }

    private static String line(JsonLocation location) {
        return location == null || location.getLineNr() < 1 ? "" : "line " + location.getLineNr();
    }

    /** Writes {@code FIXED_NUMBER} as {@code fixed-number}. */
    private static final class LowerCaseEnums extends JacksonAnnotationIntrospector {
        private static final long serialVersionUID = 1L;

        @Override
        public String[] findEnumValues(MapperConfig<?> config, AnnotatedClass type, Enum<?>[] values, String[] names) {
            for (int i = 0; i < values.length; i++) names[i] = TypeWords.inFile(values[i].name());
            return names;
        }
    }
}
