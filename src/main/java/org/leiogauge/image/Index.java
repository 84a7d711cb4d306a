// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** A place on a grid, counted in voxels from the centre of the first one; not only at voxel centres. */
public record Index(double x, double y, double z) {}
