// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.IOException;
import java.nio.file.AccessDeniedException;

/**
 * Input that cannot be used: which file, which field in it, what was found and what was expected.
 *
 * <p>The front end turns it into one line and exit code 2. The message is one line whatever came from the file: control
 * characters are shown as {@code ?} and long text is cut.
 */
public final class InputException extends Exception {
    private static final long serialVersionUID = 1L;
    private static final int LONGEST = 300;

    /**
     * @param file the file, folder or series as the user knows it
     * @param field the tag and its name, the column, or the line; may be empty
     * @param found what stands there
     * @param expected what could be used
     */
    public InputException(Object file, String field, String found, String expected) {
        super(oneLine(String.valueOf(file)) + ": " + (field.isEmpty() ? "" : oneLine(field) + ": ") + "found "
                + oneLine(found) + ", expected " + oneLine(expected));
    }

    private InputException(String message) {
        super(message);
    }

    /** A value that a record refused; its message says what was expected and what came. */
    public static InputException refused(Object file, String field, IllegalArgumentException refusal) {
        return new InputException(oneLine(String.valueOf(file)) + ": " + (field.isEmpty() ? "" : oneLine(field) + ": ")
                + oneLine(String.valueOf(refusal.getMessage())));
    }

    /** A file or folder that is there and cannot be read. */
    public static InputException unreadable(Object file, IOException e, String expected) {
        String found = e instanceof AccessDeniedException
                ? "no permission to read it"
                : "a file that cannot be read: " + (e.getMessage() == null ? "no reason given" : e.getMessage());
        return new InputException(file, "", found, expected);
    }

    private static String oneLine(String text) {
        boolean fits = text.codePointCount(0, text.length()) <= LONGEST;
        return fits ? OneLine.of(text) : OneLine.of(text.substring(0, text.offsetByCodePoints(0, LONGEST))) + "…";
    }
}
