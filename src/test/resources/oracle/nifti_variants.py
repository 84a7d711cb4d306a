# SPDX-License-Identifier: Apache-2.0
"""Writes NIfTI files of many kinds with nibabel; prints file, affine (RAS) and every voxel as nibabel reads them back."""
import sys
import nibabel as nib
import numpy as np

out = sys.argv[1]
rng = np.random.default_rng(7)
shape = (4, 3, 2)

def rotation(a, b, c):
    ca, sa, cb, sb, cc, sc = np.cos(a), np.sin(a), np.cos(b), np.sin(b), np.cos(c), np.sin(c)
    return (np.array([[1, 0, 0], [0, ca, -sa], [0, sa, ca]]) @ np.array([[cb, 0, sb], [0, 1, 0], [-sb, 0, cb]])
            @ np.array([[cc, -sc, 0], [sc, cc, 0], [0, 0, 1]]))

def affine(a, b, c, flip=1):
    m = np.eye(4)
    m[:3, :3] = rotation(a, b, c) @ np.diag([0.8, 1.25, 4.0 * flip])
    m[:3, 3] = [-31.5, 12.25, 80.0]
    return m

def show(name):
    image = nib.load(f"{out}/{name}")
    data = image.get_fdata(dtype=np.float64)
    numbers = list(image.affine[:3].ravel()) + list(np.asarray(data).ravel(order="F"))
    print(name, " ".join(repr(float(v)) for v in numbers))

types = ["uint8", "int8", "int16", "uint16", "int32", "uint32", "int64", "uint64", "float32", "float64"]
for version, image_class, pair_class in [(1, nib.Nifti1Image, nib.Nifti1Pair), (2, nib.Nifti2Image, nib.Nifti2Pair)]:
    for kind in types:
        low = 0 if kind.startswith("u") else -100
        data = rng.integers(low, 100, shape).astype(kind)
        for order in "<>":
            header = image_class.header_class(endianness=order)
            header.set_data_dtype(np.dtype(kind).newbyteorder(order))
            image = image_class(data, affine(0.3, -0.2, 0.5), header)
            image.header.set_xyzt_units("mm")
            name = f"v{version}-{kind}-{'le' if order == '<' else 'be'}.nii"
            nib.save(image, f"{out}/{name}")
            show(name)
    data = rng.normal(size=shape) * 50
    for name, m, s, q in [("sform", affine(1, .2, .1), 1, 0), ("qform", affine(-2, .4, 3), 0, 1),
                          ("left", affine(.1, .2, .3, -1), 0, 2), ("both", affine(2.9, 1, -1), 2, 1)]:
        image = image_class(data.astype("float32"), m)
        image.header.set_xyzt_units("mm")
        image.set_sform(m if s else None, s)
        image.set_qform(affine(.7, .7, .7) if name == "both" else m, q)
        nib.save(image, f"{out}/v{version}-{name}.nii.gz")
        show(f"v{version}-{name}.nii.gz")
    scaled = image_class(data, affine(.2, 0, 0))
    scaled.header.set_xyzt_units("mm")
    scaled.header.set_data_dtype("int16")
    nib.save(scaled, f"{out}/v{version}-scaled.nii")
    show(f"v{version}-scaled.nii")
    pair = pair_class(data.astype("float32"), affine(0, .3, 0))
    pair.header.set_xyzt_units("mm")
    nib.save(pair, f"{out}/v{version}-pair.hdr")
    show(f"v{version}-pair.hdr")
