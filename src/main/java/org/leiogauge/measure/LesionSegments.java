// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.dicom.Code;
import org.leiogauge.dicom.SegmentationObject.Segment;
import org.leiogauge.dicom.SegmentationObject.Tracking;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The lesion and the parts of it that were measured, as segments on the outline's grid.
 *
 * @param nonEnhancing what does not enhance; none without images before and after contrast, or where all enhances
 * @param t1Bright what is bright on T1; none without a reference, or where nothing is
 */
record LesionSegments(Mask outline, Optional<Mask> nonEnhancing, Optional<Mask> t1Bright) {

    static LesionSegments of(LesionParts parts, Mask outline, Workers workers) {
        return new LesionSegments(
                outline,
                parts.nonEnhancing().flatMap(part -> onOutline(part, outline, workers)),
                parts.t1Bright().flatMap(part -> onOutline(part, outline, workers)));
    }

    private static Optional<Mask> onOutline(Mask part, Mask outline, Workers workers) {
        if (part.isEmpty()) return Optional.empty();
        Mask carried = Resampling.onto(part, outline.grid(), Resampling.Kernel.LINEAR, workers, Progress.NONE);
        return Optional.of(both(carried, outline)).filter(mask -> !mask.isEmpty());
    }

    private static Mask both(Mask one, Mask other) {
        byte[] both = one.voxels().clone();
        for (int i = 0; i < both.length; i++) both[i] &= other.voxels()[i];
        return new Mask(other.grid(), both);
    }

    /** The lesion first. A code names the tissue that a sign stands for in the trade; the label says what was measured. */
    List<Segment> segments(Tracking tracking) {
        List<Segment> segments = new ArrayList<>();
        segments.add(segment("lesion", Code.MASS, outline, "As outlined.", Optional.of(tracking)));
        nonEnhancing.ifPresent(mask -> segments.add(segment(
                "non-enhancing part",
                Code.NECROSIS,
                mask,
                "Signal that does not rise beyond the noise after contrast. The code is what the sign stands for, no finding.",
                Optional.empty())));
        t1Bright.ifPresent(mask -> segments.add(segment(
                "T1 bright part",
                Code.HEMORRHAGE,
                mask,
                "Brighter on T1 than tissue without blood. The code is what the sign stands for, no finding.",
                Optional.empty())));
        return segments;
    }

    private static Segment segment(
            String label, Code type, Mask mask, String description, Optional<Tracking> tracking) {
        return new Segment(label, Code.ABNORMAL_STRUCTURE, type, mask, description, Optional.of(Code.UTERUS), tracking);
    }
}
