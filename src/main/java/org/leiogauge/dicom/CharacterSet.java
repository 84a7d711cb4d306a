// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;

/**
 * The JDK's charset for a value of (0008,0005) SpecificCharacterSet.
 *
 * <p>Code extensions (several values) are read with the first of them that the JDK knows as a whole; ASCII text comes
 * out right in any case. Source: PS3.3 C.12.1.1.2.
 */
final class CharacterSet {
    private static final Map<String, String> NAMES = Map.ofEntries(
            Map.entry("6", "ISO-8859-1"),
            Map.entry("100", "ISO-8859-1"),
            Map.entry("101", "ISO-8859-2"),
            Map.entry("109", "ISO-8859-3"),
            Map.entry("110", "ISO-8859-4"),
            Map.entry("144", "ISO-8859-5"),
            Map.entry("127", "ISO-8859-6"),
            Map.entry("126", "ISO-8859-7"),
            Map.entry("138", "ISO-8859-8"),
            Map.entry("148", "ISO-8859-9"),
            Map.entry("203", "ISO-8859-15"),
            Map.entry("13", "JIS_X0201"),
            Map.entry("166", "TIS-620"),
            Map.entry("87", "ISO-2022-JP"),
            Map.entry("159", "ISO-2022-JP-2"),
            Map.entry("149", "EUC-KR"),
            Map.entry("58", "GB2312"),
            Map.entry("192", "UTF-8"));

    private CharacterSet() {}

    /** @param values of (0008,0005), possibly none */
    static Charset of(List<String> values) {
        Charset found = StandardCharsets.ISO_8859_1;
        for (String value : values) {
            String name = value.equals("GB18030") || value.equals("GBK")
                    ? value
                    : NAMES.getOrDefault(value.substring(value.lastIndexOf(' ') + 1), "");
            if (!name.isEmpty() && Charset.isSupported(name)) found = Charset.forName(name);
        }
        return found;
    }

    /** The text of some bytes, without the escape sequences that the charset does not know itself. */
    static String decode(byte[] bytes, int length, Charset charset) {
        String text = new String(bytes, 0, length, charset);
        return text.indexOf('\u001b') < 0 ? text : text.replaceAll("\u001b[$()\\-,./]+[0-9A-Z]", "");
    }
}
