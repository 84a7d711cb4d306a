// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.task.InputException;

/**
 * The b-value of an image: from the standard attribute, else from where its maker is known to write it.
 *
 * <p>Source: (0018,9087) PS3.3 C.8.13.5.9; private places from the makers' conformance statements and private dictionaries
 * as carried by general-purpose DICOM libraries.
 */
record BValue(double value, String place) {
    private static final int GE_BIAS = 1_000_000_000;

    /** A private element: its block's creator, group, and the low byte of its element number (PS3.5 7.8.1). */
    private record Place(String maker, String creator, int group, int element, Vr vr) {}

    private static final Place[] PLACES = {
        new Place("Siemens", "SIEMENS MR HEADER", 0x0019, 0x0C, Vr.IS),
        new Place("GE", "GEMS_PARM_01", 0x0043, 0x39, Vr.IS),
        new Place("Philips", "Philips Imaging DD 001", 0x2001, 0x03, Vr.FL),
        new Place("United Imaging", "Image Private Header", 0x0065, 0x09, Vr.FD),
        new Place("Hitachi", "MMCPrivate", 0x0029, 0x30, Vr.FD),
    };

    /**
     * @param group the item of the diffusion macro, or the data set itself
     * @param set the data set
     */
    static Optional<BValue> of(DataSet group, DataSet set) throws InputException {
        OptionalDouble standard = group.number(Tag.DIFFUSION_B_VALUE);
        if (standard.isEmpty()) standard = set.number(Tag.DIFFUSION_B_VALUE);
        if (standard.isPresent()) return checked(set, standard.getAsDouble(), Tag.text(Tag.DIFFUSION_B_VALUE));
        if (group.text(Tag.DIFFUSION_DIRECTIONALITY).filter("NONE"::equals).isPresent())
            return Optional.of(new BValue(0, Tag.text(Tag.DIFFUSION_DIRECTIONALITY) + " NONE"));
        for (Place place : PLACES) {
            Optional<BValue> found = at(place, set);
            if (found.isPresent()) return found;
        }
        return fromComments(set);
    }

    private static Optional<BValue> at(Place place, DataSet set) throws InputException {
        for (int block = 0x10; block <= 0xFF; block++) {
            Optional<String> creator = set.text(place.group << 16 | block);
            if (creator.isEmpty() || !creator.get().equalsIgnoreCase(place.creator)) continue;
            int tag = place.group << 16 | block << 8 | place.element;
            double[] values = set.numbers(tag, place.vr);
            if (values.length == 0) return Optional.empty();
            // GE adds 10⁹ for series with several or computed b-values
            boolean biased = place.element == 0x39 && values[0] >= GE_BIAS;
            return checked(
                    set,
                    biased ? values[0] - GE_BIAS : values[0],
                    Tag.text(tag) + " of " + place.maker + (biased ? ", less 1000000000" : ""));
        }
        return Optional.empty();
    }

    // Canon and Toshiba write "b=800(…)"
    private static Optional<BValue> fromComments(DataSet set) throws InputException {
        String maker = set.text(Tag.MANUFACTURER).orElse("").toUpperCase(java.util.Locale.ROOT);
        if (!maker.startsWith("TOSHIBA") && !maker.startsWith("CANON")) return Optional.empty();
        String comments = set.text(Tag.IMAGE_COMMENTS).orElse("");
        java.util.regex.Matcher match = java.util.regex.Pattern.compile("\\bb=\\s*(\\d{1,6}(\\.\\d{1,6})?)")
                .matcher(comments);
        if (!match.find()) return Optional.empty();
        return checked(set, Double.parseDouble(match.group(1)), Tag.text(Tag.IMAGE_COMMENTS) + " of " + maker);
    }

    private static Optional<BValue> checked(DataSet set, double value, String place) throws InputException {
        if (value >= 0 && value <= 100_000) return Optional.of(new BValue(value, place));
        throw new InputException(set.source(), place, String.valueOf(value), "a b-value of 0 to 100000 s/mm²");
    }
}
