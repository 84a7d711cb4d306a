// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.nio.file.Path;
import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/**
 * Everything a synthetic study is made from: the same settings give the same bytes.
 *
 * @param preset that the settings began with
 * @param lesions one or more; the first is the one that is asked about
 * @param tissues every tissue
 * @param textureMm correlation length of the tissue texture
 * @param readerSlices the sloppy reader draws on every so manieth slice
 * @param readerJitterMm standard deviation of the sloppy reader's line
 * @param dicom how it is written
 */
public record PhantomSettings(
        Preset preset,
        Scene scene,
        long seed,
        Matrix matrix,
        List<LesionSettings> lesions,
        Map<Tissue, TissueProperties> tissues,
        double textureMm,
        ScannerSettings scanner,
        List<SeriesSettings> series,
        int readerSlices,
        double readerJitterMm,
        DicomSettings dicom) {

    /** What lies around the lesion. */
    public enum Scene {
        PELVIS,
        /** A tube of ice water. */
        TUBE
    }

    /** Size of the images: {@code DEMO} is small and quick. */
    public enum Matrix {
        DEMO,
        FULL
    }

    public PhantomSettings {
        lesions = List.copyOf(lesions);
        series = List.copyOf(series);
        Map<Tissue, TissueProperties> all = new EnumMap<>(TissueProperties.standard());
        all.putAll(tissues);
        tissues = Collections.unmodifiableMap(all);
        Range.check("number of lesions", lesions.size(), 1, 9);
        Range.check("number of series", series.size(), 1, 20);
        Range.check("texture-mm", textureMm, 1, 50);
        Range.check("reader-slices", readerSlices, 1, 20);
        Range.check("reader-jitter-mm", readerJitterMm, 0, 10);
        if (lesions.stream().map(LesionSettings::name).distinct().count() != lesions.size())
            throw new IllegalArgumentException("lesions: each name must stand once");
        if (series.stream().noneMatch(s -> s.kind() == SeriesSettings.Kind.T2))
            throw new IllegalArgumentException("series must hold one of kind t2");
        for (LesionSettings lesion : lesions) for (SeriesSettings s : series) checkInside(lesion, s);
    }

    private static void checkInside(LesionSettings lesion, SeriesSettings series) {
        boolean whole = series.kind() == SeriesSettings.Kind.T2;
        Point c = lesion.centre();
        for (int side = -1; side <= 1; side += 2) {
            double share = whole ? side : 0;
            checkInside(series, new Point(c.x() + share * lesion.semiAxes().x(), c.y(), c.z()));
            checkInside(
                    series, new Point(c.x(), c.y() + share * lesion.semiAxes().y(), c.z()));
            checkInside(
                    series,
                    new Point(c.x(), c.y(), c.z() + share * lesion.semiAxes().z()));
        }
    }

    private static void checkInside(SeriesSettings series, Point p) {
        Grid grid = series.grid();
        Index i = grid.index(p);
        String name = "lesions: centre and semi-axes must lie inside series " + series.description() + ": ";
        Range.check(name + "column", i.x(), 0, series.columns() - 1.0);
        Range.check(name + "row", i.y(), 0, series.rows() - 1.0);
        Range.check(name + "slice", i.z(), 0, series.slices() - 1.0);
    }

    /** The T2-weighted series that outlines and masks belong to. */
    public SeriesSettings t2() {
        return series.stream()
                .filter(s -> s.kind() == SeriesSettings.Kind.T2)
                .findFirst()
                .orElseThrow();
    }

    public TissueProperties of(Tissue tissue) {
        return tissues.get(tissue);
    }

    public PhantomSettings withSeed(long value) {
        return new PhantomSettings(
                preset,
                scene,
                value,
                matrix,
                lesions,
                tissues,
                textureMm,
                scanner,
                series,
                readerSlices,
                readerJitterMm,
                dicom);
    }

    public PhantomSettings withMatrix(Matrix size) {
        return with(size, scanner, SeriesSettings.standard(size == Matrix.FULL));
    }

    public PhantomSettings with(ScannerSettings other, List<SeriesSettings> list) {
        return with(matrix, other, list);
    }

    public PhantomSettings with(DicomSettings other) {
        return new PhantomSettings(
                preset,
                scene,
                seed,
                matrix,
                lesions,
                tissues,
                textureMm,
                scanner,
                series,
                readerSlices,
                readerJitterMm,
                other);
    }

    public PhantomSettings withTissues(Map<Tissue, TissueProperties> map) {
        return new PhantomSettings(
                preset,
                scene,
                seed,
                matrix,
                lesions,
                map,
                textureMm,
                scanner,
                series,
                readerSlices,
                readerJitterMm,
                dicom);
    }

    public PhantomSettings withLesions(List<LesionSettings> list) {
        return new PhantomSettings(
                preset,
                scene,
                seed,
                matrix,
                list,
                tissues,
                textureMm,
                scanner,
                series,
                readerSlices,
                readerJitterMm,
                dicom);
    }

    private PhantomSettings with(Matrix size, ScannerSettings other, List<SeriesSettings> list) {
        return new PhantomSettings(
                preset,
                scene,
                seed,
                size,
                lesions,
                tissues,
                textureMm,
                other,
                list,
                readerSlices,
                readerJitterMm,
                dicom);
    }

    /** Without noise, movement, coil bias and distortion. */
    public PhantomSettings ideal() {
        return with(
                ScannerSettings.ideal(),
                series.stream().map(SeriesSettings::ideal).toList());
    }

    /**
     * Reads settings; what is absent is as the preset has it.
     *
     * @throws InputException naming key, value and allowed range
     */
    public static PhantomSettings read(Path file) throws InputException {
        return read(file, List.of());
    }

    /** @param overrides as {@code key.key=value}; those of preset and matrix go before the file's other settings */
    public static PhantomSettings read(Path file, List<String> overrides) throws InputException {
        return overridden(file, Yaml.SPARSE.read(file, Given.class), overrides);
    }

    /** A preset with single values overridden. */
    public static PhantomSettings of(Preset preset, List<String> overrides) throws InputException {
        Given plain = Yaml.SPARSE.parse("preset: " + preset.key(), "preset", Given.class);
        return overridden("--set", plain, overrides);
    }

    // A single value needs the whole around it: what the preset and the matrix imply is filled in before.
    private static PhantomSettings overridden(Object source, Given given, List<String> overrides)
            throws InputException {
        List<String> first =
                overrides.stream().filter(PhantomSettings::goesFirst).toList();
        List<String> rest = overrides.stream().filter(o -> !goesFirst(o)).toList();
        PhantomSettings settings =
                Yaml.SPARSE.override(given, first, Given.class).settings(first.isEmpty() ? source : "--set");
        return rest.isEmpty() ? settings : overridden(settings, rest);
    }

    private static PhantomSettings overridden(PhantomSettings settings, List<String> overrides) throws InputException {
        return Yaml.SPARSE
                .override(Yaml.SPARSE.parse(settings.yaml(), "--set", Given.class), overrides, Given.class)
                .settings("--set " + String.join(" ", overrides));
    }

    private static boolean goesFirst(String override) {
        return override.startsWith("preset=") || override.startsWith("matrix=");
    }

    /** All of it as YAML, as {@link #read(Path)} reads it. */
    public String yaml() {
        return Yaml.SPARSE.text(this);
    }

    /** The YAML form: every key may be absent, and then is as the preset has it. */
    record Given(
            Preset preset,
            Scene scene,
            Long seed,
            Matrix matrix,
            List<LesionSettings> lesions,
            Map<Tissue, TissueProperties.Change> tissues,
            Double textureMm,
            Optional<ScannerSettings.Change> scanner,
            List<SeriesSettings> series,
            Integer readerSlices,
            Double readerJitterMm,
            Optional<DicomSettings> dicom) {

        PhantomSettings settings(Object source) throws InputException {
            try {
                return settings((preset == null ? Preset.DEMO : preset).settings());
            } catch (IllegalArgumentException e) {
                throw InputException.refused(source, "", e);
            }
        }

        private PhantomSettings settings(PhantomSettings base) {
            Map<Tissue, TissueProperties> changed = new EnumMap<>(base.tissues);
            if (tissues != null) tissues.forEach((t, change) -> changed.put(t, change.of(base.of(t))));
            Matrix size = matrix == null ? base.matrix : matrix;
            return new PhantomSettings(
                    base.preset,
                    scene == null ? base.scene : scene,
                    seed == null ? base.seed : seed,
                    size,
                    lesions == null ? base.lesions : lesions,
                    changed,
                    textureMm == null ? base.textureMm : textureMm,
                    scanner == null || scanner.isEmpty()
                            ? base.scanner
                            : scanner.get().of(base.scanner),
                    series != null
                            ? series
                            : size == base.matrix ? base.series : SeriesSettings.standard(size == Matrix.FULL),
                    readerSlices == null ? base.readerSlices : readerSlices,
                    readerJitterMm == null ? base.readerJitterMm : readerJitterMm,
                    dicom == null ? base.dicom : dicom.orElse(base.dicom));
        }
    }
}
