// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.awt.geom.Point2D;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.Refined;
import org.leiogauge.study.Acquisition;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.SeriesFacts;
import org.leiogauge.study.Study;
import org.leiogauge.study.Tissue;

class DeskModelTest {
    private static final Grid SAGITTAL = new Grid(
            new Size(20, 16, 5),
            new Spacing(2, 2, 4),
            DirectionCosines.of(new Vector(0, 1, 0), new Vector(0, 0, -1)),
            new Point(8, -19, 15));
    private static final Grid AXIAL =
            new Grid(new Size(10, 12, 9), new Spacing(3, 3, 3), DirectionCosines.AXIAL, new Point(-14, -16, -12));

    private final DeskModel model = new DeskModel();
    private final Lightbox lightbox = model.lightbox();
    private final Tool tool = model.tool();
    private final DrawnLesion lesion = model.lesion();
    private final Strokes strokes = new Strokes(model);

    private static Series series(String id, Role role) {
        SeriesFacts facts = new SeriesFacts(
                "MR",
                id,
                List.of(),
                List.of(),
                List.of(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                List.of(),
                false,
                1);
        Acquisition unknown =
                new Acquisition(OptionalDouble.empty(), OptionalDouble.empty(), OptionalDouble.empty(), List.of());
        return new Series(
                id, id, facts, unknown, Optional.of(role), "set", 1, "frame", Set.of(), (workers, progress) -> {
                    throw new IllegalStateException("not read here");
                });
    }

    private static Picture picture(Series series, Grid grid, int frames) {
        List<Frame> all = new ArrayList<>();
        for (int i = 0; i < frames; i++)
            all.add(new Frame(
                    new Volume(grid, new float[grid.size().voxels()]),
                    OptionalDouble.empty(),
                    OptionalDouble.of(30.0 * i)));
        return Picture.of(series, new Series.Content(all, List.of()));
    }

    @BeforeEach
    void open() {
        Series t2 = series("t2", Role.T2);
        Series post = series("post", Role.POST_CONTRAST);
        model.open(
                Path.of("study"),
                new Study("case", List.of(t2, post), List.of()),
                CaseFile.named("case"),
                List.of(t2, post));
        lightbox.show(picture(t2, SAGITTAL, 1));
        lightbox.show(picture(post, AXIAL, 4));
    }

    @Test
    void theFirstSeriesBringsTheCrosshairIntoItsMiddle() {
        // Oracle: by hand: origin + 9.5 · 2 along y, 7.5 · 2 down, slice 2 of 0 to 4. x × y of the sagittal rows points
        // right.
        assertThat(lightbox.cursor()).isEqualTo(new Point(0, 0, 0));
        assertThat(lightbox.slice(0)).isEqualTo(2);
        assertThat(lightbox.slice(1)).isEqualTo(4);
    }

    @Test
    void oneCrosshairServesAllSeriesWhateverTheirDirections() {
        lightbox.moveCursor(new Point(-7, 3, 9));
        // Oracle: by hand: (8 + 7) / 4 = 3.75 slices from the sagittal origin, (9 + 12) / 3 = 7 from the axial one.
        assertThat(lightbox.slice(0)).isEqualTo(4);
        assertThat(lightbox.slice(1)).isEqualTo(7);
        lightbox.scroll(1, -2);
        assertThat(lightbox.cursor()).isEqualTo(new Point(-7, 3, 3));
        lightbox.scroll(1, 100);
        assertThat(lightbox.slice(1)).isEqualTo(8);
    }

    @Test
    void aPixelAndThePlaceUnderItAreTheSame() {
        View view = new View(SAGITTAL, 3, new Point(1, 2, 3), 2.7, 640, 480);
        for (Point2D.Double pixel : List.of(new Point2D.Double(0, 0), new Point2D.Double(123.4, 456.7))) {
            Point point = view.point(pixel.x, pixel.y);
            assertThat(SAGITTAL.index(point).z()).isCloseTo(3, within(1e-9));
            assertThat(view.pane(point).distance(pixel)).isLessThan(1e-9);
        }
        // Oracle: the image's own transform takes the corner of voxel (0, 0) to the same place.
        Point2D corner = view.image(1).transform(new Point2D.Double(0, 0), null);
        assertThat(corner.distance(view.pane(SAGITTAL.point(-0.5, -0.5, 3)))).isLessThan(1e-9);
        Point2D far = view.image(1).transform(new Point2D.Double(20, 16), null);
        assertThat(far.distance(view.pane(SAGITTAL.point(19.5, 15.5, 3)))).isLessThan(1e-9);
        // the middle of the second pixel of every third voxel is that of the fourth voxel
        Point2D fourth = view.image(3).transform(new Point2D.Double(1.5, 0.5), null);
        assertThat(fourth.distance(view.pane(SAGITTAL.point(3, 0, 3)))).isLessThan(1e-9);
    }

    @Test
    void zoomingLeavesThePlaceUnderTheMouseWhereItIs() {
        View before = new View(AXIAL, 4, lightbox.centre(), 2 * lightbox.zoom(), 400, 300);
        Point about = before.point(310, 40);
        lightbox.zoom(3, about);
        View after = new View(AXIAL, 4, lightbox.centre(), 2 * lightbox.zoom(), 400, 300);
        assertThat(after.pane(about).distance(310, 40)).isLessThan(1e-9);
    }

    @Test
    void aStrokeIsDrawnOnTheSliceWhereItBegan() {
        tool.take(Hand.ELLIPSE);
        strokes.press(0, SAGITTAL.point(4.6, 3.6, 2), false);
        strokes.drag(SAGITTAL.point(7, 7, 2));
        strokes.drag(SAGITTAL.point(14.4, 11.4, 2));
        assertThat(strokes.path()).hasSize(2);
        strokes.release();
        assertThat(lesion.isDrawn()).isTrue();
        assertThat(lesion.drawing().orElseThrow().largestSlice()).hasValue(2);
        // Oracle: π/4 · 9.8 · 7.8 voxels, within the border's half voxels.
        assertThat(lesion.drawing().orElseThrow().region().count()).isBetween(54, 66);
    }

    @Test
    void theLesionIsDrawnOnOneSeriesAndTheReaderIsToldSo() {
        tool.take(Hand.BRUSH);
        strokes.press(0, SAGITTAL.point(10, 8, 2), false);
        strokes.release();
        long edits = model.edits();
        strokes.press(1, AXIAL.point(5, 5, 4), false);
        strokes.release();
        assertThat(model.edits()).isEqualTo(edits);
        assertThat(model.message()).isEqualTo("The lesion is drawn on T2-weighted: go on there, or clear it first.");
        assertThat(lesion.drawing().orElseThrow().grid()).isEqualTo(SAGITTAL);
    }

    @Test
    void allCanBeDrawnWithKeysAlone() {
        tool.take(Hand.POLYGON);
        for (int[] corner : new int[][] {{5, 4}, {14, 4}, {14, 11}, {5, 11}}) {
            lightbox.moveCursor(SAGITTAL.point(corner[0] + 0.5, corner[1] + 0.5, 2));
            strokes.point(0, false);
        }
        assertThat(strokes.close()).isTrue();
        // Oracle: 9 × 7 voxel centres lie inside.
        assertThat(lesion.drawing().orElseThrow().region().count()).isEqualTo(63);
        lesion.copySlice(1);
        strokes.point(0, false);
        assertThat(strokes.back()).isTrue();
        assertThat(strokes.back()).isFalse();
        assertThat(lightbox.slice(0)).isEqualTo(3);
        assertThat(lesion.drawing().orElseThrow().region().count()).isEqualTo(126);
        lesion.undo();
        assertThat(lesion.drawing().orElseThrow().region().count()).isEqualTo(63);
        lesion.redo();
        tool.take(Hand.TAKE);
        strokes.point(0, false);
        assertThat(lesion.drawing().orElseThrow().removed().isEmpty()).isFalse();
    }

    @Test
    void aClearedDrawingFreesTheOtherSeriesAndComesBack() {
        tool.take(Hand.BRUSH);
        strokes.press(0, SAGITTAL.point(10, 8, 2), false);
        strokes.release();
        int drawn = lesion.drawing().orElseThrow().region().count();
        lesion.clear();
        assertThat(lesion.isDrawn()).isFalse();
        lesion.undo();
        assertThat(lesion.drawing().orElseThrow().region().count()).isEqualTo(drawn);
        lesion.clear();
        strokes.press(1, AXIAL.point(5, 5, 4), false);
        strokes.release();
        assertThat(lesion.drawing().orElseThrow().grid()).isEqualTo(AXIAL);
    }

    @Test
    void whatRefinementFoundIsKeptOnlyWhenTheReaderSaysSo() {
        tool.take(Hand.BRUSH);
        strokes.press(0, SAGITTAL.point(10, 8, 2), false);
        strokes.release();
        Drawing drawing = lesion.drawing().orElseThrow();
        byte[] drawn = drawing.region().voxels().clone();
        byte[] other = new byte[drawn.length];
        other[SAGITTAL.offset(3, 3, 3)] = 1;
        Mask found = new Mask(SAGITTAL, other);
        Refined refined = new Refined(found, new Volume(SAGITTAL, new float[other.length]), found, List.of());
        lesion.preview(refined);
        assertThat(drawing.region().voxels()).isEqualTo(drawn);
        assertThat(lesion.leavePreview()).isTrue();
        assertThat(lesion.keepPreview()).isFalse();
        lesion.preview(refined);
        assertThat(lesion.keepPreview()).isTrue();
        assertThat(drawing.region().voxels()).isEqualTo(other);
        lesion.undo();
        assertThat(drawing.region().voxels()).isEqualTo(drawn);
    }

    @Test
    void aClickPlacesAReferenceRegionAndAClickOnItTakesItAway() {
        tool.refer(Tissue.MUSCLE);
        strokes.press(1, new Point(10, 0, 0), false);
        assertThat(model.caseFile().references().get(Tissue.MUSCLE).points())
                .containsExactly(new CaseFile.Ball(List.of(10.0, 0.0, 0.0), 7));
        tool.refer(Tissue.URINE);
        strokes.press(1, new Point(14, 0, 0), false);
        assertThat(model.caseFile().references()).isEmpty();
    }

    @Test
    void volumesOfOneSeriesFollowEachOtherRound() {
        int first = lightbox.slots().get(1).frame();
        assertThat(first).isEqualTo(2);
        lightbox.step(1, 1);
        lightbox.step(1, 1);
        assertThat(lightbox.slots().get(1).frame()).isZero();
        assertThat(lightbox.picture(1).orElseThrow().frameWords(0)).isEqualTo("0 s");
    }

    @Test
    void aSeriesThatCannotBeReadIsSaidToBeSoAndTheOthersStay() {
        model.fail(lightbox.slots().get(1).series(), "cannot be read");
        assertThat(lightbox.slots().get(1).problem()).isEqualTo("cannot be read");
        assertThat(model.message()).isEqualTo("cannot be read");
        assertThat(lightbox.picture(0)).isPresent();
    }
}
