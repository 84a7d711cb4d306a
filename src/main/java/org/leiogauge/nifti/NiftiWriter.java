// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.nifti;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import java.util.zip.GZIPOutputStream;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.WholeFile;

/**
 * Writes NIfTI-1 files, little-endian, with sform and qform set to scanner coordinates: volumes as 32-bit float, masks as
 * unsigned bytes. A name that ends in {@code .gz} is compressed.
 */
public final class NiftiWriter {
    private static final int OFFSET = 352;
    private static final short LONGEST_AXIS = Short.MAX_VALUE;
    private static final int SCANNER = 1;
    private static final byte MILLIMETRES = 2;

    private NiftiWriter() {}

    public static void write(Path file, Volume volume) throws IOException {
        byte[] header = header(volume.grid(), VoxelType.FLOAT32);
        float[] voxels = volume.voxels();
        int slice = volume.grid().size().x() * volume.grid().size().y();
        ByteBuffer buffer = ByteBuffer.allocate(4 * slice).order(ByteOrder.LITTLE_ENDIAN);
        write(file, out -> {
            out.write(header);
            for (int from = 0; from < voxels.length; from += slice) {
                buffer.asFloatBuffer().put(voxels, from, slice);
                out.write(buffer.array());
            }
        });
    }

    public static void write(Path file, Mask mask) throws IOException {
        byte[] header = header(mask.grid(), VoxelType.UINT8);
        write(file, out -> {
            out.write(header);
            out.write(mask.voxels());
        });
    }

    private static void write(Path file, WholeFile.Content content) throws IOException {
        boolean packed = file.toString().toLowerCase(Locale.ROOT).endsWith(".gz");
        WholeFile.write(file, out -> {
            if (!packed) {
                content.writeTo(out);
                return;
            }
            OutputStream gzip = new GZIPOutputStream(out, 1 << 16);
            content.writeTo(gzip);
            gzip.close();
        });
    }

    private static byte[] header(Grid grid, VoxelType type) {
        int[] size = {grid.size().x(), grid.size().y(), grid.size().z()};
        for (int length : size)
            if (length > LONGEST_AXIS)
                throw new IllegalArgumentException("an axis of NIfTI-1 holds up to 32767 voxels, got " + grid.size());
        ByteBuffer h = ByteBuffer.allocate(OFFSET).order(ByteOrder.LITTLE_ENDIAN);
        h.putInt(0, NiftiHeader.BYTES_1);
        h.putShort(40, (short) 3);
        for (int i = 0; i < 3; i++) h.putShort(42 + 2 * i, (short) size[i]);
        for (int i = 3; i < 7; i++) h.putShort(42 + 2 * i, (short) 1);
        h.putShort(70, (short) type.code);
        h.putShort(72, (short) (8 * type.bytes));
        h.putFloat(80, (float) grid.spacing().x());
        h.putFloat(84, (float) grid.spacing().y());
        h.putFloat(88, (float) grid.spacing().z());
        h.putFloat(108, OFFSET);
        h.putFloat(112, 1);
        h.put(123, MILLIMETRES);
        putSform(h, grid);
        putQform(h, grid);
        h.put(344, "n+1\0".getBytes(StandardCharsets.US_ASCII));
        return h.array();
    }

    private static void putSform(ByteBuffer h, Grid grid) {
        Vector x = grid.stepX();
        Vector y = grid.stepY();
        Vector z = grid.stepZ();
        double[][] ras = {
            {-x.x(), -y.x(), -z.x(), -grid.origin().x()},
            {-x.y(), -y.y(), -z.y(), -grid.origin().y()},
            {x.z(), y.z(), z.z(), grid.origin().z()}
        };
        h.putShort(254, (short) SCANNER);
        for (int r = 0; r < 3; r++) for (int c = 0; c < 4; c++) h.putFloat(280 + 16 * r + 4 * c, (float) ras[r][c]);
    }

    // nifti1.h, method 2: a rotation as a quaternion, and the sign of the third axis in pixdim[0].
    private static void putQform(ByteBuffer h, Grid grid) {
        Vector x = ras(grid.direction().x());
        Vector y = ras(grid.direction().y());
        Vector z = ras(grid.direction().z());
        double handed = x.cross(y).dot(z) < 0 ? -1 : 1;
        z = z.times(handed);
        double[] q = quaternion(x, y, z);
        h.putFloat(76, (float) handed);
        h.putShort(252, (short) SCANNER);
        for (int i = 0; i < 3; i++) h.putFloat(256 + 4 * i, (float) q[i + 1]);
        h.putFloat(268, (float) -grid.origin().x());
        h.putFloat(272, (float) -grid.origin().y());
        h.putFloat(276, (float) grid.origin().z());
    }

    private static Vector ras(Vector lps) {
        return new Vector(-lps.x(), -lps.y(), lps.z());
    }

    // Of the rotation with these columns, with a ≥ 0: the largest component first, for the sake of the others' digits.
    private static double[] quaternion(Vector x, Vector y, Vector z) {
        double[] squares = {
            1 + x.x() + y.y() + z.z(), 1 + x.x() - y.y() - z.z(), 1 - x.x() + y.y() - z.z(), 1 - x.x() - y.y() + z.z()
        };
        double ab = y.z() - z.y();
        double ac = z.x() - x.z();
        double ad = x.y() - y.x();
        double bc = y.x() + x.y();
        double bd = z.x() + x.z();
        double cd = z.y() + y.z();
        double[][] rows = {
            {squares[0], ab, ac, ad}, {ab, squares[1], bc, bd}, {ac, bc, squares[2], cd}, {ad, bd, cd, squares[3]}
        };
        int largest = 0;
        for (int i = 1; i < 4; i++) if (squares[i] > squares[largest]) largest = i;
        double[] q = rows[largest].clone();
        double length = Math.sqrt(q[0] * q[0] + q[1] * q[1] + q[2] * q[2] + q[3] * q[3]);
        double sign = q[0] < 0 ? -1 : 1;
        for (int i = 0; i < 4; i++) q[i] *= sign / length;
        return q;
    }
}
