// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import javax.imageio.ImageIO;
import org.leiogauge.image.Index;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * All series of a preset side by side, as slices through the lesion's centre, 170 mm wide about it. Run {@code main} with a
 * folder, and names of presets or none for all, to draw them anew.
 */
final class ContactSheet {
    private static final int SIDE = 176;
    private static final int GAP = 4;
    private static final int HEAD = 16;
    private static final int COLUMNS = 6;
    private static final double WIDTH_MM = 170;
    // Fewer grey levels keep the files small: noise does not compress.
    private static final int GREYS = 40;

    private ContactSheet() {}

    private record Panel(String label, Volume volume, double white) {}

    public static void main(String[] arguments) throws IOException {
        System.setProperty("java.awt.headless", "true");
        List<String> wanted = Arrays.asList(arguments).subList(1, arguments.length);
        try (Workers workers = Workers.of(2)) {
            for (Preset preset : Preset.values())
                if (wanted.isEmpty() || wanted.contains(preset.key())) write(preset, Path.of(arguments[0]), workers);
        }
    }

    private static void write(Preset preset, Path folder, Workers workers) throws IOException {
        PhantomSettings settings = preset.settings();
        List<Panel> panels = new ArrayList<>();
        for (SeriesImages series : StudyImages.render(settings, Anatomy.of(settings, workers), workers, Progress.NONE))
            panels.addAll(panels(settings, series, workers));
        Files.createDirectories(folder);
        ImageIO.write(
                sheet(preset, settings, panels),
                "png",
                folder.resolve(preset.key() + ".png").toFile());
    }

    private static List<Panel> panels(PhantomSettings settings, SeriesImages series, Workers workers) {
        List<Volume> images = series.images();
        SeriesSettings s = series.settings();
        List<Panel> panels = new ArrayList<>();
        switch (s.kind()) {
            case T2 -> panels.add(new Panel("T2", images.get(0), white(settings, images)));
            case T1 ->
                panels.add(new Panel(s.fatSuppressed() ? "T1 fat sat" : "T1", images.get(0), white(settings, images)));
            case DWI -> {
                for (int i : new int[] {0, images.size() - 1})
                    panels.add(new Panel(
                            "DWI b " + s.bValues().get(i).intValue(),
                            images.get(i),
                            white(settings, List.of(images.get(i)))));
                panels.add(new Panel("ADC 0-3", ScannerAdc.of(series, settings.scanner(), workers), 3000));
            }
            case DYNAMIC -> {
                for (int i = 0; i < images.size(); i++)
                    panels.add(new Panel(
                            i == 0
                                    ? "pre contrast"
                                    : s.phaseSeconds().get(i - 1).intValue() + " s",
                            images.get(i),
                            white(settings, images)));
            }
        }
        return panels;
    }

    // The 99.5th percentile of what is shown of all of them.
    private static double white(PhantomSettings settings, List<Volume> images) {
        double[] all = images.stream()
                .flatMapToDouble(image -> Arrays.stream(shown(settings, image)))
                .sorted()
                .toArray();
        return Math.max(1, all[(int) (0.995 * (all.length - 1))]);
    }

    private static double[] shown(PhantomSettings settings, Volume volume) {
        Index centre = volume.grid().index(settings.lesions().get(0).centre());
        int z = (int) Math.rint(centre.z());
        double step = WIDTH_MM / SIDE / volume.grid().spacing().x();
        double[] pixels = new double[SIDE * SIDE];
        for (int i = 0; i < pixels.length; i++)
            pixels[i] = linear(
                    volume,
                    centre.x() + (i % SIDE - SIDE / 2.0) * step,
                    centre.y() + (i / SIDE - SIDE / 2.0) * step,
                    z);
        return pixels;
    }

    private static double linear(Volume volume, double x, double y, int z) {
        int i = (int) Math.floor(x);
        int j = (int) Math.floor(y);
        if (i < 0
                || j < 0
                || i + 1 >= volume.grid().size().x()
                || j + 1 >= volume.grid().size().y()) return 0;
        double a = x - i;
        double b = y - j;
        return (1 - b) * ((1 - a) * volume.at(i, j, z) + a * volume.at(i + 1, j, z))
                + b * ((1 - a) * volume.at(i, j + 1, z) + a * volume.at(i + 1, j + 1, z));
    }

    private static BufferedImage sheet(Preset preset, PhantomSettings settings, List<Panel> panels) {
        int rows = (panels.size() + COLUMNS - 1) / COLUMNS;
        BufferedImage sheet = new BufferedImage(
                COLUMNS * (SIDE + GAP), HEAD + rows * (SIDE + HEAD + GAP), BufferedImage.TYPE_BYTE_GRAY);
        Graphics2D g = sheet.createGraphics();
        g.setFont(new Font(Font.SANS_SERIF, Font.PLAIN, 11));
        g.setColor(Color.WHITE);
        g.drawString(preset.title(), 4, 12);
        for (int i = 0; i < panels.size(); i++) {
            int x = i % COLUMNS * (SIDE + GAP);
            int y = HEAD + i / COLUMNS * (SIDE + HEAD + GAP);
            g.drawString(panels.get(i).label, x + 4, y + 12);
            draw(sheet, x, y + HEAD, shown(settings, panels.get(i).volume), panels.get(i).white);
        }
        g.dispose();
        return sheet;
    }

    private static void draw(BufferedImage sheet, int x, int y, double[] pixels, double white) {
        for (int i = 0; i < pixels.length; i++) {
            int level = (int) (GREYS * Math.min(1, pixels[i] / white));
            sheet.getRaster().setSample(x + i % SIDE, y + i / SIDE, 0, level * 255 / GREYS);
        }
    }
}
