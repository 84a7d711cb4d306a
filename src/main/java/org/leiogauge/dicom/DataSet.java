// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.ByteBuffer;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.leiogauge.task.InputException;

/**
 * Data elements in the order of their tags (PS3.5 7.1), as read from a file or put together to be written.
 *
 * <p>A value that is absent or empty gives an empty result; one that is there but cannot be what its tag says gives an
 * {@link InputException}. It is not printed: it may hold the patient's identity.
 */
public final class DataSet {
    private final TreeMap<Integer, Element> elements = new TreeMap<>(Integer::compareUnsigned);
    private final Object source;
    private Charset charset;

    /** An empty one, to be put together. */
    public DataSet() {
        this("new data set", StandardCharsets.UTF_8);
    }

    /** @param source the file, for messages */
    DataSet(Object source, Charset charset) {
        this.source = source;
        this.charset = charset;
    }

    /** A copy to be changed; values are shared. */
    public DataSet copy() {
        DataSet copy = new DataSet(source, charset);
        copy.elements.putAll(elements);
        return copy;
    }

    /** The file that it came from, for messages. */
    public Object source() {
        return source;
    }

    public Collection<Element> elements() {
        return Collections.unmodifiableCollection(elements.values());
    }

    public Optional<Element> get(int tag) {
        return Optional.ofNullable(elements.get(tag));
    }

    public boolean has(int tag) {
        return elements.containsKey(tag);
    }

    /** Puts an element, in place of one with the same tag. */
    public DataSet put(Element element) {
        elements.put(element.tag(), element);
        if (element.tag() == Tag.SPECIFIC_CHARACTER_SET) charset = CharacterSet.of(texts(element.tag()));
        return this;
    }

    /** Text values of a tag that the dictionary knows. */
    public DataSet put(int tag, String... values) {
        return put(Element.text(tag, known(tag), values));
    }

    /** One text value of a tag that the dictionary knows, from anywhere: cut and cleaned to what its VR allows. */
    public DataSet putText(int tag, String text) {
        return put(tag, FittingText.of(known(tag), text));
    }

    /** Whole numbers of a tag that the dictionary knows. */
    public DataSet put(int tag, long... values) {
        return put(Element.whole(tag, known(tag), values));
    }

    /** Real numbers of a tag that the dictionary knows. */
    public DataSet put(int tag, double... values) {
        return put(Element.real(tag, known(tag), values));
    }

    /** The items of a sequence. */
    public DataSet put(int tag, List<DataSet> items) {
        return put(Element.sequence(tag, items));
    }

    /** All elements of another one, in place of those with the same tag. */
    public DataSet putAll(DataSet other) {
        other.elements.values().forEach(this::put);
        return this;
    }

    public DataSet remove(int tag) {
        elements.remove(tag);
        return this;
    }

    /** The items of a sequence; none if it is absent. */
    public List<DataSet> items(int tag) {
        Element element = elements.get(tag);
        return element == null ? List.of() : element.items();
    }

    /** The first item of a sequence. */
    public Optional<DataSet> item(int tag) {
        return items(tag).stream().findFirst();
    }

    /** The text values of a tag, without the blanks around them. */
    public List<String> texts(int tag) {
        Element element = elements.get(tag);
        if (element == null || element.length() == 0) return List.of();
        String text = decoded(element);
        if (element.vr().isSingle()) return List.of(trimmed(text));
        List<String> values = new ArrayList<>();
        for (String value : text.split("\\\\", -1)) values.add(trimmed(value));
        return values;
    }

    /** The first text value of a tag; none if it is absent or blank. */
    public Optional<String> text(int tag) {
        return texts(tag).stream().findFirst().filter(t -> !t.isEmpty());
    }

    /** The numbers of a tag, text or binary. */
    public double[] numbers(int tag) throws InputException {
        Element element = elements.get(tag);
        return element == null ? new double[0] : numbers(element, element.vr());
    }

    /** The numbers of a tag, which are meant as {@code vr} if the file does not say how. */
    double[] numbers(int tag, Vr vr) throws InputException {
        Element element = elements.get(tag);
        if (element == null) return new double[0];
        return numbers(element, element.vr() == Vr.UN || element.vr() == Vr.OB ? vr : element.vr());
    }

    /** The first number of a tag. */
    public OptionalDouble number(int tag) throws InputException {
        double[] values = numbers(tag);
        return values.length == 0 ? OptionalDouble.empty() : OptionalDouble.of(values[0]);
    }

    /** The first number of a tag, which must be a whole one. */
    public OptionalInt whole(int tag) throws InputException {
        OptionalDouble value = number(tag);
        if (value.isEmpty()) return OptionalInt.empty();
        double v = value.getAsDouble();
        if (v != (int) v) throw unusable(tag, String.valueOf(v), "a whole number below 2³¹");
        return OptionalInt.of((int) v);
    }

    /** The text of a tag that must be there. */
    public String needText(int tag) throws InputException {
        return text(tag).orElseThrow(() -> unusable(tag, "nothing", "a value"));
    }

    /** Exactly so many finite numbers of a tag that must be there. */
    public double[] needNumbers(int tag, int count) throws InputException {
        double[] values = numbers(tag);
        if (values.length != count) throw unusable(tag, values.length + " values", count + " values");
        for (double value : values)
            if (!Double.isFinite(value)) throw unusable(tag, String.valueOf(value), "finite numbers");
        return values;
    }

    /** The whole number, within bounds, of a tag that must be there. */
    public int needWhole(int tag, int min, int max) throws InputException {
        OptionalInt value = whole(tag);
        if (value.isEmpty()) throw unusable(tag, "nothing", "a number from " + min + " to " + max);
        if (value.getAsInt() < min || value.getAsInt() > max)
            throw unusable(tag, String.valueOf(value.getAsInt()), "a number from " + min + " to " + max);
        return value.getAsInt();
    }

    InputException unusable(int tag, String found, String expected) {
        return new InputException(source, Tag.text(tag), found, expected);
    }

    Charset charset() {
        return charset;
    }

    private String decoded(Element element) {
        byte[] bytes = new byte[element.length()];
        element.value().get(bytes);
        return CharacterSet.decode(
                bytes, bytes.length, element.vr().followsCharacterSet() ? charset : StandardCharsets.ISO_8859_1);
    }

    private double[] numbers(Element element, Vr vr) throws InputException {
        return switch (vr.kind()) {
            case TEXT -> fromText(element);
            case SIGNED, UNSIGNED, FLOAT -> fromBinary(element, vr);
            default -> throw unusable(element.tag(), "VR " + vr, "numbers");
        };
    }

    private double[] fromText(Element element) throws InputException {
        String[] words = trimmed(decoded(element)).split("\\\\", -1);
        if (words.length == 1 && words[0].isEmpty()) return new double[0];
        double[] values = new double[words.length];
        for (int i = 0; i < words.length; i++) {
            try {
                values[i] = Double.parseDouble(trimmed(words[i]));
            } catch (NumberFormatException e) {
                throw unusable(element.tag(), "“" + trimmed(words[i]) + "”", "a number");
            }
        }
        return values;
    }

    private double[] fromBinary(Element element, Vr vr) throws InputException {
        ByteBuffer bytes = element.value();
        if (bytes.remaining() % vr.width() != 0)
            throw unusable(element.tag(), bytes.remaining() + " bytes", "numbers of " + vr.width() + " bytes each");
        double[] values = new double[bytes.remaining() / vr.width()];
        for (int i = 0; i < values.length; i++) values[i] = next(bytes, vr);
        return values;
    }

    private static double next(ByteBuffer bytes, Vr vr) {
        return switch (vr) {
            case SS -> bytes.getShort();
            case US, OW -> Short.toUnsignedInt(bytes.getShort());
            case SL -> bytes.getInt();
            case UL, OL -> Integer.toUnsignedLong(bytes.getInt());
            case FL, OF -> bytes.getFloat();
            case FD, OD -> bytes.getDouble();
            default -> bytes.getLong();
        };
    }

    private static Vr known(int tag) {
        Vr vr = Dictionary.vr(tag);
        if (vr == Vr.UN) throw new IllegalArgumentException("tag must be in the dictionary, got " + Tag.text(tag));
        return vr;
    }

    // Values end in blanks or, against the standard, in zeros.
    private static String trimmed(String text) {
        int from = 0;
        int to = text.length();
        while (to > from && text.charAt(to - 1) <= ' ') to--;
        while (from < to && text.charAt(from) <= ' ') from++;
        return text.substring(from, to);
    }
}
