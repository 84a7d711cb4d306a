# SPDX-License-Identifier: Apache-2.0
"""Prints affine by sform, affine by qform (RAS) and every voxel of a NIfTI file as nibabel reads them."""
import sys
import nibabel as nib
import numpy as np

image = nib.load(sys.argv[1])
numbers = (list(image.get_sform()[:3].ravel()) + list(image.get_qform()[:3].ravel())
           + list(image.get_fdata().ravel(order="F")))
print(" ".join(repr(float(v)) for v in numbers))
