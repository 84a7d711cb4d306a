// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/**
 * The signal of each tissue in each image of a series, over what texture makes of its ADC and its concentration of contrast
 * agent: straight lines between places 0.005 apart, off by less than 10⁻⁴ of the signal for b · ADC up to 5.
 */
final class SignalTables {
    private static final int STEPS = 900;
    // texture is at most 0.3 and a field of 64 waves at most 11.4
    private static final double LARGEST = 4.5;

    private final float[][][] tables;
    private final double[] densityTexture = new double[Tissue.count()];
    private final double[] texture = new double[Tissue.count()];

    SignalTables(PhantomSettings settings, SeriesSettings series) {
        tables = new float[series.images()][Tissue.count()][STEPS + 2];
        for (int t = 0; t < Tissue.count(); t++) {
            TissueProperties tissue = settings.of(Tissue.of(t));
            densityTexture[t] = tissue.signalTexture();
            texture[t] = texture(series, tissue);
            for (int i = 0; i < series.images(); i++) fill(tables[i][t], tissue, series, settings.scanner(), i);
        }
    }

    private static double texture(SeriesSettings series, TissueProperties tissue) {
        return switch (series.kind()) {
            case DWI -> tissue.adcTexture();
            case DYNAMIC -> tissue.enhancementTexture();
            default -> 0;
        };
    }

    private static void fill(
            float[] table, TissueProperties tissue, SeriesSettings series, ScannerSettings scanner, int image) {
        for (int i = 0; i < table.length; i++) {
            double share = i * LARGEST / STEPS;
            table[i] = (float) TissueSignal.of(tissue, series, scanner, image, share, share);
        }
    }

    int images() {
        return tables.length;
    }

    /** Whether a tissue of the row has a texture of its proton density. */
    boolean needsDensity(Mixture row) {
        return needs(row, densityTexture);
    }

    /** Whether a tissue of the row has the other texture. */
    boolean needsOther(Mixture row) {
        return needs(row, texture);
    }

    private static boolean needs(Mixture row, double[] texture) {
        for (int t = 0; t < texture.length; t++) if (texture[t] > 0 && row.has(t)) return true;
        return false;
    }

    /**
     * Adds a tissue's part to the signal of a row.
     *
     * @param density field of the proton density's texture, for each voxel of the row
     * @param other field of the ADC's or the concentration's texture
     * @param at where the row begins in {@code target}
     */
    void add(int image, int tissue, float[] shares, double[] density, double[] other, float[] target, int at) {
        float[] table = tables[image][tissue];
        double ofDensity = densityTexture[tissue];
        double ofOther = texture[tissue];
        for (int x = 0; x < shares.length; x++)
            if (shares[x] > 0)
                target[at + x] += (float) (shares[x]
                        * Textures.share(ofDensity, density[x])
                        * value(table, Textures.share(ofOther, other[x])));
    }

    private static double value(float[] table, double share) {
        double place = Math.min(share * (STEPS / LARGEST), STEPS);
        int i = (int) place;
        return table[i] + (place - i) * (table[i + 1] - table[i]);
    }
}
