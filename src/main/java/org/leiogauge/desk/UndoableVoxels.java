// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;

/**
 * A byte of bits per voxel, of which every change can be taken back and done again, without limit: a change is kept as the runs
 * of voxels that it altered. For one thread.
 */
final class UndoableVoxels {
    private final byte[] voxels;
    private final Deque<int[]> done = new ArrayDeque<>();
    private final Deque<int[]> undone = new ArrayDeque<>();
    private long version;

    /** All 0. */
    UndoableVoxels(int count) {
        this.voxels = new byte[count];
    }

    byte at(int voxel) {
        return voxels[voxel];
    }

    int count() {
        return voxels.length;
    }

    /** Another number after every change. */
    long version() {
        return version;
    }

    /**
     * Puts other values from a voxel on, as one change; what was undone before cannot be done again then. Cost: linear in the
     * values.
     *
     * @return whether any of them is another
     */
    boolean put(int from, byte[] values) {
        Runs runs = new Runs();
        for (int i = 0; i < values.length; i++) runs.add(from + i, voxels[from + i] ^ values[i]);
        int[] made = runs.array();
        if (made.length == 0) return false;
        flip(made);
        done.push(made);
        undone.clear();
        return true;
    }

    /** @return whether there was anything to take back */
    boolean undo() {
        return move(done, undone);
    }

    /** @return whether there was anything to do again */
    boolean redo() {
        return move(undone, done);
    }

    /** How many changes can be taken back. */
    int changes() {
        return done.size();
    }

    private boolean move(Deque<int[]> from, Deque<int[]> to) {
        if (from.isEmpty()) return false;
        int[] runs = from.pop();
        flip(runs);
        to.push(runs);
        return true;
    }

    // What differs is the same both ways.
    private void flip(int[] runs) {
        for (int r = 0; r < runs.length; r += 3)
            for (int i = runs[r]; i < runs[r] + runs[r + 1]; i++) voxels[i] ^= (byte) runs[r + 2];
        version++;
    }

    /** Runs of voxels that change alike: first voxel, number, bits that change. */
    private static final class Runs {
        private int[] runs = new int[48];
        private int length;

        void add(int voxel, int bits) {
            if (bits == 0) return;
            int last = length - 3;
            if (last >= 0 && runs[last] + runs[last + 1] == voxel && runs[last + 2] == bits) {
                runs[last + 1]++;
                return;
            }
            if (length == runs.length) runs = Arrays.copyOf(runs, 2 * length);
            runs[length++] = voxel;
            runs[length++] = 1;
            runs[length++] = bits;
        }

        int[] array() {
            return Arrays.copyOf(runs, length);
        }
    }
}
