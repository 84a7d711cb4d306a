// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.nifti;

import java.io.BufferedInputStream;
import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.zip.GZIPInputStream;
import java.util.zip.ZipException;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;

/** Reads NIfTI files: {@code .nii}, {@code .nii.gz}, or a pair {@code .hdr} and {@code .img} named by either file. */
public final class NiftiReader {
    // A deflate stream cannot grow by more: RFC 1951, a 258-byte match in 2 bits. Bounds what a small file may ask for.
    private static final long DEFLATE_LIMIT = 1032;

    private NiftiReader() {}

    /**
     * What a file holds.
     *
     * @param volumes one per index of the fourth axis, all on one grid
     * @param decisions what the file left open and how it was read; for the report
     */
    public record Content(List<Volume> volumes, List<String> decisions) {}

    /** Whether the name is that of a NIfTI file. */
    public static boolean isNamedSo(Path file) {
        String name = file.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.endsWith(".nii") || name.endsWith(".nii.gz") || name.endsWith(".hdr") || name.endsWith(".img");
    }

    /**
     * Reads the one volume of a file.
     *
     * @throws InputException if the file is not usable or holds several volumes
     */
    public static Volume read(Path file) throws InputException {
        Content content = readAll(file);
        if (content.volumes().size() != 1)
            throw new InputException(file, "dim[4]", content.volumes().size() + " volumes", "one volume");
        return content.volumes().get(0);
    }

    /**
     * Reads a region: voxels are 0 outside it and all of one other value inside.
     *
     * @throws InputException if the file is not usable or holds more than two values
     */
    public static Mask readMask(Path file) throws InputException {
        Volume volume = read(file);
        float[] values = volume.voxels();
        byte[] region = new byte[values.length];
        float inside = 0;
        for (int i = 0; i < values.length; i++) {
            if (values[i] == 0) continue;
            if (inside == 0) inside = values[i];
            if (values[i] != inside)
                throw new InputException(
                        file, "voxels", "the values " + inside + " and " + values[i], "0 and one other value");
            region[i] = 1;
        }
        return new Mask(volume.grid(), region);
    }

    /** The grid of a file, from its header alone. */
    public static Grid readGrid(Path file) throws InputException {
        if (!Files.isRegularFile(file)) throw new InputException(file, "", "no such file", "a NIfTI file");
        Path headerFile = twin(file, ".img", ".hdr");
        try (InputStream in = open(headerFile)) {
            return NiftiHeader.parse(header(in, headerFile), headerFile).grid();
        } catch (EOFException | ZipException e) {
            throw new InputException(file, "", "a file that ends early or is damaged", "a whole NIfTI file");
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a NIfTI file");
        }
    }

    /** Reads all volumes of a file. */
    public static Content readAll(Path file) throws InputException {
        if (!Files.isRegularFile(file)) throw new InputException(file, "", "no such file", "a NIfTI file");
        try {
            Path headerFile = twin(file, ".img", ".hdr");
            try (InputStream in = open(headerFile)) {
                byte[] bytes = header(in, headerFile);
                NiftiHeader header = NiftiHeader.parse(bytes, headerFile);
                if (header.inSameFile()) {
                    in.skipNBytes(header.voxelOffset() - bytes.length);
                    return new Content(voxels(in, header, headerFile), header.decisions());
                }
                Path voxelFile = twin(headerFile, ".hdr", ".img");
                try (InputStream voxels = open(voxelFile)) {
                    return new Content(voxels(voxels, header, voxelFile), header.decisions());
                }
            }
        } catch (EOFException | ZipException e) {
            throw new InputException(file, "", "a file that ends early or is damaged", "a whole NIfTI file");
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a NIfTI file");
        }
    }

    private static byte[] header(InputStream in, Path file) throws IOException, InputException {
        byte[] first = in.readNBytes(4);
        if (first.length < 4) throw new EOFException();
        int length = NiftiHeader.length(first)
                .orElseThrow(() -> new InputException(
                        file, "sizeof_hdr", "no NIfTI header", "a header of 348 (NIfTI-1) or 540 bytes (NIfTI-2)"));
        byte[] bytes = new byte[length];
        System.arraycopy(first, 0, bytes, 0, 4);
        if (in.readNBytes(bytes, 4, length - 4) < length - 4) throw new EOFException();
        return bytes;
    }

    private static List<Volume> voxels(InputStream in, NiftiHeader header, Path file)
            throws IOException, InputException {
        Grid grid = header.grid();
        int bytesPerVoxel = header.type().bytes;
        long needed = (long) grid.size().voxels() * bytesPerVoxel * header.frames();
        long most = isGzip(file) ? Files.size(file) * DEFLATE_LIMIT : Files.size(file);
        if (needed > most)
            throw new InputException(
                    file,
                    "dim",
                    "a file of " + Files.size(file) + " bytes",
                    needed + " bytes of voxels for " + header.frames() + " × " + grid.size());
        List<Volume> volumes = new ArrayList<>();
        // A slice at a time, so that no second copy of the volume is needed.
        int slice = grid.size().x() * grid.size().y();
        byte[] raw = new byte[Math.multiplyExact(slice, bytesPerVoxel)];
        ByteBuffer buffer = ByteBuffer.wrap(raw).order(header.order());
        for (int frame = 0; frame < header.frames(); frame++) {
            float[] voxels = new float[grid.size().voxels()];
            for (int z = 0; z < grid.size().z(); z++) {
                if (in.readNBytes(raw, 0, raw.length) < raw.length) throw new EOFException();
                for (int i = 0; i < slice; i++)
                    voxels[z * slice + i] = (float)
                            (header.slope() * header.type().value(buffer, i * bytesPerVoxel) + header.intercept());
            }
            volumes.add(new Volume(grid, voxels));
        }
        // Past the last voxel a packed file has its checksum, which only reading on verifies.
        in.read();
        return List.copyOf(volumes);
    }

    private static InputStream open(Path file) throws IOException {
        InputStream in = new BufferedInputStream(Files.newInputStream(file), 1 << 16);
        return isGzip(file) ? new BufferedInputStream(new GZIPInputStream(in, 1 << 16), 1 << 16) : in;
    }

    // By content: a name may lie.
    private static boolean isGzip(Path file) throws IOException {
        try (InputStream in = Files.newInputStream(file)) {
            return in.read() == 0x1f && in.read() == 0x8b;
        }
    }

    private static Path twin(Path file, String from, String to) throws InputException {
        String name = file.getFileName().toString();
        String lower = name.toLowerCase(Locale.ROOT);
        String packed = lower.endsWith(".gz") ? name.substring(name.length() - 3) : "";
        String bare = name.substring(0, name.length() - packed.length());
        if (!bare.toLowerCase(Locale.ROOT).endsWith(from)) return file;
        String stem = bare.substring(0, bare.length() - from.length());
        for (String ending : List.of(to + packed, to, to.toUpperCase(Locale.ROOT), to + ".gz")) {
            Path other = file.resolveSibling(stem + ending);
            if (Files.isRegularFile(other)) return other;
        }
        throw new InputException(file, "", "no " + stem + to + " beside it", "a pair of .hdr and .img");
    }
}
