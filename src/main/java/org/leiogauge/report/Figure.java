// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Base64;
import java.util.List;

/** A picture of the report: file name without ending, what it shows, and the picture as PNG. */
public final class Figure {
    private final String name;
    private final String caption;
    private final byte[] png;

    public Figure(String name, String caption, BufferedImage image) {
        this.name = name;
        this.caption = caption;
        this.png = Png.of(image);
    }

    public String name() {
        return name;
    }

    public String caption() {
        return caption;
    }

    /** The bytes of the PNG file; a copy. */
    public byte[] png() {
        return png.clone();
    }

    /** For a self-contained page. */
    public String dataUri() {
        return "data:image/png;base64," + Base64.getEncoder().encodeToString(png);
    }

    /** Each as a file of its name in a new folder. */
    public static void write(Path folder, List<Figure> figures) throws IOException {
        Files.createDirectory(folder);
        for (Figure figure : figures) Files.write(folder.resolve(figure.name + ".png"), figure.png);
    }
}
