// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.leiogauge.task.InputException;

/**
 * A diffusion b-value and where it was found: the standard's attribute, or the private place of a maker where that is
 * missing.
 *
 * <p>Source: PS3.3 C.8.13.5.9; private places as documented in public data dictionaries of the makers' elements.
 *
 * @param value in s/mm²
 * @param place empty for the standard's attribute
 */
record BValue(double value, String place) {
    // This maker adds a billion to the b-value of series with several.
    private static final double GE_BIAS = 1e9;
    private static final Pattern IN_COMMENT = Pattern.compile("(?i)\\bb\\s*=\\s*(\\d{1,5})\\b");

    /** @param diffusion where the standard's attribute stands */
    static Optional<BValue> of(DataSet set, DataSet diffusion) throws InputException {
        OptionalDouble standard = diffusion.number(Tag.DIFFUSION_B_VALUE);
        if (standard.isEmpty()) standard = set.number(Tag.DIFFUSION_B_VALUE);
        if (standard.isPresent()) return Optional.of(new BValue(standard.getAsDouble(), ""));
        if (diffusion.text(Tag.DIFFUSION_DIRECTIONALITY).orElse("").equals("NONE"))
            return Optional.of(new BValue(0, ""));
        Place[] places = {
            new Place("SIEMENS MR HEADER", 0x0019, 0x0C, Vr.IS),
            new Place("GEMS_PARM_01", 0x0043, 0x39, Vr.IS),
            new Place("Philips Imaging DD 001", 0x2001, 0x03, Vr.FL),
            new Place("PMTF INFORMATION DATA^11", 0x0019, 0xF1, Vr.SL),
            new Place("MMCPrivate", 0x0029, 0x30, Vr.FD),
            new Place("", 0x0065, 0x09, Vr.FD)
        };
        for (Place place : places) {
            Optional<BValue> found = place.in(set);
            if (found.isPresent()) return found;
        }
        return inComment(set);
    }

    private static Optional<BValue> inComment(DataSet set) {
        Matcher comment = IN_COMMENT.matcher(set.text(Tag.IMAGE_COMMENTS).orElse(""));
        return comment.find()
                ? Optional.of(new BValue(Double.parseDouble(comment.group(1)), Tag.text(Tag.IMAGE_COMMENTS)))
                : Optional.empty();
    }

    /** A private element: PS3.5 7.8.1. An empty creator: whichever reserves the block, of a group that one maker uses. */
    private record Place(String creator, int group, int element, Vr vr) {
        Optional<BValue> in(DataSet set) throws InputException {
            for (int block = 0x10; block <= 0xFF; block++) {
                Optional<String> reserved = set.text(group << 16 | block);
                if (reserved.isEmpty() || !(creator.isEmpty() || reserved.get().equals(creator))) continue;
                double[] values = set.numbers(group << 16 | block << 8 | element, vr);
                if (values.length > 0 && values[0] >= 0) return Optional.of(new BValue(unbiased(values[0]), words()));
            }
            return Optional.empty();
        }

        private double unbiased(double value) {
            return value >= GE_BIAS ? value - GE_BIAS : value;
        }

        private String words() {
            return String.format(Locale.ROOT, "private (%04X,xx%02X)", group, element)
                    + (creator.isEmpty() ? "" : " of " + creator);
        }
    }
}
