// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.lesion.LesionMeasurement;
import org.leiogauge.lesion.LesionParts;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.lesion.PlacedValue;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.phantom.CoilField;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.signal.BiasField;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Role;
import org.leiogauge.study.Study;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The parts of one synthetic lesion and the coil's field over its images, as {@code measure} finds them, beside the truth. */
final class PartsTrial {
    private static final List<String> DEAD = List.of("haemorrhage", "necrotic", "cystic");

    private PartsTrial() {}

    /**
     * A part, in mL.
     *
     * @param segment volume of its segment on the outline's grid
     * @param dice of that segment and the true mask; empty where both lack
     */
    record Part(Kind kind, double truth, double found, double segment, Optional<Double> dice) {
        double error() {
            return found - truth;
        }

        /** Within 5 % or 1 mL. */
        boolean isMet() {
            return Math.abs(error()) <= Math.max(1, 0.05 * truth);
        }
    }

    /** Coefficient of variation of the coil's field in the body, before it was divided out and after. */
    record Field(Role role, double before, double after) {}

    record Found(List<Part> parts, List<Field> fields) {}

    static Found run(Path folder, Workers workers) throws InputException {
        Settings settings = Settings.standard();
        Study study = Study.open(folder.resolve("dicom"), workers, Progress.NONE);
        CaseFile caseFile = CaseFile.read(folder.resolve("case.yaml"));
        Outline outline =
                OutlineFile.read(folder.resolve("outline-true.dcm"), Optional.of("L1"), study, workers, Progress.NONE);
        References references = References.read(caseFile, folder, Optional.empty(), study, workers, Progress.NONE);
        List<PlacedSeries> placed =
                CaseMeasurement.placed(settings, study, outline, new TreeSet<>(), workers, Progress.NONE);
        LesionSources sources = LesionSources.of(placed, outline, references, settings, workers, Progress.NONE);
        Mask around = outline.mask().crop(sources.outlineRoom());
        LesionDraw.Drawn asIs = LesionDraw.asIs(sources, around, workers);
        LesionImages images = asIs.images();
        LesionImages.Masks masks = asIs.masks();
        List<PlacedValue> values = LesionMeasurement.measure(images, masks, settings.lesion(), workers);
        LesionParts parts = LesionParts.of(images, masks, values, settings.lesion(), workers);
        LesionSegments segments = LesionSegments.of(parts, outline.mask(), workers);
        List<Part> found = new ArrayList<>();
        for (Kind kind : List.of(Kind.NON_ENHANCING, Kind.HAEMORRHAGIC, Kind.CYSTIC))
            found.add(part(kind, folder, outline.mask(), parts, segments, workers));
        PhantomSettings phantom = PhantomSettings.read(folder.resolve("settings.yaml"));
        List<Field> fields = new ArrayList<>();
        for (PlacedSeries one : placed)
            if (one.role().filter(List.of(Role.T2, Role.T1_FAT_SAT)::contains).isPresent())
                fields.add(field(one, phantom, workers));
        return new Found(found, fields);
    }

    private static Part part(
            Kind kind, Path folder, Mask outline, LesionParts parts, LesionSegments segments, Workers workers)
            throws InputException {
        Mask none = new Mask(outline.grid(), new byte[outline.voxels().length]);
        Mask segment = segments.of(kind).orElse(none);
        Mask truth = none;
        for (String tissue :
                kind == Kind.CYSTIC ? DEAD.subList(2, 3) : kind == Kind.HAEMORRHAGIC ? DEAD.subList(0, 1) : DEAD) {
            Path file = folder.resolve("masks/" + tissue + ".nii.gz");
            if (!Files.exists(file)) continue;
            byte[] both = truth.voxels().clone();
            byte[] one = NiftiReader.readMask(file).voxels();
            for (int i = 0; i < both.length; i++) both[i] |= one[i];
            truth = new Mask(outline.grid(), both);
        }
        return new Part(
                kind,
                truth(folder, kind) * truth(folder, "volume") / 1000,
                parts.of(kind).map(LesionParts.Part::volume).orElse(0.0) / 1000,
                segment.volume() / 1000,
                truth.isEmpty() && segment.isEmpty()
                        ? Optional.empty()
                        : OutlineAgreement.between(segment, truth, workers).dice().number().stream()
                                .boxed()
                                .findFirst());
    }

    private static double truth(Path folder, Kind kind) throws InputException {
        return truth(
                folder,
                switch (kind) {
                    case NON_ENHANCING -> "non-enhancing fraction";
                    case HAEMORRHAGIC -> "t1 bright fraction";
                    default -> "fraction of cystic";
                });
    }

    // A tissue that the lesion does not have has no row.
    private static double truth(Path folder, String feature) throws InputException {
        for (List<String> row : CsvTable.read(folder.resolve("truth.csv")).rows())
            if (row.get(0).equals(feature) && row.get(1).isEmpty()) return Double.parseDouble(row.get(2));
        return 0;
    }

    private static Field field(PlacedSeries series, PhantomSettings phantom, Workers workers) {
        Volume image = AlignmentImage.of(series.content());
        Mask body = BodyMask.of(image);
        Volume truth = CoilField.on(image.grid(), phantom);
        Volume found = BiasField.estimate(image, body, BiasField.Settings.standard(), workers, Progress.NONE)
                .field();
        float[] left = truth.voxels().clone();
        for (int i = 0; i < left.length; i++) left[i] /= found.voxels()[i];
        return new Field(series.role().orElseThrow(), variation(truth.voxels(), body), variation(left, body));
    }

    private static double variation(float[] values, Mask body) {
        double sum = 0;
        double squares = 0;
        for (int i = 0; i < values.length; i++)
            if (body.voxels()[i] != 0) {
                sum += values[i];
                squares += (double) values[i] * values[i];
            }
        double mean = sum / body.count();
        return Math.sqrt(Math.max(0, squares / body.count() - mean * mean)) / mean;
    }
}
