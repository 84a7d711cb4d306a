// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.FutureTask;
import java.util.function.Consumer;
import java.util.stream.Stream;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.CaseFile;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

/** Trouble on the desk: said calmly, and nothing is lost. */
class SessionTest {
    private static final Path ELLIPSOIDS = Path.of("test-images/ellipsoids");
    private static final Grid GRID =
            new Grid(new Size(12, 10, 6), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));

    @TempDir
    Path folder;

    private final DeskModel model = new DeskModel();
    private final Background loading = onEventThread(Background::new);
    private final Background work = onEventThread(Background::new);
    private final Session session =
            onEventThread(() -> new Session(model, Optional.of("reader-1"), loading, work, Workers.SINGLE));

    @AfterEach
    void close() {
        // as the window does, lest the folder goes while something is still being written into it
        onEventThread(() -> {
                    session.keep();
                    return session.autosave().map(OutlineAutosave::flush);
                })
                .ifPresent(CompletableFuture::join);
        onEventThread(() -> {
            session.close();
            loading.close();
            work.close();
            return true;
        });
    }

    private static <T> T onEventThread(Callable<T> what) {
        FutureTask<T> task = new FutureTask<>(what);
        SwingUtilities.invokeLater(task);
        try {
            return task.get();
        } catch (Exception e) {
            throw new IllegalStateException(e);
        }
    }

    private void open(Path study, Consumer<ReadingFolder> opened) {
        onEventThread(() -> {
            session.open(study, Optional.of(folder.resolve("reading")), CaseFile::read, opened);
            return true;
        });
        settle();
    }

    /** Waits until nothing is being done any more. */
    private void settle() {
        while (onEventThread(() -> loading.isBusy() || work.isBusy())) Thread.onSpinWait();
    }

    private Path study(String... roles) throws IOException {
        Path study = folder.resolve("study");
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = i % 97;
        StringBuilder text = new StringBuilder("series:\n");
        for (String role : roles) {
            NiftiWriter.write(study.resolve(role + ".nii.gz"), new Volume(GRID, voxels));
            text.append("  - {file: ")
                    .append(role)
                    .append(".nii.gz, role: ")
                    .append(role)
                    .append("}\n");
        }
        Files.writeString(study.resolve("study.yaml"), text);
        return study;
    }

    private void draw() {
        onEventThread(() -> {
            model.tool().take(Hand.BRUSH);
            Strokes strokes = new Strokes(model);
            strokes.press(0, new Point(5, 5, 6), false);
            strokes.release();
            return true;
        });
    }

    @Test
    void aStudyThatVanishesWhileItIsOpenLeavesWhatWasReadAndDrawn() throws IOException {
        Path study = folder.resolve("study");
        try (Stream<Path> files = Files.walk(ELLIPSOIDS.resolve("study"))) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                Path to = study.resolve(
                        ELLIPSOIDS.resolve("study").relativize(file).toString());
                Files.createDirectories(to.getParent());
                Files.copy(file, to);
            }
        }
        // the second series goes while the first one is looked at
        open(study, at -> {
            try {
                List<Path> second = filesOf(model.lightbox().slots().get(1), study);
                for (Path file : second) Files.delete(file);
            } catch (IOException e) {
                throw new IllegalStateException(e);
            }
        });
        assertThat(model.lightbox().picture(0)).isPresent();
        assertThat(model.lightbox().picture(1)).isEmpty();
        assertThat(model.lightbox().slots().get(1).problem()).isNotEmpty().doesNotContain("Exception");
        onEventThread(() -> {
            WholeFolder.delete(study);
            model.tool().take(Hand.BRUSH);
            Strokes strokes = new Strokes(model);
            strokes.press(0, model.lightbox().cursor(), false);
            strokes.release();
            session.keep();
            session.refiner().refine();
            return true;
        });
        settle();
        assertThat(model.lesion().isDrawn()).isTrue();
        close();
        assertThat(folder.resolve("reading/outline.nii.gz")).isRegularFile();
    }

    private static List<Path> filesOf(Lightbox.Slot slot, Path study) throws IOException {
        List<Path> found = new ArrayList<>();
        try (Stream<Path> files = Files.walk(study)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                String bytes = new String(Files.readAllBytes(file), StandardCharsets.ISO_8859_1);
                if (slot.series().sopInstances().stream().anyMatch(bytes::contains)
                        && bytes.contains(slot.series().id())) found.add(file);
            }
        }
        assertThat(found).hasSize(slot.series().images());
        return found;
    }

    @Test
    void anOutlineThatCannotBeWrittenIsSaidAndWrittenLater() throws Exception {
        // A file where the folder should be refuses every write, as a full disk does.
        Path place = folder.resolve("reading");
        Files.writeString(place, "in the way");
        List<String> told = Collections.synchronizedList(new ArrayList<>());
        Mask region = new Mask(GRID, ball());
        OutlineAutosave autosave =
                new OutlineAutosave(new ReadingFolder(place), problem -> told.add(problem.orElse("saved")));
        autosave.changed(region);
        while (told.isEmpty()) Thread.onSpinWait();
        assertThat(autosave.isWaiting()).isTrue();
        assertThat(told.get(0))
                .startsWith("The outline is not saved: cannot read or write")
                .endsWith("Nothing is lost while this window is open; it is tried again.");
        Files.delete(place);
        autosave.again();
        assertThat(autosave.end().join()).isTrue();
        assertThat(told).hasSize(2).last().isEqualTo("saved");
        assertThat(autosave.isWaiting()).isFalse();
        assertThat(NiftiReader.readMask(place.resolve("outline.nii.gz")).voxels())
                .isEqualTo(region.voxels());
    }

    private static byte[] ball() {
        byte[] voxels = new byte[GRID.size().voxels()];
        voxels[GRID.offset(5, 5, 2)] = 1;
        voxels[GRID.offset(6, 5, 2)] = 1;
        return voxels;
    }

    @Test
    void theOutlineOfAnotherStudyIsRefusedAndTheDrawingStays() throws IOException {
        open(study("t2"), at -> {});
        draw();
        byte[] drawn = model.lesion().drawing().orElseThrow().region().voxels().clone();
        Path other = folder.resolve("other.nii.gz");
        Grid elsewhere = new Grid(GRID.size(), GRID.spacing(), GRID.direction(), new Point(100, 0, 0));
        NiftiWriter.write(other, new Mask(elsewhere, ball()));
        onEventThread(() -> {
            session.openOutline(other);
            return true;
        });
        settle();
        assertThat(model.message()).startsWith(other + ": grid: found 12 × 10 × 6 voxels");
        assertThat(model.lesion().drawing().orElseThrow().region().voxels()).isEqualTo(drawn);
    }

    @Test
    void anOutlineKeptBesideAnotherStudyIsNotUsedAndSaidToBeSo() throws IOException {
        Grid elsewhere = new Grid(GRID.size(), GRID.spacing(), GRID.direction(), new Point(100, 0, 0));
        NiftiWriter.write(folder.resolve("reading/outline.nii.gz"), new Mask(elsewhere, ball()));
        open(study("t2"), at -> {});
        assertThat(model.lesion().isDrawn()).isFalse();
        assertThat(model.message()).startsWith("The outline kept in ").contains("is not used: ");
    }

    @Test
    void aStudyWithoutT2IsOpenedAndSaidToLackIt() throws IOException {
        open(study("t1", "adc"), at -> {});
        assertThat(model.message())
                .isEqualTo("This study has no T2-weighted series. You can draw on any other; the T2 signs will not be"
                        + " measured.");
        draw();
        assertThat(model.lesion().isDrawn()).isTrue();
    }

    @Test
    void whatWasDrawnIsThereWhenTheStudyIsOpenedAgain() throws IOException {
        Path study = study("t2", "t1");
        open(study, at -> {});
        draw();
        byte[] drawn = model.lesion().drawing().orElseThrow().region().voxels().clone();
        onEventThread(() -> {
            session.keep();
            return true;
        });
        // opening closes the autosave of the study before, which waits until it is written
        open(study, at -> {});
        assertThat(model.lesion().drawing().orElseThrow().region().voxels()).isEqualTo(drawn);
        assertThat(model.lesion().drawing().orElseThrow().changes()).isEqualTo(1);
    }

    @Test
    void aFolderWithoutAStudyIsSaidToBeNoneAndTheOldStudyStays() throws IOException {
        open(study("t2"), at -> {});
        open(Files.createDirectories(folder.resolve("empty")), at -> {});
        assertThat(model.message()).startsWith(folder.resolve("empty") + ": found ");
        assertThat(model.lightbox().picture(0)).isPresent();
    }

    @Test
    void refinementWithoutADrawingAsksForOne() throws IOException {
        open(study("t2"), at -> {});
        onEventThread(() -> {
            session.refiner().refine();
            return true;
        });
        assertThat(model.message()).isEqualTo("Draw the lesion first, on a few slices at least.");
    }
}
