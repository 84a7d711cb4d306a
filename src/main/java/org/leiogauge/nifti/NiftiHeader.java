// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.nifti;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.task.InputException;

/**
 * What the header of a NIfTI file says, checked. Field names as in nifti1.h and nifti2.h.
 *
 * @param frames number of volumes along the fourth axis
 * @param inSameFile voxels follow in the same file, at {@code voxelOffset}
 * @param decisions what the header left open and how it was read
 */
record NiftiHeader(
        ByteOrder order,
        VoxelType type,
        Grid grid,
        int frames,
        long voxelOffset,
        double slope,
        double intercept,
        boolean inSameFile,
        List<String> decisions) {

    static final int BYTES_1 = 348;
    static final int BYTES_2 = 540;

    /** Length of the header that begins with these four bytes; none if it is no NIfTI header. */
    static Optional<Integer> length(byte[] firstFour) {
        for (ByteOrder order : List.of(ByteOrder.LITTLE_ENDIAN, ByteOrder.BIG_ENDIAN)) {
            int size = ByteBuffer.wrap(firstFour).order(order).getInt(0);
            if (size == BYTES_1 || size == BYTES_2) return Optional.of(size);
        }
        return Optional.empty();
    }

    static NiftiHeader parse(byte[] bytes, Path file) throws InputException {
        return new Parser(ByteBuffer.wrap(bytes), file).parse();
    }

    /** Reads the fields from where the format's version has them. */
    private static final class Parser {
        private final ByteBuffer bytes;
        private final Path file;
        private final boolean second;
        private final List<String> decisions = new ArrayList<>();

        Parser(ByteBuffer bytes, Path file) {
            this.bytes = bytes;
            this.file = file;
            this.second = bytes.capacity() == BYTES_2;
            bytes.order(ByteOrder.LITTLE_ENDIAN);
            if (bytes.getInt(0) != bytes.capacity()) bytes.order(ByteOrder.BIG_ENDIAN);
        }

        NiftiHeader parse() throws InputException {
            boolean inSameFile = magic();
            long[] dim = new long[8];
            for (int i = 0; i < 8; i++) dim[i] = second ? bytes.getLong(16 + 8 * i) : bytes.getShort(40 + 2 * i);
            if (dim[0] < 1 || dim[0] > 7) throw wrong("dim[0]", dim[0], "1 to 7 axes");
            for (int i = (int) dim[0] + 1; i < 8; i++) dim[i] = 1;
            for (int i = 1; i < 8; i++) if (dim[i] < 1) throw wrong("dim[" + i + "]", dim[i], "1 or more");
            if (dim[5] * dim[6] * dim[7] != 1)
                throw wrong("dim", Arrays.toString(dim), "at most four axes longer than 1");
            VoxelType type = type();
            Grid grid = grid(size(dim));
            if (dim[4] > 100_000) throw wrong("dim[4]", dim[4], "at most 100 000 volumes");
            double slope = real(second ? 176 : 112, second);
            double intercept = real(second ? 184 : 116, second);
            boolean scaled = slope != 0 && Double.isFinite(slope) && Double.isFinite(intercept);
            return new NiftiHeader(
                    bytes.order(),
                    type,
                    grid,
                    (int) dim[4],
                    inSameFile ? voxelOffset() : 0,
                    scaled ? slope : 1,
                    scaled ? intercept : 0,
                    inSameFile,
                    List.copyOf(decisions));
        }

        private boolean magic() throws InputException {
            byte[] magic = new byte[4];
            bytes.get(second ? 4 : 344, magic);
            String text = new String(magic, StandardCharsets.ISO_8859_1);
            String version = second ? "2" : "1";
            if (text.equals("n+" + version + "\0")) return true;
            if (text.equals("ni" + version + "\0")) return false;
            throw wrong("magic", "'" + text.replace('\0', ' ').trim() + "'", "n+" + version + " or ni" + version);
        }

        private long voxelOffset() throws InputException {
            double offset = second ? bytes.getLong(168) : bytes.getFloat(108);
            if (!(offset >= bytes.capacity() && offset < 1 << 30))
                throw wrong("vox_offset", offset, "at least the header's " + bytes.capacity() + " bytes");
            return (long) offset;
        }

        private VoxelType type() throws InputException {
            int code = bytes.getShort(second ? 12 : 70);
            for (VoxelType type : VoxelType.values()) if (type.code == code) return type;
            throw wrong("datatype", code, "an integer or float type of up to 64 bits");
        }

        private Size size(long[] dim) throws InputException {
            if (dim[1] > Integer.MAX_VALUE || dim[2] > Integer.MAX_VALUE || dim[3] > Integer.MAX_VALUE)
                throw wrong("dim", Arrays.toString(dim), "fewer than 2³¹ voxels");
            try {
                return new Size((int) dim[1], (int) dim[2], (int) dim[3]);
            } catch (IllegalArgumentException e) {
                throw wrong("dim", Arrays.toString(dim), "fewer than 2³¹ voxels");
            }
        }

        // nifti1.h, "3D IMAGE (VOLUME) ORIENTATION AND LOCATION IN SPACE": method 3 before 2 before 1.
        private Grid grid(Size size) throws InputException {
            int qform = second ? bytes.getInt(344) : bytes.getShort(252);
            int sform = second ? bytes.getInt(348) : bytes.getShort(254);
            double mm = millimetres();
            if (sform > 0) return grid(size, sform(), mm, "sform");
            if (qform > 0) return grid(size, qform(), mm, "qform");
            decisions.add("neither sform nor qform is set: axes taken as right, front, head, first voxel at 0, 0, 0");
            double[][] plain = {
                {pixdim(1), 0, 0, 0},
                {0, pixdim(2), 0, 0},
                {0, 0, pixdim(3), 0}
            };
            return grid(size, plain, mm, "pixdim");
        }

        private double[][] sform() {
            double[][] rows = new double[3][4];
            for (int r = 0; r < 3; r++)
                for (int c = 0; c < 4; c++)
                    rows[r][c] = second ? bytes.getDouble(400 + 32 * r + 8 * c) : bytes.getFloat(280 + 16 * r + 4 * c);
            return rows;
        }

        private double[][] qform() {
            int at = second ? 352 : 256;
            double b = real(at, second);
            double c = real(at + (second ? 8 : 4), second);
            double d = real(at + (second ? 16 : 8), second);
            double[] offset = {
                real(at + (second ? 24 : 12), second),
                real(at + (second ? 32 : 16), second),
                real(at + (second ? 40 : 20), second)
            };
            double a = Math.sqrt(Math.max(0, 1 - (b * b + c * c + d * d)));
            double[][] rotation = {
                {a * a + b * b - c * c - d * d, 2 * (b * c - a * d), 2 * (b * d + a * c)},
                {2 * (b * c + a * d), a * a + c * c - b * b - d * d, 2 * (c * d - a * b)},
                {2 * (b * d - a * c), 2 * (c * d + a * b), a * a + d * d - b * b - c * c}
            };
            double handed = pixdim(0) < 0 ? -1 : 1;
            double[][] rows = new double[3][4];
            for (int r = 0; r < 3; r++) {
                rows[r][0] = rotation[r][0] * pixdim(1);
                rows[r][1] = rotation[r][1] * pixdim(2);
                rows[r][2] = rotation[r][2] * pixdim(3) * handed;
                rows[r][3] = offset[r];
            }
            return rows;
        }

        private double pixdim(int axis) {
            double length = second ? bytes.getDouble(104 + 8 * axis) : bytes.getFloat(76 + 4 * axis);
            return axis > 0 && length == 0 ? 1 : length;
        }

        private double millimetres() throws InputException {
            int unit = (second ? bytes.getInt(500) : bytes.get(123)) & 0x07;
            switch (unit) {
                case 0:
                    decisions.add("the unit of length is not set: taken as mm");
                    return 1;
                case 1:
                    return 1000;
                case 2:
                    return 1;
                case 3:
                    return 0.001;
                default:
                    throw wrong("xyzt_units", unit, "metre, millimetre or micrometre");
            }
        }

        private Grid grid(Size size, double[][] ras, double mm, String field) throws InputException {
            try {
                Vector x = column(ras, 0, mm);
                Vector y = column(ras, 1, mm);
                Vector z = column(ras, 2, mm);
                return new Grid(
                        size,
                        new Spacing(x.length(), y.length(), z.length()),
                        new DirectionCosines(x.unit(), y.unit(), z.unit()),
                        new Point(-ras[0][3] * mm, -ras[1][3] * mm, ras[2][3] * mm));
            } catch (IllegalArgumentException e) {
                throw wrong(field, e.getMessage(), "axes of positive length at right angles");
            }
        }

        private static Vector column(double[][] ras, int axis, double mm) {
            return new Vector(-ras[0][axis] * mm, -ras[1][axis] * mm, ras[2][axis] * mm);
        }

        private double real(int at, boolean asDouble) {
            return asDouble ? bytes.getDouble(at) : bytes.getFloat(at);
        }

        private InputException wrong(String field, Object found, String expected) {
            return new InputException(file, field, String.valueOf(found), expected);
        }
    }
}
