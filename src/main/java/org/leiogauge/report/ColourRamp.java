// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

/**
 * Values as colours, from dark violet over green to yellow: even steps look even, with common colour blindness too, and grow
 * steadily lighter, so that grey print keeps their order.
 *
 * <p>Ten control points, straight lines between them in sRGB. Source: colour map "viridis", S. van der Walt and N. Smith
 * 2015, public domain (CC0); points at ninths of its range.
 */
public final class ColourRamp {
    private static final int[] POINTS = {
        0x440154, 0x482878, 0x3e4a89, 0x31688e, 0x26828e, 0x1f9e89, 0x35b779, 0x6dcd59, 0xb4de2c, 0xfde725
    };

    private ColourRamp() {}

    /** @param share 0 to 1; what lies outside has the colour of the nearer end */
    public static int rgb(double share) {
        double at = Math.max(0, Math.min(1, share)) * (POINTS.length - 1);
        int i = (int) Math.min(POINTS.length - 2, at);
        double t = at - i;
        int rgb = 0;
        for (int shift = 16; shift >= 0; shift -= 8) {
            int from = POINTS[i] >> shift & 0xff;
            int to = POINTS[i + 1] >> shift & 0xff;
            rgb |= (int) Math.round(from + t * (to - from)) << shift;
        }
        return rgb;
    }
}
