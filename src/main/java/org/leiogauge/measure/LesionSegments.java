// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.leiogauge.dicom.Code;
import org.leiogauge.dicom.SegmentationObject.Segment;
import org.leiogauge.dicom.SegmentationObject.Tracking;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The lesion and the parts of it that were measured, as segments on the outline's grid.
 *
 * <p>A part keeps its volume: of the outline's voxels those that lie most in it, as many as the volume in the table needs.
 * A threshold at half a voxel would lose what is thinner than the other series' voxels.
 *
 * @param parts those that hold a voxel
 */
public record LesionSegments(Mask outline, List<Carried> parts) {
    public LesionSegments {
        parts = List.copyOf(parts);
    }

    /** A part on the outline's grid. */
    public record Carried(Kind kind, Mask mask) {}

    static LesionSegments of(LesionParts parts, Mask outline, Workers workers) {
        List<Carried> carried = new ArrayList<>();
        for (LesionParts.Part part : parts.parts()) {
            Mask mask = onOutline(part, outline, workers);
            if (!mask.isEmpty()) carried.add(new Carried(part.kind(), mask));
        }
        return new LesionSegments(outline, carried);
    }

    /** The part of a kind, if there is such tissue. */
    public Optional<Mask> of(Kind kind) {
        return parts.stream()
                .filter(part -> part.kind() == kind)
                .map(Carried::mask)
                .findFirst();
    }

    private static Mask onOutline(LesionParts.Part part, Mask outline, Workers workers) {
        Box box = outline.boundingBox().orElseThrow();
        Mask near = outline.crop(box);
        byte[] wanted = part.mask().voxels();
        float[] whole = new float[wanted.length];
        for (int i = 0; i < whole.length; i++) whole[i] = wanted[i];
        float[] share = Resampling.onto(
                        new Volume(part.mask().grid(), whole),
                        near.grid(),
                        Resampling.Kernel.LINEAR,
                        new Resampling.Outside.Value(0),
                        workers,
                        Progress.NONE)
                .voxels();
        List<Integer> inside = new ArrayList<>();
        for (int i = 0; i < share.length; i++) if (near.voxels()[i] != 0 && share[i] > 0) inside.add(i);
        inside.sort(Comparator.comparingDouble((Integer i) -> -share[i]).thenComparing(i -> i));
        int count = (int)
                Math.min(inside.size(), Math.round(part.volume() / near.grid().voxelVolume()));
        byte[] voxels = new byte[outline.voxels().length];
        for (int i : inside.subList(0, count)) voxels[offset(i, near.grid(), box, outline.grid())] = 1;
        return new Mask(outline.grid(), voxels);
    }

    private static int offset(int i, Grid part, Box box, Grid grid) {
        int nx = part.size().x();
        int ny = part.size().y();
        return grid.offset(box.minX() + i % nx, box.minY() + i / nx % ny, box.minZ() + i / nx / ny);
    }

    /** The lesion first. A code names the tissue that a sign stands for in the trade; the label says what was measured. */
    List<Segment> segments(Tracking tracking) {
        List<Segment> segments = new ArrayList<>();
        segments.add(segment("lesion", Code.MASS, outline, "As outlined.", Optional.of(tracking)));
        for (Carried part : parts)
            segments.add(
                    segment(label(part.kind()), code(part.kind()), part.mask(), words(part.kind()), Optional.empty()));
        return segments;
    }

    private static String label(Kind kind) {
        return kind == Kind.HAEMORRHAGIC ? "T1 bright part" : kind.words() + " part";
    }

    private static Code code(Kind kind) {
        return switch (kind) {
            case NON_ENHANCING -> Code.NECROSIS;
            case HAEMORRHAGIC -> Code.HEMORRHAGE;
            default -> Code.MASS;
        };
    }

    private static String words(Kind kind) {
        return switch (kind) {
            case ENHANCING -> "Signal that rises beyond the noise after contrast.";
            case NON_ENHANCING ->
                "Signal that does not rise beyond the noise after contrast. The code is what the sign stands for, no finding.";
            case HAEMORRHAGIC ->
                "Brighter on T1 than tissue without blood. The code is what the sign stands for, no finding.";
            case CYSTIC -> "As bright as fluid on T2 and not known to enhance.";
            case RESTRICTED -> "ADC below the cut-off, outside what is bright on T1 or does not enhance.";
        };
    }

    private static Segment segment(
            String label, Code type, Mask mask, String description, Optional<Tracking> tracking) {
        return new Segment(label, Code.ABNORMAL_STRUCTURE, type, mask, description, Optional.of(Code.UTERUS), tracking);
    }
}
