// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import java.io.FileNotFoundException;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.hadoop.conf.Configuration;
import org.apache.hadoop.fs.FileStatus;
import org.apache.hadoop.fs.FileSystem;
import org.leiogauge.cohort.CohortManifest;

/**
 * Files on a Hadoop file system as paths: {@code hdfs://host/data/a} is the path {@code hdfs:/host/data/a}. Below the scheme
 * {@code file} there is no host. Any other path is one of this machine.
 */
final class HadoopPlaces implements CohortManifest.Places {
    private static final Pattern REMOTE = Pattern.compile("([A-Za-z][A-Za-z0-9+.-]+):/+(.*)");
    private static final String LOCAL_SCHEME = "file";

    private final Configuration configuration;

    HadoopPlaces(Configuration configuration) {
        this.configuration = configuration;
    }

    static boolean isRemote(String text) {
        return REMOTE.matcher(text).matches();
    }

    /** A place as the user writes it, with the host that the configuration says where none is given. */
    Path named(String text) throws IOException {
        org.apache.hadoop.fs.Path path = new org.apache.hadoop.fs.Path(text);
        return Path.of(path.getFileSystem(configuration).makeQualified(path).toString());
    }

    /** Where a path leads on Hadoop's side; none if it is a path of this machine. */
    static Optional<org.apache.hadoop.fs.Path> hadoop(Path path) {
        Matcher parts = REMOTE.matcher(path.toString());
        if (!parts.matches()) return Optional.empty();
        String before = parts.group(1).equals(LOCAL_SCHEME) ? ":///" : "://";
        return Optional.of(new org.apache.hadoop.fs.Path(parts.group(1) + before + parts.group(2)));
    }

    @Override
    public Path of(Path manifest, String cell) {
        try {
            if (isRemote(cell)) return named(cell).normalize();
            if (!cell.startsWith("/")) return manifest.resolveSibling(cell).normalize();
            URI root = hadoop(manifest).orElseThrow().toUri();
            return named(root.getScheme() + "://" + (root.getAuthority() == null ? "" : root.getAuthority()) + cell)
                    .normalize();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public boolean isThere(Path path) {
        return status(path).isPresent();
    }

    @Override
    public boolean isFile(Path path) {
        return status(path).map(FileStatus::isFile).orElse(false);
    }

    private Optional<FileStatus> status(Path path) {
        org.apache.hadoop.fs.Path there = hadoop(path).orElseThrow();
        try {
            return Optional.of(fileSystem(there).getFileStatus(there));
        } catch (FileNotFoundException e) {
            return Optional.empty();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    FileSystem fileSystem(org.apache.hadoop.fs.Path path) throws IOException {
        return path.getFileSystem(configuration);
    }

    /**
     * Copies one file.
     *
     * @param before bytes that were copied before
     * @param mostBytes of both together
     * @return the bytes of both
     */
    long copy(org.apache.hadoop.fs.Path from, Path to, long before, long mostBytes) throws IOException {
        Files.createDirectories(to.getParent());
        try (InputStream in = fileSystem(from).open(from);
                var out = Files.newOutputStream(to)) {
            byte[] block = new byte[1 << 16];
            long bytes = before;
            for (int read = in.read(block); read >= 0; read = in.read(block)) {
                bytes += read;
                if (bytes > mostBytes)
                    throw new IOException(
                            "with " + from + " it is more than " + mostBytes + " bytes, the most that are copied");
                out.write(block, 0, read);
            }
            return bytes;
        }
    }
}
