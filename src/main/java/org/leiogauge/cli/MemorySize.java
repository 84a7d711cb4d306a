// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** An amount of memory as people write it: 900m, 4g. */
final class MemorySize implements ITypeConverter<MemorySize.Bytes> {
    private static final Pattern SIZE = Pattern.compile("([1-9][0-9]{0,5})([mg])");

    /** So many bytes. */
    record Bytes(long bytes) {}

    @Override
    public Bytes convert(String text) {
        Matcher size = SIZE.matcher(text.toLowerCase(Locale.ROOT));
        if (!size.matches()) throw new TypeConversionException("a size of memory, as 900m or 4g");
        return new Bytes(Long.parseLong(size.group(1)) << (size.group(2).equals("g") ? 30 : 20));
    }
}
