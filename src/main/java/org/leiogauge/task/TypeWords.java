// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/** What may be written where a value of a type is expected, in settings and on the command line alike. */
public final class TypeWords {
    private static final Set<Class<?>> WHOLE_NUMBERS =
            Set.of(int.class, long.class, Integer.class, Long.class, OptionalInt.class, OptionalLong.class);
    private static final Set<Class<?>> NUMBERS =
            Set.of(double.class, float.class, Double.class, Float.class, OptionalDouble.class);

    private TypeWords() {}

    /** Of numbers and choices; empty for other types. */
    public static Optional<String> of(Class<?> type) {
        if (WHOLE_NUMBERS.contains(type)) return Optional.of("a whole number");
        if (NUMBERS.contains(type)) return Optional.of("a number");
        if (!type.isEnum()) return Optional.empty();
        return Optional.of(Stream.of(type.getEnumConstants())
                .map(choice -> inFile(((Enum<?>) choice).name()))
                .collect(Collectors.joining(", ", "one of ", "")));
    }

    /** A choice as it is written. */
    static String inFile(String constant) {
        return constant.toLowerCase(Locale.ROOT).replace('_', '-');
    }
}
