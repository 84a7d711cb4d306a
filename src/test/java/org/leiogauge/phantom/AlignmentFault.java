// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.image.Box;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** What may be so wrong with the other series of a study that registration must fail, or may. */
enum AlignmentFault {
    /** Its coordinates are off by 30 to 80 mm: more than is looked for. */
    FAR("coordinates 30 to 80 mm off") {
        @Override
        MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers) {
            Vector shift = MovedStudy.direction(random).times(30 + 50 * random.nextDouble());
            Grid grid = study.other().grid();
            Grid moved = new Grid(
                    grid.size(), grid.spacing(), grid.direction(), grid.origin().plus(shift));
            List<Point> shown = study.shown().stream().map(p -> p.plus(shift)).toList();
            return study.with(new Volume(moved, study.other().voxels()), shown);
        }
    },
    /** It shows noise alone, so that no place of it is right. */
    NOISE("noise alone") {
        @Override
        MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers) {
            float[] noise = new float[study.other().voxels().length];
            for (int i = 0; i < noise.length; i++) noise[i] = (float) Math.rint(Gaussian.rician(random, 0, 40));
            Point nowhere = new Point(1e6, 1e6, 1e6);
            return study.with(
                    new Volume(study.other().grid(), noise),
                    study.places().stream().map(p -> nowhere).toList());
        }
    },
    /** Its field of view ends before the lesion's middle. */
    CUT("field of view without half of the lesion or more") {
        @Override
        MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers) {
            int axis = random.nextInt(3);
            boolean up = random.nextBoolean();
            double share = random.nextDouble() / 2;
            Grid grid = study.other().grid();
            double[] along = study.shown().stream()
                    .mapToDouble(p -> {
                        double[] index = {
                            grid.index(p).x(), grid.index(p).y(), grid.index(p).z()
                        };
                        return index[axis];
                    })
                    .sorted()
                    .toArray();
            double[] edge = {along[0], along[along.length - 1]};
            int end = (int)
                    Math.round(up ? edge[0] + share * (edge[1] - edge[0]) : edge[1] - share * (edge[1] - edge[0]));
            Size n = grid.size();
            int[] from = {0, 0, 0};
            int[] to = {n.x() - 1, n.y() - 1, n.z() - 1};
            if (up) to[axis] = Math.max(0, Math.min(to[axis], end));
            else from[axis] = Math.max(0, Math.min(to[axis], end));
            return study.with(
                    study.other().crop(new Box(from[0], from[1], from[2], to[0], to[1], to[2])), study.shown());
        }
    },
    /** Three ghosts along the phase encoding, together stronger than the image. */
    GHOST("ghosts stronger than the image") {
        @Override
        MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers) {
            Grid grid = study.other().grid();
            Size n = grid.size();
            float[] from = study.other().voxels();
            float[] to = new float[from.length];
            int first = n.y() / 8 + random.nextInt(n.y() / 8);
            for (int z = 0; z < n.z(); z++)
                for (int y = 0; y < n.y(); y++)
                    for (int x = 0; x < n.x(); x++) {
                        double sum = from[grid.offset(x, y, z)];
                        for (int g = 1; g <= 3; g++) sum += 0.6 * from[grid.offset(x, (y + g * first) % n.y(), z)];
                        to[grid.offset(x, y, z)] = (float) Math.rint(sum / 2.8);
                    }
            return study.with(new Volume(grid, to), study.shown());
        }
    },
    /** Smeared out by a Gaussian of 10 to 20 mm. */
    BLUR("blurred by 10 to 20 mm") {
        @Override
        MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers) {
            GaussianSmoothing.Settings wide = GaussianSmoothing.Settings.of(10 + 10 * random.nextDouble());
            return study.with(GaussianSmoothing.smooth(study.other(), wide, workers), study.shown());
        }
    };

    private final String words;

    AlignmentFault(String words) {
        this.words = words;
    }

    String words() {
        return words;
    }

    abstract MovedStudy of(MovedStudy study, SplittableRandom random, Workers workers);

    /** The study of a trial with this fault. */
    MovedStudy of(MovedStudy study, int trial, Workers workers) {
        return of(study, new Seed(78).draw(trial), workers);
    }
}
