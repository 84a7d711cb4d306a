// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.RandomField;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Seed;

/** The sensitivity that a synthetic study's images were multiplied with. */
public final class CoilField {
    private CoilField() {}

    /** On a series' grid; the coil stays where it is when the patient moves. */
    public static Volume on(Grid grid, PhantomSettings settings) {
        ScannerSettings scanner = settings.scanner();
        RandomField field = new RandomField(
                new Seed(settings.seed()), StudyImages.COIL_DRAW, StudyImages.WAVES, scanner.coilBiasMm());
        int columns = grid.size().x();
        double[] row = new double[columns];
        float[] voxels = new float[grid.size().voxels()];
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++) {
                Point p = grid.point(0, y, z);
                field.row(new double[] {p.x(), p.y(), p.z()}, grid.stepX(), new Vector[0], row, columns);
                int at = grid.offset(0, y, z);
                for (int x = 0; x < columns; x++) voxels[at + x] = (float) Math.exp(scanner.coilBias() * row[x]);
            }
        return new Volume(grid, voxels);
    }
}
