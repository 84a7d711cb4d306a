// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;

/** Data files that come inside the program; one that is not usable is our own mistake. */
public final class Shipped {
    private Shipped() {}

    /** What a text becomes. */
    @FunctionalInterface
    public interface Reading<T> {
        T of(String text) throws InputException;
    }

    public static <T> T read(String file, Reading<T> reading) {
        try (InputStream in = Shipped.class.getResourceAsStream("/" + file)) {
            if (in == null) throw new IllegalStateException("the program lacks " + file);
            return reading.of(new String(in.readAllBytes(), StandardCharsets.UTF_8));
        } catch (IOException | InputException e) {
            throw new IllegalStateException(e);
        }
    }
}
