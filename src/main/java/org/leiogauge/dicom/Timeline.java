// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A patient's dates and times, moved by one number of days and one of seconds: what lies between them stays.
 *
 * <p>The first day becomes 1970-01-01, unless a shift in days is given, and the first time of day becomes midnight. Offsets from
 * universal time are left out. Source: forms, PS3.5 6.2, DA, TM and DT.
 */
final class Timeline {
    private static final LocalDate FIRST_DAY = LocalDate.of(1970, 1, 1);
    private static final int DAY = 86_400;
    private static final Pattern DATE = Pattern.compile("(\\d{4})\\.?(\\d{2})\\.?(\\d{2})");
    private static final Pattern TIME = Pattern.compile("(\\d{2})(?::?(\\d{2})(?::?(\\d{2})(\\.\\d{1,6})?)?)?");
    private static final Pattern DATE_TIME =
            Pattern.compile("(\\d{8})(\\d{2}(?:\\d{2}(?:\\d{2}(?:\\.\\d{1,6})?)?)?)?(?:[+-]\\d{4})?");

    private final OptionalInt shiftDays;
    private LocalDate firstDay = LocalDate.MAX;
    private int firstSecond = DAY;

    /** @param shiftDays how far days are moved; none: to 1970-01-01 */
    Timeline(OptionalInt shiftDays) {
        this.shiftDays = shiftDays;
    }

    /** Takes note of all dates and times of a set that a copy of it keeps. */
    void look(DataSet set) {
        for (Element element : set.elements()) {
            for (DataSet item : element.items()) look(item);
            if (KeptAttributes.rule(element.tag()) != KeptAttributes.Rule.DATES) continue;
            for (String value : set.texts(element.tag()))
                switch (Dictionary.vr(element.tag())) {
                    case DA -> lookAtDate(value);
                    case TM -> lookAtTime(value);
                    case DT -> lookAtDateTime(value);
                    default -> {}
                }
        }
    }

    private void lookAtDateTime(String value) {
        Matcher m = DATE_TIME.matcher(value);
        if (!m.matches()) return;
        lookAtDate(m.group(1));
        if (m.group(2) != null) lookAtTime(m.group(2));
    }

    private void lookAtDate(String value) {
        parsed(value).filter(day -> day.isBefore(firstDay)).ifPresent(day -> firstDay = day);
    }

    private void lookAtTime(String value) {
        int second = second(value);
        if (second >= 0 && second < firstSecond) firstSecond = second;
    }

    /** Empty for what is no date. */
    String date(String value) {
        return parsed(value).map(this::moved).orElse("");
    }

    /** Empty for what is no time. */
    String time(String value) {
        int second = second(value);
        if (second < 0) return "";
        int moved = Math.floorMod(second - (firstSecond == DAY ? 0 : firstSecond), DAY);
        Matcher m = TIME.matcher(value);
        String fraction = m.matches() && m.group(4) != null ? m.group(4) : "";
        return String.format(Locale.ROOT, "%02d%02d%02d", moved / 3600, moved / 60 % 60, moved % 60) + fraction;
    }

    /** Empty for what is no date with or without a time. */
    String dateTime(String value) {
        Matcher m = DATE_TIME.matcher(value);
        if (!m.matches()) return "";
        String day = date(m.group(1));
        return day.isEmpty() || m.group(2) == null ? day : day + time(m.group(2));
    }

    private String moved(LocalDate day) {
        LocalDate moved = shiftDays.isPresent()
                ? day.plusDays(shiftDays.getAsInt())
                : FIRST_DAY.plusDays(day.toEpochDay() - (firstDay.equals(LocalDate.MAX) ? day : firstDay).toEpochDay());
        boolean fits = moved.getYear() >= 1 && moved.getYear() <= 9999;
        return fits ? moved.format(DateTimeFormatter.BASIC_ISO_DATE) : "";
    }

    private static Optional<LocalDate> parsed(String value) {
        Matcher m = DATE.matcher(value);
        if (!m.matches()) return Optional.empty();
        try {
            return Optional.of(LocalDate.of(
                    Integer.parseInt(m.group(1)), Integer.parseInt(m.group(2)), Integer.parseInt(m.group(3))));
        } catch (DateTimeException e) {
            return Optional.empty();
        }
    }

    /** Of the day, whole ones; −1 for none. */
    private static int second(String value) {
        Matcher m = TIME.matcher(value);
        if (!m.matches()) return -1;
        int seconds = 3600 * part(m, 1) + 60 * part(m, 2) + part(m, 3);
        return seconds < DAY ? seconds : -1;
    }

    private static int part(Matcher m, int group) {
        return m.group(group) == null ? 0 : Integer.parseInt(m.group(group));
    }
}
