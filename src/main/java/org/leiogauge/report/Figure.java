// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import javax.imageio.ImageIO;
import javax.imageio.stream.MemoryCacheImageOutputStream;

/** A picture of the report: file name without ending, what it shows, and the picture as PNG. */
public final class Figure {
    // PNG specification, 5.2
    private static final byte[] PNG = {(byte) 137, 'P', 'N', 'G', 13, 10, 26, 10};

    private final String name;
    private final String caption;
    private final byte[] png;

    public Figure(String name, String caption, BufferedImage image) {
        this(name, caption, png(image));
    }

    private Figure(String name, String caption, byte[] png) {
        this.name = name;
        this.caption = caption;
        this.png = png;
    }

    /**
     * A picture that was written before.
     *
     * @throws IllegalArgumentException if the bytes do not begin as a PNG file does
     */
    public static Figure ofPng(String name, String caption, byte[] png) {
        if (!Arrays.equals(png, 0, Math.min(png.length, PNG.length), PNG, 0, PNG.length))
            throw new IllegalArgumentException("png must begin as a PNG file does");
        return new Figure(name, caption, png.clone());
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

    private static byte[] png(BufferedImage image) {
        try {
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            // not by way of a file on the disk
            try (MemoryCacheImageOutputStream memory = new MemoryCacheImageOutputStream(out)) {
                ImageIO.write(image, "png", memory);
            }
            return out.toByteArray();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
