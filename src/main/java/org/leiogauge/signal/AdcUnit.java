// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;

/**
 * The unit of an ADC map that a scanner made, found out from what is stated or from the size of its values.
 *
 * <p>Plausible: the median over the region lies from 0.2 to 4 · 10⁻³ mm²/s; free water at body temperature has 3.04.
 * Tried are mm²/s, 10⁻³ mm²/s and 10⁻⁶ mm²/s, which lie so far apart that at most one is plausible. Any other scale must be
 * stated.
 *
 * <p>Source: water: Holz et al. 2000, doi:10.1039/b005319h; the range and the units tried: common practice, no source.
 *
 * @param ucum as UCUM writes it
 * @param inMilli one of it in 10⁻³ mm²/s
 */
public record AdcUnit(String ucum, double inMilli) {
    public static final AdcUnit TEN_TO_MINUS_3 = new AdcUnit("10-3.mm2/s", 1);
    public static final AdcUnit TEN_TO_MINUS_6 = new AdcUnit("10-6.mm2/s", 1e-3);
    public static final AdcUnit MM2_PER_SECOND = new AdcUnit("mm2/s", 1e3);

    private static final List<AdcUnit> USUAL = List.of(TEN_TO_MINUS_3, TEN_TO_MINUS_6, MM2_PER_SECOND);
    private static final double LOWEST = 0.2;
    private static final double HIGHEST = 4;
    private static final Pattern POWER = Pattern.compile("10\\*?-(\\d{1,2})\\.?mm2/s");

    /**
     * A unit and how it was found, in words for the report.
     */
    public record Found(AdcUnit unit, String decision) {}

    /** The unit that a text means: {@code mm2/s}, {@code um2/s}, {@code um2/ms}, or a power of ten of mm²/s. */
    public static Optional<AdcUnit> parse(String text) {
        String plain = text.strip()
                .toLowerCase(Locale.ROOT)
                .replace("²", "2")
                .replace("µ", "u")
                .replace("μ", "u")
                .replace(" ", "");
        if (plain.equals("mm2/s")) return Optional.of(MM2_PER_SECOND);
        if (plain.equals("um2/s")) return Optional.of(new AdcUnit("um2/s", 1e-3));
        if (plain.equals("um2/ms")) return Optional.of(new AdcUnit("um2/ms", 1));
        Matcher power = POWER.matcher(plain);
        if (!power.matches()) return Optional.empty();
        int exponent = Integer.parseInt(power.group(1));
        return Optional.of(new AdcUnit("10-" + exponent + ".mm2/s", Double.parseDouble("1e" + (3 - exponent))));
    }

    /**
     * @param source the map as the user knows it, for messages
     * @param region where the median is taken, as the lesion
     * @param stated the unit that the user or the file states
     * @throws InputException if the stated unit is none or gives no plausible values, or if none is stated and the size of
     *     the values does not tell
     */
    public static Found find(Object source, Volume map, Mask region, Optional<String> stated) throws InputException {
        double median = median(map, region);
        if (!(median > 0))
            throw new InputException(source, "ADC", "a median of " + text(median), "values above 0 in the region");
        if (stated.isPresent()) return stated(source, median, stated.get());
        for (AdcUnit unit : USUAL)
            if (isPlausible(unit, median))
                return new Found(
                        unit,
                        "ADC map taken as " + unit.ucum + ": its median in the region, " + text(median)
                                + ", is plausible in no other usual unit");
        throw new InputException(
                source,
                "ADC unit",
                "none stated, and a median of " + text(median) + " that fits no usual unit",
                "the unit of its values, as 10-6.mm2/s");
    }

    private static Found stated(Object source, double median, String text) throws InputException {
        AdcUnit unit = parse(text)
                .orElseThrow(() -> new InputException(
                        source, "ADC unit", text, "mm2/s, um2/s, um2/ms, or a power of ten as 10-6.mm2/s"));
        if (!isPlausible(unit, median))
            throw new InputException(
                    source,
                    "ADC unit",
                    unit.ucum + " with a median of " + text(median),
                    "a unit that gives " + LOWEST + " to " + HIGHEST + " · 10-3.mm2/s");
        return new Found(unit, "ADC map is in " + unit.ucum + ", as stated");
    }

    /** The map in 10⁻³ mm²/s. */
    public Volume convert(Volume map) {
        if (inMilli == 1) return map;
        float[] converted = new float[map.voxels().length];
        for (int i = 0; i < converted.length; i++) converted[i] = (float) (map.voxels()[i] * inMilli);
        return new Volume(map.grid(), converted);
    }

    private static boolean isPlausible(AdcUnit unit, double median) {
        double inMilli = median * unit.inMilli;
        return inMilli >= LOWEST && inMilli <= HIGHEST;
    }

    private static double median(Volume map, Mask region) {
        if (!region.grid().size().equals(map.grid().size()))
            throw new IllegalArgumentException("region must have the map's size "
                    + map.grid().size() + ", got " + region.grid().size());
        float[] values = new float[region.count()];
        int n = 0;
        for (int i = 0; i < region.voxels().length; i++)
            if (region.voxels()[i] != 0 && Float.isFinite(map.voxels()[i])) values[n++] = map.voxels()[i];
        Arrays.sort(values, 0, n);
        return n == 0 ? Double.NaN : ((double) values[(n - 1) / 2] + values[n / 2]) / 2;
    }

    private static String text(double value) {
        return String.format(Locale.ROOT, "%.4g", value);
    }
}
