// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Where the reference tissues lie: from a file of regions that are named as the tissues, else from the case file.
 *
 * @param places in patient space
 * @param decisions what was decided for the reader
 */
record References(Map<Tissue, Place> places, List<String> decisions) {

    /** Where one tissue lies. */
    sealed interface Place {
        /** The voxels of a grid that lie in it. */
        Mask on(Grid grid, Workers workers);
    }

    /** Balls about points. */
    record Balls(List<Ball> balls) implements Place {
        @Override
        public Mask on(Grid grid, Workers workers) {
            byte[] all = new byte[grid.size().voxels()];
            for (Ball ball : balls) {
                byte[] one =
                        ReferenceRegion.ball(grid, ball.centre(), ball.radius()).voxels();
                for (int i = 0; i < all.length; i++) all[i] |= one[i];
            }
            return new Mask(grid, all);
        }
    }

    /** A drawn region; not empty. */
    record Drawn(Mask mask) implements Place {
        @Override
        public Mask on(Grid grid, Workers workers) {
            return Resampling.onto(mask, grid, Resampling.Kernel.LINEAR, workers, Progress.NONE);
        }

        static Drawn of(Mask mask) {
            return new Drawn(mask.crop(mask.boundingBox()
                    .orElseThrow()
                    .grow(1, 1, 1)
                    .clip(mask.grid().size())));
        }
    }

    /**
     * Reads what is there.
     *
     * @param caseFolder where the case file lies, for the masks it names
     * @param file RTSTRUCT or DICOM segmentation, or YAML that a reader has confirmed
     * @throws InputException if a file is not usable
     */
    static References read(
            CaseFile caseFile, Path caseFolder, Optional<Path> file, Study study, Workers workers, Progress progress)
            throws InputException {
        Map<Tissue, Place> places = new EnumMap<>(Tissue.class);
        List<String> decisions = new ArrayList<>();
        for (Map.Entry<Tissue, CaseFile.Reference> one : caseFile.references().entrySet())
            places.put(one.getKey(), place(one.getValue(), one.getKey(), caseFolder));
        if (file.isPresent() && RoughFile.isNamedSo(file.get())) confirmed(file.get(), places, decisions);
        else if (file.isPresent()) regions(file.get(), study, places, decisions, workers, progress);
        return new References(places, List.copyOf(decisions));
    }

    private static Place place(CaseFile.Reference reference, Tissue tissue, Path folder) throws InputException {
        if (reference.mask().isEmpty()) return new Balls(reference.points());
        Path file = folder.resolve(reference.mask().get());
        if (!Files.isRegularFile(file))
            throw new InputException(file, "references." + tissue.key(), "no such file", "a NIfTI mask");
        Mask mask = NiftiReader.readMask(file);
        if (mask.isEmpty())
            throw new InputException(
                    file, "references." + tissue.key(), "an empty mask", "a mask of one voxel or more");
        return Drawn.of(mask);
    }

    private static void confirmed(Path file, Map<Tissue, Place> places, List<String> decisions) throws InputException {
        Path folder = file.toAbsolutePath().getParent();
        for (Map.Entry<Tissue, CaseFile.Reference> one :
                new EnumMap<>(ReferencesFile.read(file).references()).entrySet())
            if (places.put(one.getKey(), place(one.getValue(), one.getKey(), folder)) != null)
                decisions.add("references: " + one.getKey().key() + " is taken from " + file.getFileName()
                        + ", not the case file");
    }

    private static void regions(
            Path file,
            Study study,
            Map<Tissue, Place> places,
            List<String> decisions,
            Workers workers,
            Progress progress)
            throws InputException {
        int found = 0;
        for (String name : OutlineFile.names(file)) {
            Optional<Tissue> tissue = tissue(name);
            if (tissue.isEmpty()) {
                decisions.add("references: region " + name + " is named as no reference tissue and was passed over");
                continue;
            }
            Outline region = OutlineFile.read(file, Optional.of(name), study, workers, progress);
            if (places.put(tissue.get(), Drawn.of(region.mask())) != null)
                decisions.add("references: " + name + " is taken from " + file.getFileName() + ", not the case file");
            found++;
        }
        if (found == 0)
            throw new InputException(
                    file,
                    "regions",
                    "none that is named as a reference tissue",
                    "muscle, myometrium, endometrium or urine");
    }

    private static Optional<Tissue> tissue(String name) {
        for (Tissue tissue : Tissue.values())
            if (tissue.key().equals(name.strip().toLowerCase(Locale.ROOT))) return Optional.of(tissue);
        return Optional.empty();
    }
}
