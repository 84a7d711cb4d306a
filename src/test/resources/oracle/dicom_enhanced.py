# SPDX-License-Identifier: Apache-2.0
"""Writes with pydicom an enhanced MR object (two b-values of four oblique slices, frames shuffled) and a binary and a
fractional segmentation on it. Prints the voxels: b = 0, b = 800, then the segment, x fastest, slices along the normal."""
import pathlib
import sys

import numpy as np
from pydicom.dataset import Dataset, FileDataset, FileMetaDataset
from pydicom.sequence import Sequence
from pydicom.uid import ExplicitVRLittleEndian

out = pathlib.Path(sys.argv[1])
rows, columns, slices = 5, 7, 4
row, column = np.array([0.6, 0.8, 0.0]), np.array([0.0, 0.0, -1.0])
normal = np.cross(row, column)
origin = np.array([10.0, -20.0, 30.0])
rng = np.random.default_rng(5)


def item(**values):
    d = Dataset()
    for name, value in values.items():
        setattr(d, name, value)
    return d


def multiframe(sop_class, uid, frames):
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID = sop_class, uid
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    d = FileDataset("", {}, file_meta=meta, preamble=b"\0" * 128)
    d.SOPClassUID, d.SOPInstanceUID = sop_class, uid
    d.StudyInstanceUID, d.FrameOfReferenceUID = "1.2.3.1", "1.2.3.3"
    d.Rows, d.Columns, d.NumberOfFrames = rows, columns, frames
    d.SamplesPerPixel, d.PhotometricInterpretation, d.PixelRepresentation = 1, "MONOCHROME2", 0
    d.is_little_endian, d.is_implicit_VR = True, False
    shared = Dataset()
    shared.PlaneOrientationSequence = Sequence([item(ImageOrientationPatient=[*row, *column])])
    shared.PixelMeasuresSequence = Sequence([item(PixelSpacing=[1.5, 1.25], SliceThickness=4)])
    d.SharedFunctionalGroupsSequence = Sequence([shared])
    return d


def place(z):
    return Sequence([item(ImagePositionPatient=[float(f"{v:.6f}") for v in origin + 4.5 * z * normal])])


d = multiframe("1.2.840.10008.5.1.4.1.1.4.1", "1.2.3.5", 2 * slices)
d.SeriesInstanceUID, d.SeriesDescription, d.Modality, d.SeriesNumber = "1.2.3.2", "diffusion", "MR", 1
d.ImageType = ["ORIGINAL", "PRIMARY", "DIFFUSION", "NONE"]
d.BitsAllocated, d.BitsStored, d.HighBit = 16, 12, 11
pixels = rng.integers(0, 4000, (2, slices, rows, columns)).astype("<u2")
order = rng.permutation([(b, z) for b in range(2) for z in range(slices)])
groups = []
for b, z in order:
    group = Dataset()
    group.PlanePositionSequence = place(z)
    group.MRDiffusionSequence = Sequence([item(DiffusionBValue=[0.0, 800.0][b], DiffusionDirectionality="NONE" if b == 0 else "ISOTROPIC")])
    group.PixelValueTransformationSequence = Sequence([item(RescaleSlope=0.5 + b, RescaleIntercept=-3, RescaleType="US")])
    groups.append(group)
d.PerFrameFunctionalGroupsSequence = Sequence(groups)
d.PixelData = b"".join(pixels[b, z].tobytes() for b, z in order)
(out / "study").mkdir()
d.save_as(out / "study" / "enhanced", write_like_original=False)

region = rng.integers(0, 2, (slices, rows, columns)).astype(np.uint8)
for kind in ("BINARY", "FRACTIONAL"):
    s = multiframe("1.2.840.10008.5.1.4.1.1.66.4", "1.2.3.6", slices)
    s.SeriesInstanceUID, s.Modality, s.SeriesNumber = "1.2.3.7", "SEG", 2
    s.SegmentationType = kind
    s.SegmentSequence = Sequence([item(SegmentNumber=1, SegmentLabel="lesion")])
    groups = []
    for z in reversed(range(slices)):
        group = Dataset()
        group.PlanePositionSequence = place(z)
        group.SegmentIdentificationSequence = Sequence([item(ReferencedSegmentNumber=1)])
        groups.append(group)
    s.PerFrameFunctionalGroupsSequence = Sequence(groups)
    frames = region[::-1]
    if kind == "BINARY":
        s.BitsAllocated, s.BitsStored, s.HighBit = 1, 1, 0
        packed = np.packbits(frames.ravel(), bitorder="little").tobytes()
        s.PixelData = packed + b"\0" * (len(packed) % 2)
    else:
        s.BitsAllocated, s.BitsStored, s.HighBit = 8, 8, 7
        s.MaximumFractionalValue, s.SegmentationFractionalType = 200, "PROBABILITY"
        values = np.where(frames == 1, rng.integers(100, 201, frames.shape), rng.integers(0, 100, frames.shape))
        data = values.astype(np.uint8).tobytes()
        s.PixelData = data + b"\0" * (len(data) % 2)
    s.save_as(out / f"{kind.lower()}.dcm", write_like_original=False)
for b in range(2):
    print(" ".join(repr(float(v)) for v in (pixels[b] * (0.5 + b) - 3).ravel()))
print(" ".join(str(v) for v in region.ravel()))
