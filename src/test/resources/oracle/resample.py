# Cubic B-spline and linear interpolation of a volume at points, by SciPy, voxels repeated beyond the border.
# Arguments: file of float32 voxels (x fastest), nx, ny, nz, file of float64 indices (x, y, z per point), order.
import sys
import numpy as np
from scipy import ndimage

voxels, nx, ny, nz, points, order = sys.argv[1:]
a = np.fromfile(voxels, "<f4").astype(float).reshape(int(nz), int(ny), int(nx))
p = np.fromfile(points, "<f8").reshape(-1, 3)
for v in ndimage.map_coordinates(a, p[:, ::-1].T, order=int(order), mode="mirror"):
    print(repr(float(v)))
