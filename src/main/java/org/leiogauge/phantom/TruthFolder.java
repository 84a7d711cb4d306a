// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.StructureSetObject;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.phantom.SampledTissue.Place;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.Workers;

/**
 * The known answer of a synthetic study: tables of true values, the true outline and a sloppy reader's, masks of every
 * compartment, and the case file.
 *
 * <p>{@code truth.csv} is of the first lesion, {@code truth-NAME.csv} of each further one; likewise
 * {@code masks/lesion.nii.gz} and {@code masks/lesion-NAME.nii.gz}. Outlines hold all lesions, by name. Masks and outlines
 * lie in the T2-weighted series, as the patient lies in it.
 */
final class TruthFolder {
    private static final long READER_DRAWS = 500_000;
    private static final int MOST_SLICES = 1000;

    private final Path folder;
    private final PhantomSettings settings;
    private final Anatomy anatomy;
    private final DrawnOn t2;
    private final Movement movement;
    private final Workers workers;

    private TruthFolder(Path folder, PhantomSettings settings, Anatomy anatomy, DrawnOn t2, Workers workers) {
        this.folder = folder;
        this.settings = settings;
        this.anatomy = anatomy;
        this.t2 = t2;
        this.workers = workers;
        movement = Movement.of(settings.t2());
    }

    /**
     * Writes all of it into a folder that is there.
     *
     * @param t2 the study's T2-weighted series, which outlines and masks belong to
     */
    static void write(
            Path folder, PhantomSettings settings, Anatomy anatomy, DrawnOn t2, Workers workers, Progress progress)
            throws IOException {
        TruthFolder truth = new TruthFolder(folder, settings, anatomy, t2, workers);
        Map<Tissue, List<Place>> references = ReferencePlaces.of(anatomy, settings);
        String text = CaseText.of(settings, references, truth.movement);
        WholeFile.write(folder.resolve("case.yaml"), out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
        progress.at(0.2);
        truth.tables(references);
        progress.at(0.7);
        truth.outlines();
        progress.at(0.85);
        truth.masks();
        progress.at(1);
    }

    private String name(String start, int lesion) {
        return lesion == 0
                ? start
                : start + "-" + settings.lesions().get(lesion).name();
    }

    private void tables(Map<Tissue, List<Place>> places) throws IOException {
        Textures textures = Textures.of(settings);
        Map<Tissue, SampledTissue> references = new EnumMap<>(Tissue.class);
        places.forEach((tissue, balls) -> references.put(tissue, SampledTissue.of(tissue, balls, textures, settings)));
        for (int i = 0; i < anatomy.lesions().size(); i++)
            TruthRow.write(
                    folder.resolve(name("truth", i) + ".csv"),
                    rows(anatomy.lesions().get(i), textures, references));
    }

    private List<TruthRow> rows(Lesion lesion, Textures textures, Map<Tissue, SampledTissue> references) {
        SampledTissue sampled = SampledTissue.of(lesion, textures, settings, workers);
        PointLattice lattice = new PointLattice(lesion);
        List<TruthRow> rows = new ArrayList<>(ShapeTruth.of(lesion));
        rows.addAll(CompartmentTruth.of(lesion, sampled, lattice, settings));
        rows.addAll(SignalTruth.of(settings, sampled, references, workers));
        rows.addAll(AdcTruth.of(sampled, lattice, workers));
        return rows;
    }

    private void outlines() throws IOException {
        List<StructureSetObject.Region> exact = new ArrayList<>();
        List<StructureSetObject.Region> sloppy = new ArrayList<>();
        Grid grid = t2.grid();
        for (int i = 0; i < anatomy.lesions().size(); i++) {
            Lesion lesion = anatomy.lesions().get(i);
            List<SliceOutline> outlines =
                    workers.map(grid.size().z(), slice -> SliceOutline.of(lesion, grid, movement, slice));
            List<Contour> all =
                    outlines.stream().flatMap(o -> o.contours().stream()).toList();
            // a lesion so thin that it lies between two slices has none
            if (all.isEmpty()) continue;
            String name = lesion.settings().name();
            exact.add(new StructureSetObject.Region(name, all));
            sloppy.add(new StructureSetObject.Region(
                    name, SloppyReader.draw(outlines, settings, READER_DRAWS + (long) MOST_SLICES * i)));
        }
        write("outline-true", "Invented, true", exact);
        write("outline-sloppy", "Invented, sloppy", sloppy);
    }

    private void write(String name, String label, List<StructureSetObject.Region> regions) throws IOException {
        DicomWriter.write(
                folder.resolve(name + ".dcm"),
                StructureSetObject.of(t2, label, regions, name),
                TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    private void masks() throws IOException {
        Path masks = folder.resolve("masks");
        for (int i : IntStream.range(0, anatomy.lesions().size()).toArray()) {
            Lesion lesion = anatomy.lesions().get(i);
            TissueMasks on = TissueMasks.of(lesion, t2.grid(), movement, workers);
            NiftiWriter.write(masks.resolve(name("lesion", i) + ".nii.gz"), on.lesion());
            if (i > 0) continue;
            for (Tissue tissue : CompartmentTruth.tissues(lesion))
                NiftiWriter.write(masks.resolve(CompartmentTruth.name(tissue) + ".nii.gz"), on.of(tissue));
        }
    }
}
