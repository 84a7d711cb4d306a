// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Balls in reference tissues, placed by a reader, and what they hold on the T2-weighted series.
 *
 * @param series on which they were looked at
 * @param places in the order given
 */
public record ReferencePlacement(Series series, List<Place> places) {
    /** The table's columns. */
    public static final List<String> COLUMNS =
            List.of("tissue", "x", "y", "z", "radius", "median", "spread", "voxels", "note");

    public ReferencePlacement {
        places = List.copyOf(places);
    }

    /** One ball and what it holds. */
    public record Place(Tissue tissue, Ball ball, Reference reference) {}

    /**
     * @param wanted as {@code muscle 57 40 5 7; urine 0 -60 10 7}: tissue, centre in patient space (LPS, mm), radius in mm
     * @throws InputException if the words are not understood, or there is no T2-weighted series to look at
     */
    public static ReferencePlacement of(Study study, Outline outline, String wanted, Workers workers, Progress progress)
            throws InputException {
        Optional<Series> t2 = study.of(Role.T2).stream().findFirst();
        boolean isOwn = outline.series().role().equals(Optional.of(Role.T2));
        if (t2.isEmpty() && !isOwn)
            throw new InputException("study", "role", "no T2-weighted series", "one, to look at the tissues on");
        Series series = isOwn ? outline.series() : t2.get();
        Series.Content content = isOwn ? outline.content() : series.read(workers, progress.part(0, 0.5));
        Volume image = content.frames().get(0).volume();
        List<Place> places = new ArrayList<>();
        for (String one : wanted.strip().split("\\s*[;\\n]\\s*")) places.add(placed(one, image));
        progress.at(1);
        return new ReferencePlacement(series, places);
    }

    private static Place placed(String words, Volume image) throws InputException {
        String[] parts = words.strip().split("[\\s,]+");
        Optional<Tissue> tissue = tissue(parts[0]);
        try {
            if (parts.length == 5 && tissue.isPresent())
                return place(
                        tissue.get(),
                        new Ball(List.of(number(parts[1]), number(parts[2]), number(parts[3])), number(parts[4])),
                        image);
        } catch (NumberFormatException e) {
            // said below
        } catch (IllegalArgumentException e) {
            throw InputException.refused("places", words, e);
        }
        throw new InputException(
                "places", "", words, "a tissue (muscle, myometrium, endometrium, urine), x, y, z and radius in mm");
    }

    private static double number(String text) {
        double number = Double.parseDouble(text);
        if (!Double.isFinite(number)) throw new NumberFormatException(text);
        return number;
    }

    private static Optional<Tissue> tissue(String word) {
        for (Tissue tissue : Tissue.values())
            if (tissue.key().equals(word.toLowerCase(Locale.ROOT))) return Optional.of(tissue);
        return Optional.empty();
    }

    private static Place place(Tissue tissue, Ball ball, Volume image) {
        Mask region = ReferenceRegion.ball(image.grid(), ball.centre(), ball.radius());
        return new Place(tissue, ball, ReferenceRegion.measure(image, region, ReferenceRegion.Settings.standard()));
    }

    /** One row per ball: where it lies (LPS, mm), median and spread of the signal, and why it cannot serve. */
    public CsvTable table() {
        return new CsvTable(
                COLUMNS, places.stream().map(ReferencePlacement::row).toList());
    }

    private static List<String> row(Place place) {
        List<String> row = new ArrayList<>(List.of(place.tissue().key()));
        place.ball().at().forEach(one -> row.add(one.toString()));
        row.add(Double.toString(place.ball().radius()));
        if (place.reference() instanceof Accepted accepted)
            row.addAll(List.of(
                    Double.toString(accepted.median()),
                    Double.toString(accepted.spread()),
                    Integer.toString(accepted.voxels()),
                    ""));
        else if (place.reference() instanceof Refused refused) row.addAll(List.of("", "", "", refused.reason()));
        return row;
    }

    /** The case with these places in place of its own, tissue by tissue; a ball that cannot serve is left out. */
    public CaseFile in(CaseFile file) {
        Map<Tissue, List<Ball>> balls = new EnumMap<>(Tissue.class);
        for (Place place : places)
            if (place.reference() instanceof Accepted)
                balls.computeIfAbsent(place.tissue(), key -> new ArrayList<>()).add(place.ball());
        Map<Tissue, CaseFile.Reference> all = new EnumMap<>(Tissue.class);
        all.putAll(file.references());
        balls.forEach((tissue, own) -> all.put(tissue, new CaseFile.Reference(own, Optional.empty())));
        return new CaseFile(
                file.caseName(),
                file.lesion(),
                file.outline(),
                file.series(),
                all,
                file.clinical(),
                file.impression(),
                file.numbersShown(),
                file.outcome());
    }
}
