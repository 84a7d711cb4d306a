// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.image.Spacing;

/**
 * How the features of the standard are measured: the processing in the standard's order, then the texture's distance and
 * the families that are wanted.
 *
 * @param dimensions 2: interpolation and texture slice by slice; 3: in the volume
 * @param resample to which voxels image and region are interpolated; empty for the voxels as they are
 * @param families which families are measured, without doubles; listed in the standard's order whatever the order here
 */
public record Settings(
        int dimensions,
        Resegment resegment,
        Optional<Resample> resample,
        Discretise discretise,
        IntensityVolume intensityVolume,
        Texture texture,
        List<Family> families) {

    /** The highest grey level that can be held. */
    public static final int MOST_LEVELS = 65_535;

    public Settings {
        if (dimensions != 2 && dimensions != 3)
            throw new IllegalArgumentException("dimensions must be 2 or 3, got " + dimensions);
        if (families.isEmpty() || EnumSet.copyOf(families).size() != families.size())
            throw new IllegalArgumentException("families must name each wanted family once, got " + families);
        families = List.copyOf(families);
    }

    /** All families in three dimensions on the voxels as they are, with 32 bins, as for intensities without a unit. */
    public static Settings standard() {
        return new Settings(
                3,
                Resegment.NONE,
                Optional.empty(),
                new Discretise.FixedNumber(32),
                new IntensityVolume.None(),
                new Texture(1, 0),
                List.of(Family.values()));
    }

    /** The same for some families alone. */
    public Settings only(List<Family> wanted) {
        return new Settings(dimensions, resegment, resample, discretise, intensityVolume, texture, wanted);
    }

    /** The same with no voxel left out. */
    Settings withoutResegmentation() {
        return new Settings(dimensions, Resegment.NONE, resample, discretise, intensityVolume, texture, families);
    }

    /** Intensities from {@code low} to {@code high}, both included; an end may be infinite. */
    public record Range(double low, double high) {
        public Range {
            if (!(low < high)) throw new IllegalArgumentException("range must rise, got " + low + " to " + high);
        }
    }

    /**
     * Which voxels of the region are left out of all but its shape.
     *
     * @param range those outside it are left out
     * @param outliers those farther than this many standard deviations from the mean of the region are left out; &gt; 0
     */
    public record Resegment(Optional<Range> range, OptionalDouble outliers) {
        /** Leaves nothing out. */
        public static final Resegment NONE = new Resegment(Optional.empty(), OptionalDouble.empty());

        public Resegment {
            if (outliers.isPresent()) requirePositive("outliers", outliers.getAsDouble(), "standard deviations");
        }
    }

    /**
     * @param spacing of the new voxels, in mm; along z ignored for two dimensions
     * @param round whether intensities are rounded to whole numbers after it
     */
    public record Resample(Spacing spacing, ImageKernel image, MaskKernel mask, boolean round) {}

    /** How an intensity between voxels is had. */
    public enum ImageKernel {
        LINEAR,
        /** Cubic B-spline through the voxels. */
        CUBIC
    }

    /** How membership between voxels is had. */
    public enum MaskKernel {
        /** The region where at least half of the interpolated weight belongs to it. */
        LINEAR,
        NEAREST
    }

    /** How intensities become grey levels 1, 2, …. */
    public sealed interface Discretise {
        /** As many bins of equal width from the lowest to the highest intensity of the region. */
        record FixedNumber(int bins) implements Discretise {
            public FixedNumber {
                requireBins(bins, MOST_LEVELS);
            }
        }

        /** Bins of one width, in the image's unit, from an intensity on that is at most the region's lowest. */
        record FixedWidth(double width, double origin) implements Discretise {
            public FixedWidth {
                requireWidth(width, origin);
            }
        }
    }

    /** At which intensities the intensity-volume histogram is had. */
    public sealed interface IntensityVolume {
        /** In steps of 1 from the lowest to the highest intensity, or over the range where there is one. */
        record None() implements IntensityVolume {}

        /** At the centres of bins of one width, from an origin to the highest intensity or the end of the range. */
        record FixedWidth(double width, double origin) implements IntensityVolume {
            public FixedWidth {
                requireWidth(width, origin);
            }
        }

        /** As grey levels 1 to the number of bins from the lowest to the highest intensity. */
        record FixedNumber(int bins) implements IntensityVolume {
            public FixedNumber {
                requireBins(bins, MOST_LEVELS);
            }
        }
    }

    /**
     * @param distance between neighbours, in voxels, the largest over the axes; 1 to 16
     * @param ngldmAlpha how much the levels of dependent neighbours may differ; 0 or more
     */
    public record Texture(int distance, int ngldmAlpha) {
        public Texture {
            if (distance < 1 || distance > 16)
                throw new IllegalArgumentException("distance must be 1 to 16 voxels, got " + distance);
            if (ngldmAlpha < 0) throw new IllegalArgumentException("ngldm-alpha must be 0 or more, got " + ngldmAlpha);
        }
    }

    private static void requireBins(int bins, int most) {
        if (bins < 1 || bins > most) throw new IllegalArgumentException("bins must be 1 to " + most + ", got " + bins);
    }

    private static void requireWidth(double width, double origin) {
        requirePositive("width", width, "the image's unit");
        if (!Double.isFinite(origin)) throw new IllegalArgumentException("origin must be finite, got " + origin);
    }

    private static void requirePositive(String name, double value, String unit) {
        if (!(value > 0 && value < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException(name + " must be finite and > 0 " + unit + ", got " + value);
    }
}
