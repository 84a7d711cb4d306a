// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.image.BufferedImage;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.markers.SeriesMarkers;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/** How often each value occurs in the lesion: share of its voxels in 64 equal bins from the lowest to the highest value. */
final class HistogramPicture {
    private static final int BINS = 64;
    // Blue of the palette of Okabe and Ito 2008.
    private static final Color BARS = new Color(0x0072b2);

    private HistogramPicture() {}

    /** @param mask on the volume's grid, not empty, with finite values inside */
    static BufferedImage draw(Volume volume, Mask mask, String axis) {
        float low = Float.POSITIVE_INFINITY;
        float high = Float.NEGATIVE_INFINITY;
        float[] values = volume.voxels();
        byte[] region = mask.voxels();
        for (int i = 0; i < values.length; i++) {
            if (region[i] == 0) continue;
            low = Math.min(low, values[i]);
            high = Math.max(high, values[i]);
        }
        double width = high > low ? ((double) high - low) / BINS : 1;
        double[] shares = new double[BINS];
        for (int i = 0; i < values.length; i++)
            if (region[i] != 0) shares[(int) Math.min(BINS - 1, (values[i] - low) / width)] += 100.0 / mask.count();
        // each bin as a step of its own width
        double[] x = new double[2 * BINS + 3];
        double[] y = new double[2 * BINS + 3];
        for (int bin = 0; bin < BINS; bin++) {
            x[2 * bin + 1] = low + bin * width;
            x[2 * bin + 2] = low + (bin + 1) * width;
            y[2 * bin + 1] = y[2 * bin + 2] = shares[bin];
        }
        x[0] = low;
        x[2 * BINS + 1] = low + BINS * width;
        // a step of another length behind the last: of equal ones the chart would number every few, instead of round
        // values
        x[2 * BINS + 2] = low + (BINS + 0.4) * width;
        return picture(x, y, axis);
    }

    private static BufferedImage picture(double[] x, double[] y, String axis) {
        XYChart chart = new XYChartBuilder()
                .width(560)
                .height(320)
                .xAxisTitle(axis)
                .yAxisTitle("share of the lesion (%)")
                .build();
        ChartPicture.style(chart.getStyler());
        chart.getStyler().setSeriesColors(new Color[] {BARS});
        chart.getStyler().setAxisTitleFont(ReportFont.regular(14));
        chart.getStyler().setPlotGridLinesColor(new Color(0xe6e6e6));
        chart.getStyler().setPlotGridVerticalLinesVisible(false);
        chart.getStyler().setXAxisTickMarkSpacingHint(90);
        chart.getStyler().setDefaultSeriesRenderStyle(XYSeries.XYSeriesRenderStyle.Area);
        XYSeries series = chart.addSeries("lesion", x, y);
        series.setMarker(SeriesMarkers.NONE);
        series.setLineStyle(new BasicStroke(1.2f));
        series.setFillColor(new Color(BARS.getRed(), BARS.getGreen(), BARS.getBlue(), 90));
        return BitmapEncoder.getBufferedImage(chart);
    }
}
