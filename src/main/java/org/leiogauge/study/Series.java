// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * One series of a study: what it is, what it is for and why, and how to get at its voxels.
 *
 * @param id series instance UID, or the file's name in the study folder
 * @param name the description; empty where there is none
 * @param acquisition how finely and when
 * @param role what it is used for; none where it serves no purpose here
 * @param reason why it has this role or none
 * @param images number of images or volumes
 * @param frameOfReference UID; empty where the file has none
 * @param sopInstances SOP instance UIDs of its images; none of other files
 * @param source where its voxels come from
 */
public record Series(
        String id,
        String name,
        SeriesFacts facts,
        Acquisition acquisition,
        Optional<Role> role,
        String reason,
        int images,
        String frameOfReference,
        Set<String> sopInstances,
        Source source) {

    /** Where the voxels of a series come from. */
    @FunctionalInterface
    public interface Source {
        Content read(Workers workers, Progress progress) throws InputException;
    }

    /**
     * The voxels of a series.
     *
     * @param frames one or more, all on one grid
     * @param drawnOn what DICOM objects made from it refer to, of its first frame; none of other files
     * @param decisions what was decided in reading them
     */
    public record Content(List<Frame> frames, Optional<DrawnOn> drawnOn, List<String> decisions) {
        /** Of other files than DICOM. */
        public Content(List<Frame> frames, List<String> decisions) {
            this(frames, Optional.empty(), decisions);
        }

        public Content {
            frames = List.copyOf(frames);
            decisions = List.copyOf(decisions);
            if (frames.isEmpty()) throw new IllegalArgumentException("a series must have a frame");
        }
    }

    /** Its voxels. */
    public Content read(Workers workers, Progress progress) throws InputException {
        return source.read(workers, progress);
    }

    Series with(Optional<Role> newRole, String newReason) {
        return new Series(
                id, name, facts, acquisition, newRole, newReason, images, frameOfReference, sopInstances, source);
    }

    /** As a reader would point at it. */
    public String label() {
        return name.isBlank() ? id : name;
    }
}
