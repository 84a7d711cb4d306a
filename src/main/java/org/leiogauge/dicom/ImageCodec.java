// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import com.github.jaiimageio.jpeg2000.impl.J2KImageReaderSpi;
import com.twelvemonkeys.imageio.plugins.jpeg.JPEGImageReaderSpi;
import java.awt.image.Raster;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.Optional;
import javax.imageio.ImageReader;
import javax.imageio.spi.IIORegistry;
import javax.imageio.spi.ImageReaderSpi;
import javax.imageio.stream.MemoryCacheImageInputStream;

/** Pictures that an image library decodes: JPEG with 8 bits, JPEG 2000. */
final class ImageCodec {
    private static final int MOST_TILES = 65535; // ISO/IEC 15444-1 A.5.1

    private ImageCodec() {}

    /** Grey values of a JPEG baseline or extended picture with 8 bits; nothing if the code is broken. */
    static Optional<short[]> jpeg(byte[] code, JpegFrame frame) {
        return decode(() -> jpegReader().createReaderInstance(null), code, frame.rows(), frame.columns());
    }

    /** Grey values of a JPEG 2000 picture; nothing if the code is broken or its size is another. */
    static Optional<short[]> jpeg2000(byte[] code, int rows, int columns) {
        if (!isSound(code, rows, columns)) return Optional.empty();
        return decode(() -> new J2KImageReaderSpi().createReaderInstance(null), code, rows, columns);
    }

    // Not asked of the registry: that of a host's Java does not know what lies in a plugin's jar.
    private static ImageReaderSpi jpegReader() {
        JPEGImageReaderSpi reader = new JPEGImageReaderSpi();
        // finds Java's own reader there, which it builds on
        reader.onRegistration(IIORegistry.getDefaultInstance(), ImageReaderSpi.class);
        return reader;
    }

    // ISO/IEC 15444-1 A.5.1: SOC, then SIZ with the size of the picture and of its tiles
    private static boolean isSound(byte[] code, int rows, int columns) {
        if (code.length < 45 || JpegFrame.word(code, 0) != 0xFF4F || JpegFrame.word(code, 2) != 0xFF51) return false;
        long width = number(code, 8) - number(code, 16);
        long height = number(code, 12) - number(code, 20);
        long tileWidth = number(code, 24);
        long tileHeight = number(code, 28);
        if (width != columns || height != rows || tileWidth == 0 || tileHeight == 0) return false;
        if (number(code, 16) != 0 || number(code, 20) != 0 || JpegFrame.word(code, 40) != 1) return false;
        if ((code[42] & 0x7F) > 15) return false;
        return ((width + tileWidth - 1) / tileWidth) * ((height + tileHeight - 1) / tileHeight) <= MOST_TILES;
    }

    private static long number(byte[] code, int at) {
        return (long) JpegFrame.word(code, at) << 16 | JpegFrame.word(code, at + 2);
    }

    private static Optional<short[]> decode(Source source, byte[] code, int rows, int columns) {
        try (MemoryCacheImageInputStream in = new MemoryCacheImageInputStream(new ByteArrayInputStream(code))) {
            ImageReader reader = source.open();
            try {
                reader.setInput(in, true, true);
                Raster raster = reader.canReadRaster()
                        ? reader.readRaster(0, null)
                        : reader.read(0).getRaster();
                return samples(raster, rows, columns);
            } finally {
                reader.dispose();
            }
        } catch (IOException | RuntimeException e) {
            // the libraries throw what they come across when the code is broken
            return Optional.empty();
        }
    }

    private static Optional<short[]> samples(Raster raster, int rows, int columns) {
        if (raster.getWidth() != columns || raster.getHeight() != rows || raster.getNumBands() != 1)
            return Optional.empty();
        int[] values = raster.getSamples(0, 0, columns, rows, 0, (int[]) null);
        short[] samples = new short[values.length];
        for (int i = 0; i < values.length; i++) samples[i] = (short) values[i];
        return Optional.of(samples);
    }

    @FunctionalInterface
    private interface Source {
        ImageReader open() throws IOException;
    }
}
