// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.nifti;

import java.nio.ByteBuffer;

/** How a voxel is stored. Code and width as in nifti1.h, field {@code datatype}. */
enum VoxelType {
    UINT8(2, 1) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.get(at) & 0xff;
        }
    },
    INT16(4, 2) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getShort(at);
        }
    },
    INT32(8, 4) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getInt(at);
        }
    },
    FLOAT32(16, 4) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getFloat(at);
        }
    },
    FLOAT64(64, 8) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getDouble(at);
        }
    },
    INT8(256, 1) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.get(at);
        }
    },
    UINT16(512, 2) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getShort(at) & 0xffff;
        }
    },
    UINT32(768, 4) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getInt(at) & 0xffffffffL;
        }
    },
    INT64(1024, 8) {
        @Override
        double value(ByteBuffer from, int at) {
            return from.getLong(at);
        }
    },
    UINT64(1280, 8) {
        @Override
        double value(ByteBuffer from, int at) {
            long bits = from.getLong(at);
            return bits >= 0 ? bits : (bits >>> 1) * 2.0;
        }
    };

    final int code;
    final int bytes;

    VoxelType(int code, int bytes) {
        this.code = code;
        this.bytes = bytes;
    }

    abstract double value(ByteBuffer from, int at);
}
