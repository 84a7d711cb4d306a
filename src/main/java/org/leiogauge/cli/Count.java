// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** A number of things of which there must be one at least. */
final class Count implements ITypeConverter<Integer> {
    @Override
    public Integer convert(String text) {
        try {
            int count = Integer.parseInt(text);
            if (count >= 1) return count;
        } catch (NumberFormatException e) {
            // said below
        }
        throw new TypeConversionException("a whole number of 1 or more");
    }
}
