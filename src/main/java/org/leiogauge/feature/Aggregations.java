// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import org.leiogauge.table.Aggregation;

/** The standard's ways of putting slices and directions together. */
public final class Aggregations {
    /** The whole region in three dimensions. */
    public static final Aggregation VOLUME = new Aggregation("volume", "DHQ4");

    /** A value per slice and direction, mean of all. */
    public static final Aggregation SLICES_AND_DIRECTIONS_AVERAGED = new Aggregation("2D averaged", "BTW3");
    /** The directions of a slice added, mean over slices. */
    public static final Aggregation SLICE_MERGED = new Aggregation("2D slice-merged", "SUJT");
    /** All slices of a direction added, mean over directions. */
    public static final Aggregation DIRECTION_MERGED = new Aggregation("2.5D direction-merged", "JJUI");
    /** Everything in the slices added to one matrix. */
    public static final Aggregation ALL_SLICES_MERGED = new Aggregation("2.5D merged", "ZW7Z");
    /** A value per direction in three dimensions, mean. */
    public static final Aggregation DIRECTIONS_AVERAGED = new Aggregation("3D averaged", "ITBB");
    /** The matrices of all directions in three dimensions added. */
    public static final Aggregation DIRECTIONS_MERGED = new Aggregation("3D merged", "IAZD");

    /** A value per slice, mean. */
    public static final Aggregation SLICES_AVERAGED = new Aggregation("2D averaged", "8QNN");
    /** The matrices of the slices added. */
    public static final Aggregation SLICES_MERGED = new Aggregation("2.5D merged", "62GR");
    /** One matrix in three dimensions. */
    public static final Aggregation ONE_VOLUME = new Aggregation("3D", "KOBO");

    private Aggregations() {}

    /** The ways in which a family has values, in the order in which they are listed. */
    public static List<Aggregation> of(Family family, int dimensions) {
        boolean slices = dimensions == 2;
        return switch (family) {
            case SHAPE, LOCAL_INTENSITY, INTENSITY, HISTOGRAM, INTENSITY_VOLUME -> List.of(VOLUME);
            case GLCM, GLRLM ->
                slices
                        ? List.of(SLICES_AND_DIRECTIONS_AVERAGED, SLICE_MERGED, DIRECTION_MERGED, ALL_SLICES_MERGED)
                        : List.of(DIRECTIONS_AVERAGED, DIRECTIONS_MERGED);
            case GLSZM, GLDZM, NGTDM, NGLDM -> slices ? List.of(SLICES_AVERAGED, SLICES_MERGED) : List.of(ONE_VOLUME);
        };
    }
}
