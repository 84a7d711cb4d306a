// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.image.BufferedImage;
import java.util.List;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.Styler;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** Charts of one look: white ground, thin grid, colours that colour-blind eyes tell apart and that differ in grey print. */
public final class ChartPicture {
    // From the palette of Okabe and Ito 2008: blue, vermilion, bluish green.
    private static final Color[] COLOURS = {new Color(0x0072b2), new Color(0xd55e00), new Color(0x009e73)};
    private static final Color LEVEL = new Color(0x444444);

    private ChartPicture() {}

    /** A horizontal line with a name. */
    public record Level(String name, double value) {}

    /** Points with levels across. */
    public static BufferedImage points(double[] x, double[] y, List<Level> levels, String xAxis, String yAxis) {
        XYChart chart = chart(xAxis, yAxis);
        XYSeries points = chart.addSeries("lesions", x, y);
        points.setXYSeriesRenderStyle(XYSeries.XYSeriesRenderStyle.Scatter);
        points.setMarker(SeriesMarkers.CIRCLE);
        points.setMarkerColor(new Color(COLOURS[0].getRed(), COLOURS[0].getGreen(), COLOURS[0].getBlue(), 150));
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (double v : x) {
            low = Math.min(low, v);
            high = Math.max(high, v);
        }
        if (low == high) {
            low -= 1;
            high += 1;
        }
        for (Level level : levels) {
            XYSeries line = chart.addSeries(
                    level.name(), new double[] {low, high}, new double[] {level.value(), level.value()});
            line.setMarker(SeriesMarkers.NONE);
            line.setLineColor(LEVEL);
            line.setLineStyle(level.name().equals("bias") ? new BasicStroke(1.6f) : dashed());
        }
        return BitmapEncoder.getBufferedImage(chart);
    }

    /** A curve in the unit square with the diagonal, as of a receiver operating characteristic. */
    public static BufferedImage unitCurve(double[] x, double[] y, String xAxis, String yAxis) {
        XYChart chart = chart(xAxis, yAxis);
        chart.getStyler().setXAxisMin(0.0);
        chart.getStyler().setXAxisMax(1.0);
        chart.getStyler().setYAxisMin(0.0);
        chart.getStyler().setYAxisMax(1.0);
        XYSeries curve = chart.addSeries("curve", x, y);
        curve.setMarker(SeriesMarkers.NONE);
        curve.setLineColor(COLOURS[0]);
        curve.setLineStyle(new BasicStroke(2f));
        XYSeries diagonal = chart.addSeries("chance", new double[] {0, 1}, new double[] {0, 1});
        diagonal.setMarker(SeriesMarkers.NONE);
        diagonal.setLineColor(LEVEL);
        diagonal.setLineStyle(dashed());
        return BitmapEncoder.getBufferedImage(chart);
    }

    /** A named course over time, in the order of time. */
    public record Curve(String name, List<Double> times, List<Double> values) {
        public Curve {
            times = List.copyOf(times);
            values = List.copyOf(values);
        }
    }

    /** Up to three courses over time, told apart by line and marker as well as by colour. */
    static BufferedImage curves(List<Curve> curves, String xAxis, String yAxis) {
        XYChart chart = chart(xAxis, yAxis);
        chart.getStyler().setLegendVisible(true);
        // below: inside it would lie on a course
        chart.getStyler().setLegendPosition(Styler.LegendPosition.OutsideS);
        chart.getStyler().setLegendLayout(Styler.LegendLayout.Horizontal);
        chart.getStyler().setLegendBorderColor(Color.WHITE);
        chart.getStyler().setLegendFont(ReportFont.regular(13));
        chart.getStyler().setLegendSeriesLineLength(36);
        for (int i = 0; i < curves.size(); i++) {
            Curve curve = curves.get(i);
            XYSeries series = chart.addSeries(curve.name(), curve.times(), curve.values());
            series.setMarker(i == 0 ? SeriesMarkers.CIRCLE : i == 1 ? SeriesMarkers.SQUARE : SeriesMarkers.TRIANGLE_UP);
            series.setLineColor(COLOURS[i]);
            series.setMarkerColor(COLOURS[i]);
            series.setLineStyle(i == 0 ? new BasicStroke(2.2f) : dashed());
        }
        return BitmapEncoder.getBufferedImage(chart);
    }

    private static BasicStroke dashed() {
        return new BasicStroke(1.2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 1, new float[] {6, 4}, 0);
    }

    private static XYChart chart(String xAxis, String yAxis) {
        XYChart chart = new XYChartBuilder()
                .width(560)
                .height(360)
                .xAxisTitle(xAxis)
                .yAxisTitle(yAxis)
                .build();
        style(chart.getStyler());
        chart.getStyler().setAxisTitleFont(ReportFont.regular(14));
        chart.getStyler().setPlotGridLinesColor(new Color(0xe6e6e6));
        return chart;
    }

    static void style(Styler style) {
        style.setChartBackgroundColor(Color.WHITE);
        style.setPlotBackgroundColor(Color.WHITE);
        style.setPlotBorderVisible(false);
        style.setLegendVisible(false);
        style.setChartTitleVisible(false);
        style.setSeriesColors(COLOURS);
        style.setDecimalPattern("0.##");
        style.setBaseFont(ReportFont.regular(13));
    }
}
