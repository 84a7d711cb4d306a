// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/** A picture of the report: file name without ending, what it shows, and the picture as PNG. */
public final class Figure {
    /** How {@link #paperUri} begins. */
    static final String PAPER = "picture";

    private static final String PNG_ENDING = ".png";

    // PNG specification, 5.2
    private static final byte[] PNG = {(byte) 137, 'P', 'N', 'G', 13, 10, 26, 10};

    private final String name;
    private final String caption;
    private final byte[] png;

    public Figure(String name, String caption, BufferedImage image) {
        this(name, caption, Png.of(image));
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

    /** For a page that goes to the PDF writer, which is handed the picture beside it. */
    public String paperUri() {
        return PAPER + ":" + name;
    }

    /** Each as a file of its name in a new folder. */
    public static void write(Path folder, List<Figure> figures) throws IOException {
        Files.createDirectory(folder);
        for (Figure figure : figures) Files.write(folder.resolve(figure.name + PNG_ENDING), figure.png);
    }

    /** Removes what a former run left: the folder's pictures other than these. Files that are no PNG stay. */
    public static void removeOthers(Path folder, List<Figure> figures) throws IOException {
        Set<String> kept =
                figures.stream().map(figure -> figure.name + PNG_ENDING).collect(Collectors.toSet());
        try (DirectoryStream<Path> pictures = Files.newDirectoryStream(folder, "*" + PNG_ENDING)) {
            for (Path picture : pictures)
                if (!kept.contains(picture.getFileName().toString()) && Files.isRegularFile(picture))
                    Files.delete(picture);
        }
    }
}
