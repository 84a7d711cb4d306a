# Co-occurrence counts of one slice and the area and volume of a mesh, by scikit-image.
# Arguments: "glcm", file of uint8 levels (x fastest), nx, ny; or "mesh", file of uint8 mask, nx, ny, nz, spacing x, y, z.
import sys
import numpy as np
from skimage import measure

what, name, nx, ny = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
a = np.fromfile(name, np.uint8)
if what == "glcm":
    try:
        from skimage.feature import graycomatrix
    except ImportError:
        from skimage.feature import greycomatrix as graycomatrix
    # angles of scikit-image are (row, column) steps: 0 right, 45 down right, 90 down, 135 down left
    m = graycomatrix(a.reshape(ny, nx), [1], [0, np.pi / 4, np.pi / 2, 3 * np.pi / 4], levels=16, symmetric=True)
    m = m.sum(axis=(2, 3))
    for i, j in zip(*np.nonzero(m)):
        print(i, j, m[i, j])
else:
    nz, spacing = int(sys.argv[5]), tuple(float(s) for s in sys.argv[8:5:-1])
    mask = np.pad(a.reshape(nz, ny, nx), 1)
    v, f, _, _ = measure.marching_cubes(mask, 0.5, spacing=spacing)
    t = v[f].astype(float)
    print(measure.mesh_surface_area(v, f))
    print(abs(np.einsum("ij,ij->i", t[:, 0], np.cross(t[:, 1], t[:, 2])).sum()) / 6)
