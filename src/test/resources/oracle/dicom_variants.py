# SPDX-License-Identifier: Apache-2.0
"""Writes one MR image in many transfer syntaxes with pydicom, dcmtk and GDCM.

Arguments: output folder. Prints the folders written, one a line; each holds one image. The folder `native` is the original.
"""
import pathlib
import shutil
import subprocess
import sys

import numpy as np
import pydicom
from pydicom.dataset import FileDataset, FileMetaDataset
from pydicom.uid import (DeflatedExplicitVRLittleEndian, ExplicitVRBigEndian, ExplicitVRLittleEndian,
                         ImplicitVRLittleEndian)

out = pathlib.Path(sys.argv[1])


def dataset(signed):
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.4"
    meta.MediaStorageSOPInstanceUID = "1.2.3.4.5"
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    d = FileDataset("", {}, file_meta=meta, preamble=b"\0" * 128)
    d.SOPClassUID, d.SOPInstanceUID = meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID
    d.Modality, d.SeriesDescription = "MR", "t2"
    d.StudyInstanceUID, d.SeriesInstanceUID, d.FrameOfReferenceUID = "1.2.3.1", "1.2.3.2", "1.2.3.3"
    d.PatientName, d.PatientID, d.StudyDate, d.StudyTime = "A^B", "1", "20200101", "101010"
    d.SeriesNumber, d.InstanceNumber = 1, 1
    d.ImagePositionPatient = [-31.25, 12.5, 7.75]
    d.ImageOrientationPatient = [0.6, 0.8, 0, 0, 0, -1]
    d.PixelSpacing, d.SliceThickness = [0.75, 0.5], 4
    d.RescaleSlope, d.RescaleIntercept = 2, -10
    d.Rows, d.Columns, d.SamplesPerPixel, d.PhotometricInterpretation = 37, 50, 1, "MONOCHROME2"
    d.BitsAllocated, d.BitsStored, d.HighBit, d.PixelRepresentation = 16, 16 if signed else 12, 15 if signed else 11, signed
    rng = np.random.default_rng(11)
    y, x = np.mgrid[0:37, 0:50]
    pixels = 900 + 600 * np.sin(x / 5) * np.cos(y / 7) + rng.normal(0, 30, (37, 50))
    if signed:
        pixels -= 1200
    d.PixelData = np.clip(pixels, -2000 if signed else 0, 4095).astype("<i2" if signed else "<u2").tobytes()
    d.is_little_endian, d.is_implicit_VR = True, False
    return d


def folder(name):
    path = out / name
    path.mkdir(parents=True)
    return path / "image.dcm"


for signed in (0, 1):
    tag = "signed" if signed else "unsigned"
    native = folder(f"{tag}-native")
    dataset(signed).save_as(native, write_like_original=False)
    print(f"{tag}-native")
    for name, syntax in [("implicit", ImplicitVRLittleEndian), ("big", ExplicitVRBigEndian),
                         ("deflated", DeflatedExplicitVRLittleEndian)]:
        d = dataset(signed)
        d.file_meta.TransferSyntaxUID = syntax
        d.is_implicit_VR = syntax == ImplicitVRLittleEndian
        d.is_little_endian = syntax != ExplicitVRBigEndian
        if syntax == ExplicitVRBigEndian:
            d.PixelData = np.frombuffer(d.PixelData, "<u2").astype(">u2").tobytes()
        d.save_as(folder(f"{tag}-{name}"), write_like_original=False)
        print(f"{tag}-{name}")
    for name, command in [("rle-dcmtk", ["dcmcrle"]), ("jpeg-57", ["dcmcjpeg", "+el", "+sv", "4"]),
                          ("jpeg-70", ["dcmcjpeg", "+e1"]), ("rle-gdcm", ["gdcmconv", "--rle"]),
                          ("jpeg-gdcm", ["gdcmconv", "--jpeg"]), ("j2k-gdcm", ["gdcmconv", "--j2k"])]:
        if not shutil.which(command[0]):
            continue
        target = folder(f"{tag}-{name}")
        subprocess.run([*command, str(native), str(target)], stderr=subprocess.DEVNULL, check=True)
        print(f"{tag}-{name}")
