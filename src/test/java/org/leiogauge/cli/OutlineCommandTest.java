// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomFolder;
import org.leiogauge.dicom.DicomSeries;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.dicom.StructureSetObject;
import org.leiogauge.dicom.TransferSyntax;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import picocli.CommandLine;

class OutlineCommandTest {
    private static final Path STUDY = Path.of("test-images/ellipsoids/study");
    private static final Path TRUTH = Path.of("test-images/ellipsoids/outline.dcm");

    @TempDir
    Path folder;

    private record Run(int exit, String out, String err) {}

    // Oracle: the contours that the demo's images were computed with.
    @Test
    void aSloppyCircleOnAFewSlicesBecomesTheLesion() throws Exception {
        Path rough = structures("rough", circles(1.12));
        Path out = folder.resolve("lesion.nii.gz");
        Run run = outline(rough, out, "--truth", TRUTH.toString());
        assertThat(run.err()).isEmpty();
        assertThat(run.exit()).isZero();
        assertThat(dice(run.out(), "refined"))
                .isGreaterThan(dice(run.out(), "drawn"))
                .isGreaterThan(0.95);
        assertThat(run.out())
                .contains("the region is drawn on", "the border was refined by")
                .endsWith(out + "\n");
        Mask written = NiftiReader.readMask(out);
        assertThat(written.count()).isGreaterThan(1000);
    }

    @Test
    void allFormsHoldTheSameRegion() throws Exception {
        Path rough = structures("rough", circles(1.08));
        Path nifti = folder.resolve("a.nii.gz");
        Path seg = folder.resolve("a.seg.dcm");
        Path contours = folder.resolve("a.rt.dcm");
        assertThat(outline(rough, nifti).exit()).isZero();
        assertThat(outline(rough, seg).exit()).isZero();
        assertThat(outline(rough, contours, "--form", "rtstruct").exit()).isZero();
        byte[] expected = NiftiReader.readMask(nifti).voxels();
        assertThat(read(seg).voxels()).isEqualTo(expected);
        assertThat(read(contours).voxels()).isEqualTo(expected);
    }

    @Test
    void settingsAreHeeded() throws Exception {
        Path rough = structures("rough", circles(1.08));
        Path out = folder.resolve("a.nii");
        Run run = outline(rough, out, "--set", "outline.refine=false", "--truth", TRUTH.toString());
        assertThat(run.exit()).isZero();
        assertThat(run.out()).contains("the border was not refined, as set");
        assertThat(dice(run.out(), "refined")).isEqualTo(dice(run.out(), "drawn"));
        assertRefused("expected one of both, random-walk, active-surface", rough, "--set", "outline.method=best");
        assertRefused("moveMm must be above 0", rough, "--set", "outline.move-mm=-1");
    }

    @Test
    void unusableDrawingsAreNamed() throws Exception {
        assertRefused("no such file", folder.resolve("none.dcm"));
        DataSet point = set(circles(1));
        Path one = folder.resolve("point.dcm");
        contour(point).put(CONTOUR_DATA, 1.0, 2.0, 26.0);
        write(one, point);
        assertRefused("a contour needs three points or more, got 1", one);
        List<Contour> away = List.of(circle(22, 20, 900, 0));
        assertRefused("a contour outside the image", structures("away", away));
        Path tiny = Files.createDirectory(folder.resolve("tiny"));
        NiftiWriter.write(
                tiny.resolve("t2.nii.gz"),
                new Volume(series().grid(), new float[series().grid().size().voxels()]));
        Files.writeString(tiny.resolve("study.yaml"), "series:\n  - {file: t2.nii.gz, role: t2}\n");
        Run wrong = run(
                "outline",
                tiny.toString(),
                "--rough",
                TRUTH.toString(),
                "--out",
                folder.resolve("x").toString());
        assertThat(wrong.exit()).isEqualTo(2);
        assertThat(wrong.err()).contains("outline.dcm: frame of reference of lesion");
    }

    @Test
    void aTruthElsewhereAndAFormThatTheStudyCannotHaveAreNamed() throws Exception {
        Path study = Files.createDirectory(folder.resolve("nifti"));
        Grid grid = series().grid();
        NiftiWriter.write(
                study.resolve("t2.nii.gz"),
                new Volume(grid, new float[grid.size().voxels()]));
        Files.writeString(study.resolve("study.yaml"), "series:\n  - {file: t2.nii.gz, role: t2}\n");
        byte[] voxels = new byte[grid.size().voxels()];
        java.util.Arrays.fill(voxels, 500, 900, (byte) 1);
        Path rough = folder.resolve("rough.nii.gz");
        NiftiWriter.write(rough, new Mask(grid, voxels));
        Path out = folder.resolve("x.dcm");
        Run run = run("outline", study.toString(), "--rough", rough.toString(), "--out", out.toString());
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err()).contains("which is no DICOM series, expected --form nifti");
        assertThat(out).doesNotExist();
        assertThat(run(
                                "outline",
                                study.toString(),
                                "--rough",
                                rough.toString(),
                                "--out",
                                folder.resolve("y.nii").toString())
                        .exit())
                .isZero();
    }

    @Test
    void whatWasDecidedAboutOddDrawingsIsSaid() throws Exception {
        List<Contour> eight = new ArrayList<>(circles(1));
        Point c = new Point(2, 0, 0);
        eight.set(
                3,
                new Contour(List.of(
                        at(c, -20, -20, eight.get(3)),
                        at(c, 20, 20, eight.get(3)),
                        at(c, 20, -20, eight.get(3)),
                        at(c, -20, 20, eight.get(3)))));
        Run crossing = outline(structures("eight", eight), folder.resolve("e.nii"));
        assertThat(crossing.exit()).isZero();
        assertThat(crossing.out()).contains("1 contours of lesion cross themselves");
        List<Contour> out = List.of(circle(2, 60, 50, 0), circle(-2, 60, 50, 0));
        assertThat(outline(structures("out", out), folder.resolve("o.nii")).out())
                .contains("contours run out of the image and were cut at its border");
        List<Contour> two = List.of(circle(2, 6, -20, 0), circle(2, 6, 14, 0));
        assertThat(outline(structures("two", two), folder.resolve("t.nii")).out())
                .contains("the region is drawn in 2 pieces that do not touch");
    }

    // Oracle: the contours that the demo's images were computed with; about (2, 0, 0), 21 mm to 30 mm from there.
    @Test
    void oneClickAndOneEllipseAreRoughOutlines() throws Exception {
        Point c = centre();
        Path click = yaml("click: {at: [%.1f, %.1f, %.1f], diameter: 50}", c.x(), c.y(), c.z());
        Run ball = outline(click, folder.resolve("ball.nii.gz"), "--truth", TRUTH.toString());
        assertThat(ball.err()).isEmpty();
        assertThat(ball.out()).contains("the rough outline is a ball about one click");
        assertThat(dice(ball.out(), "refined")).isGreaterThan(dice(ball.out(), "drawn"));
        Path ellipse =
                yaml("series: t2%nellipse: {at: [%.1f, %.1f, %.1f], radii: [26, 24], turn: 15}", c.x(), c.y(), c.z());
        Run ellipsoid = outline(ellipse, folder.resolve("e.nii.gz"), "--truth", TRUTH.toString());
        assertThat(ellipsoid.out()).contains("an ellipsoid after one ellipse");
        assertThat(dice(ellipsoid.out(), "refined")).isGreaterThan(0.9);
    }

    @Test
    void aShapeThatCannotBeUsedIsNamed() throws Exception {
        assertRefused("either a click or an ellipse", yaml("series: t2"));
        assertRefused("points must be three", yaml("areas: [{slice: 3, points: [[1, 1], [2, 2]]}]"));
        assertRefused("expected 1 to", yaml("areas: [{slice: 0, points: [[1, 1], [5, 1], [5, 5]]}]"));
        assertRefused(
                "shape.yaml: at: found (900.0, 0.0, -3.1) mm, expected a point within",
                yaml("click: {at: [900, -0.01, -3.14], diameter: 50}"));
        assertRefused(
                "shape.yaml: roi: found L1, expected none: a click, an ellipse or areas bear no name",
                yaml("click: {at: [2, 0, 0], diameter: 50}"),
                "--roi",
                "L1");
        assertRefused("diameter must be above 0", yaml("click: {at: [2, 0, 0], diameter: -5}"));
        assertRefused("radii must be two numbers", yaml("ellipse: {at: [2, 0, 0], radii: [20]}"));
        assertRefused("at must be three numbers", yaml("click: {at: [2, 0], diameter: 50}"));
        assertRefused("colour", yaml("click: {at: [2, 0, 0], diameter: 50, colour: red}"));
        assertRefused("which is not in the study", yaml("series: dwi%nclick: {at: [2, 0, 0], diameter: 50}"));
    }

    // Oracle: two circles that touch and look alike; each voxel has one owner.
    @Test
    void lesionsThatTouchAreKeptApart() throws Exception {
        Point c = centre();
        List<Contour> left = List.of(circle(2, 14, c.y() - 10, c.z()), circle(-2, 14, c.y() - 10, c.z()));
        List<Contour> right = List.of(circle(2, 14, c.y() + 14, c.z()), circle(-2, 14, c.y() + 14, c.z()));
        Path both = folder.resolve("two.dcm");
        write(
                both,
                StructureSetObject.of(
                        series(),
                        "rough",
                        List.of(
                                new StructureSetObject.Region("left", left),
                                new StructureSetObject.Region("right", right)),
                        "test"));
        assertRefused("2 regions: left, right", both);
        Path one = folder.resolve("left.nii");
        Path two = folder.resolve("right.nii");
        Run run = outline(both, one, "--roi", "left");
        assertThat(run.out()).contains("region right lies next to left", "voxels are drawn as both");
        assertThat(outline(both, two, "--roi", "right").exit()).isZero();
        byte[] a = NiftiReader.readMask(one).voxels();
        byte[] b = NiftiReader.readMask(two).voxels();
        int shared = 0;
        for (int i = 0; i < a.length; i++) shared += a[i] & b[i];
        assertThat(shared).isZero();
        assertRefused("one region of that name", both, "--roi", "middle");
        run(
                "measure",
                STUDY.toString(),
                "--outline",
                both.toString(),
                "--roi",
                "left",
                "--set",
                "stability.draws=0",
                "--out",
                folder.resolve("m").toString());
        assertThat(Files.readString(folder.resolve("m/log.txt")))
                .contains("voxels of left are drawn as right, too; they were measured as left");
    }

    @Test
    void proposedReferencesAreNotUsedBeforeAReaderHasConfirmedThem() throws Exception {
        Path references = folder.resolve("references.yaml");
        Run run = outline(
                structures("rough", circles(1.05)),
                folder.resolve("l.nii.gz"),
                "--propose-references",
                references.toString());
        assertThat(run.out()).contains("no place looks like muscle", "proposed reference: myometrium at");
        String proposed = Files.readString(references);
        assertThat(proposed)
                .contains("confirmed: false", "# muscle: no place looks like muscle", "  myometrium: {points:");
        Run refused = measured(references);
        assertThat(refused.exit()).isEqualTo(2);
        assertThat(refused.err()).contains("references.yaml: confirmed", "once a reader has looked at each place");
        assertThat(folder.resolve("m")).doesNotExist();
        Files.writeString(references, proposed.replace("confirmed: false", "confirmed: true"));
        assertThat(measured(references).err()).isEmpty();
        assertThat(Files.readString(folder.resolve("m/features.csv")))
                .contains("t2 signal ratio to myometrium")
                .doesNotContain("no myometrium reference region is given");
    }

    private Run measured(Path references) {
        return run(
                "measure",
                STUDY.toString(),
                "--outline",
                TRUTH.toString(),
                "--references",
                references.toString(),
                "--set",
                "stability.draws=0",
                "--out",
                folder.resolve("m").toString());
    }

    private static Point centre() throws Exception {
        List<Point> all = org.leiogauge.dicom.StructureSet.read(TRUTH).rois().get(0).contours().stream()
                .flatMap(contour -> contour.points().stream())
                .toList();
        return new Point(
                all.stream().mapToDouble(Point::x).average().orElseThrow(),
                all.stream().mapToDouble(Point::y).average().orElseThrow(),
                all.stream().mapToDouble(Point::z).average().orElseThrow());
    }

    private Path yaml(String text, Object... values) throws IOException {
        Path file = folder.resolve("shape.yaml");
        return Files.writeString(file, String.format(java.util.Locale.ROOT, text + "%n", values));
    }

    private static Point at(Point centre, double dx, double dy, Contour on) {
        double z = on.points().get(0).x();
        return new Point(z, centre.y() + dx, centre.z() + dy);
    }

    private static final int CONTOUR_DATA = 0x30060050;

    private static DataSet contour(DataSet set) {
        return set.items(0x30060039).get(0).items(0x30060040).get(0);
    }

    private void assertRefused(String message, Path rough, String... more) {
        Path out = folder.resolve("refused.nii.gz");
        Run run = outline(rough, out, more);
        assertThat(run.err()).contains(message);
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.exit()).isEqualTo(2);
        assertThat(out).doesNotExist();
    }

    private Run outline(Path rough, Path out, String... more) {
        List<String> all = new ArrayList<>(
                List.of("outline", STUDY.toString(), "--rough", rough.toString(), "--out", out.toString()));
        all.addAll(List.of(more));
        return run(all.toArray(String[]::new));
    }

    private static Run run(String... arguments) {
        StringWriter err = new StringWriter();
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PrintStream before = System.out;
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        try {
            CommandLine line = Main.commandLine().setErr(new PrintWriter(err));
            return new Run(line.execute(arguments), out.toString(StandardCharsets.UTF_8), err.toString());
        } finally {
            System.setOut(before);
        }
    }

    private static double dice(String out, String line) {
        return out.lines()
                .filter(text -> text.startsWith(line + ": Dice "))
                .mapToDouble(text -> Double.parseDouble(text.split("[ ,]")[2]))
                .findFirst()
                .orElseThrow();
    }

    private static Mask read(Path file) throws InputException {
        Study study = Study.open(STUDY, Workers.SINGLE, Progress.NONE);
        Outline outline = OutlineFile.read(file, Optional.empty(), study, Workers.SINGLE, Progress.NONE);
        return outline.mask();
    }

    private static DrawnOn series() throws InputException {
        DicomSeries series =
                DicomFolder.scan(STUDY, Workers.SINGLE, Progress.NONE).get(0);
        return series.drawnOn(
                series.read(Workers.SINGLE, Progress.NONE).stacks().get(0));
    }

    private DataSet set(List<Contour> contours) throws InputException {
        return StructureSetObject.of(
                series(), "rough", List.of(new StructureSetObject.Region("lesion", contours)), "test");
    }

    private Path structures(String name, List<Contour> contours) throws InputException, IOException {
        Path file = folder.resolve(name + ".dcm");
        write(file, set(contours));
        return file;
    }

    private static void write(Path file, DataSet set) throws IOException {
        DicomWriter.write(file, set, TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
    }

    /** Every third of the true contours, scaled about its centre. */
    private List<Contour> circles(double scale) throws Exception {
        List<Contour> all =
                org.leiogauge.dicom.StructureSet.read(TRUTH).rois().get(0).contours();
        List<Contour> some = new ArrayList<>();
        for (int i = 0; i < all.size(); i += 3) some.add(scaled(all.get(i), scale));
        return some;
    }

    private static Contour scaled(Contour contour, double scale) {
        double y = contour.points().stream().mapToDouble(Point::y).average().orElseThrow();
        double z = contour.points().stream().mapToDouble(Point::z).average().orElseThrow();
        return new Contour(contour.points().stream()
                .map(p -> new Point(p.x(), y + scale * (p.y() - y), z + scale * (p.z() - z)))
                .toList());
    }

    private static Contour circle(double x, double radius, double y, double z) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < 60; i++) {
            double t = 2 * Math.PI * i / 60;
            points.add(new Point(x, y + radius * Math.cos(t), z + radius * Math.sin(t)));
        }
        return new Contour(points);
    }
}
