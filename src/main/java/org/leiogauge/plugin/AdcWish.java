// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.task.InputException;

/**
 * An ADC fit as a user words it. Knows no host's classes.
 *
 * @param bValues in s/mm²; may be empty
 */
public record AdcWish(List<Double> bValues, AdcFit.Settings settings) {
    public static final String STANDARD_METHOD = "weighted log-linear";
    public static final List<String> METHODS = List.of("log-linear", STANDARD_METHOD, "non-linear");

    public AdcWish {
        bValues = List.copyOf(bValues);
    }

    /**
     * @param bValues numbers between commas or spaces
     * @param method one of {@link #METHODS}
     * @param lowestB b-values below are not used, in s/mm²
     * @param noise standard deviation in the image's unit; 0: not undone
     */
    public static AdcWish of(String bValues, String method, double lowestB, double noise) throws InputException {
        return new AdcWish(numbers(bValues), settings(method, lowestB, noise));
    }

    private static AdcFit.Settings settings(String method, double lowestB, double noise) throws InputException {
        AdcFit.Settings standard = AdcFit.Settings.standard();
        if (!METHODS.contains(method)) throw new InputException("Fit", "", method, "one of " + METHODS);
        String name = method.toUpperCase(Locale.ROOT).replace('-', '_').replace(' ', '_');
        try {
            return new AdcFit.Settings(
                    AdcFit.Method.valueOf(name), lowestB, standard.highestB(), noise, standard.floor());
        } catch (IllegalArgumentException e) {
            throw InputException.refused("Fit", "", e);
        }
    }

    private static List<Double> numbers(String text) throws InputException {
        List<Double> numbers = new ArrayList<>();
        if (text.isBlank()) return numbers;
        for (String part : Arrays.asList(text.trim().split("\\s*[,;]\\s*|\\s+"))) {
            double number = number(part);
            if (!(number >= 0 && number < Double.POSITIVE_INFINITY))
                throw new InputException("b-values", "", part, "numbers of 0 or more, as 0,400,1000");
            numbers.add(number);
        }
        return numbers;
    }

    private static double number(String part) {
        try {
            return Double.parseDouble(part);
        } catch (NumberFormatException e) {
            return -1;
        }
    }
}
