// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipInputStream;
import java.util.zip.ZipOutputStream;

/** A folder as bytes, on its way from the machine that measured to the one that keeps. */
final class Packed {
    private static final long MOST_BYTES = 1L << 29;

    private Packed() {}

    static byte[] pack(Path folder) throws IOException {
        List<Path> files;
        try (Stream<Path> all = Files.walk(folder)) {
            files = all.filter(Files::isRegularFile).sorted().toList();
        }
        long size = 0;
        for (Path file : files) size += Files.size(file);
        if (size > MOST_BYTES)
            throw new IOException("the results of a case have " + size + " bytes, " + MOST_BYTES
                    + " at most go through Spark; let --out be a folder that all machines share");
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
            for (Path file : files) {
                zip.putNextEntry(new ZipEntry(folder.relativize(file).toString().replace('\\', '/')));
                Files.copy(file, zip);
            }
        }
        return bytes.toByteArray();
    }

    static void unpack(byte[] packed, Path folder) throws IOException {
        try (ZipInputStream zip = new ZipInputStream(new ByteArrayInputStream(packed))) {
            for (ZipEntry entry = zip.getNextEntry(); entry != null; entry = zip.getNextEntry()) {
                Path file = folder.resolve(entry.getName()).normalize();
                if (!file.startsWith(folder)) throw new IOException(entry.getName() + " lies outside its folder");
                Files.createDirectories(file.getParent());
                Files.copy(zip, file);
            }
        }
    }
}
