// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Point;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Tissue;

/** The reference regions that the reader places by clicks, from a case file and back into it. For one thread. */
final class ReferenceBalls {
    private static final double INSIDE_MM = 1e-9;

    private final Runnable edited;
    private final Map<Tissue, List<Ball>> balls = new EnumMap<>(Tissue.class);

    /** @param edited told of every change by the reader */
    ReferenceBalls(Runnable edited) {
        this.edited = edited;
    }

    /** Those of another case; who puts it on the desk tells of it. */
    void begin(CaseFile caseFile) {
        balls.clear();
        caseFile.references().forEach((where, reference) -> balls.put(where, new ArrayList<>(reference.points())));
    }

    Map<Tissue, List<Ball>> all() {
        return balls;
    }

    /** A region about a point; a point in one that is there takes that away. */
    void place(Point point, Tissue tissue, double radiusMm) {
        for (List<Ball> some : balls.values())
            if (some.removeIf(ball -> ball.centre().distance(point) <= ball.radius() + INSIDE_MM)) {
                balls.values().removeIf(List::isEmpty);
                edited.run();
                return;
            }
        balls.computeIfAbsent(tissue, any -> new ArrayList<>())
                .add(new Ball(List.of(rounded(point.x()), rounded(point.y()), rounded(point.z())), radiusMm));
        edited.run();
    }

    // A hand is not steadier, and the file stays easy to read.
    private static double rounded(double mm) {
        return Math.rint(mm * 100) / 100;
    }

    /** A case with the references as they stand. */
    CaseFile in(CaseFile caseFile) {
        Map<Tissue, CaseFile.Reference> now = new EnumMap<>(Tissue.class);
        // masks that the case file names are not changed by clicks
        caseFile.references().forEach((where, reference) -> {
            if (reference.mask().isPresent()) now.put(where, reference);
        });
        balls.forEach((where, some) -> {
            if (!some.isEmpty()) now.put(where, new CaseFile.Reference(some, Optional.empty()));
        });
        return new CaseFile(
                caseFile.caseName(),
                caseFile.lesion(),
                caseFile.outline(),
                caseFile.series(),
                now,
                caseFile.clinical(),
                caseFile.impression(),
                caseFile.numbersShown(),
                caseFile.outcome());
    }
}
