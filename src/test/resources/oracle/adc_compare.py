"""Least squares of ln S over b by NumPy against our map, where all signals are above 0: number of voxels, worst relative difference."""
import sys
import nibabel
import numpy as np

series, bvals, ours = sys.argv[1:]
b = np.loadtxt(bvals).ravel() / 1000
s = nibabel.load(series).get_fdata().reshape(-1, b.size)
image = nibabel.load(ours)
found = image.get_fdata().ravel()
assert np.allclose(image.affine, nibabel.load(series).affine, atol=1e-4)
whole = (s > 0).all(axis=1)
expected = -np.polyfit(b, np.log(s[whole]).T, 1)[0]
print(whole.sum())
# An ADC near 0 has no digits to compare: relative to at least 0.01, a hundredth of what tissue has.
print(np.max(np.abs(found[whole] - expected) / np.maximum(np.abs(expected), 0.01)))
