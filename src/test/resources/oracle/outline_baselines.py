# SPDX-License-Identifier: Apache-2.0
"""General-purpose segmentation on what OutlineTrials wrote: python3 outline_baselines.py FOLDER [PREFIX]

Per case the methods get the first and the last channel, each smoothed by 0.65 mm
and what that took away smoothed again, and the drawn region filled in between its
slices: what is deeper than 6 mm inside it is lesion, what is farther than 6 mm outside it is not, as for our own refinement.
Prints matrix, preset, method, Dice, 95 % Hausdorff distance (mm, between border voxels), seconds of processor time.
"""
import os
import sys
import time

import nibabel as nib
import numpy as np
from scipy import ndimage as ndi
from skimage.segmentation import morphological_chan_vese, random_walker, watershed

MOVE_MM = 6
SMOOTH_MM = 0.65


def load(folder, name):
    image = nib.load(os.path.join(folder, name))
    return np.nan_to_num(np.asarray(image.dataobj, dtype=np.float32)), image.header.get_zooms()[:3]


def smooth(values, spacing):
    return ndi.gaussian_filter(values, [SMOOTH_MM / s for s in spacing])


def agreement(found, truth, spacing):
    dice = 2 * (found & truth).sum() / (found.sum() + truth.sum())
    faces = ndi.generate_binary_structure(3, 1)
    edges = [m & ~ndi.binary_erosion(m, faces) for m in (found, truth)]
    away = [ndi.distance_transform_edt(~e, sampling=spacing) for e in edges]
    return dice, max(np.percentile(away[1][edges[0]], 95), np.percentile(away[0][edges[1]], 95))


def case(folder, name):
    last = max(f for f in os.listdir(folder) if f.startswith("channel-"))
    truth, spacing = load(folder, "truth.nii")
    drawn = load(folder, "drawn.nii")[0] > 0
    box = tuple(slice(max(0, w.min() - int(15 / s) - 1), w.max() + int(15 / s) + 2)
                for w, s in zip(np.nonzero(drawn), spacing))
    truth, drawn = truth[box] > 0, drawn[box]
    channels = []
    for file in ("channel-0.nii", last):
        raw = load(folder, file)[0][box]
        v = smooth(raw, spacing)
        v += smooth(raw - v, spacing)
        channels.append(v / v.std())
    half = (spacing[0], spacing[1], spacing[2] / 2)
    inside = ndi.distance_transform_edt(drawn, sampling=half)
    outside = ndi.distance_transform_edt(~drawn, sampling=half)
    seeds = np.where(inside > min(MOVE_MM, 0.75 * inside.max()), 1, np.where(outside > MOVE_MM, 2, 0))
    near = outside <= MOVE_MM
    mix = np.stack(channels, -1)

    def walker():
        return random_walker(mix, seeds, beta=200, mode="cg_j", tol=1e-3, spacing=spacing, channel_axis=-1) == 1

    def flood():
        slope = sum(ndi.gaussian_gradient_magnitude(c, [1 / s for s in spacing]) for c in channels)
        return watershed(slope, seeds) == 1

    def means():
        level = morphological_chan_vese(channels[0], 60, init_level_set=drawn.astype(np.int8), smoothing=2) > 0
        if level[drawn].mean() < 0.5:
            level = ~level
        return (level | (seeds == 1)) & near

    for method, job in (("as drawn", lambda: drawn), ("random walker", walker), ("watershed", flood),
                        ("Chan-Vese", means)):
        start = time.process_time()
        found = job()
        spent = time.process_time() - start
        dice, far = agreement(found, truth, spacing)
        print(f"{name},{method},{dice:.4f},{far:.2f},{spent:.2f}", flush=True)


for entry in sorted(os.listdir(sys.argv[1])):
    if entry.startswith("files-" + (sys.argv[2] if len(sys.argv) > 2 else "")):
        case(os.path.join(sys.argv[1], entry), entry[6:])
