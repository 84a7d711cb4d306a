"""Copies the diffusion series that come with dipy, each with its .bval, into a folder and prints their names."""
import importlib.util
import os
import shutil
import sys

data = os.path.join(importlib.util.find_spec("dipy").submodule_search_locations[0], "data", "files")
for name, ending in (("small_101D", ".nii.gz"), ("small_25", ".nii.gz"), ("small_64D", ".nii")):
    shutil.copy(os.path.join(data, name + ending), sys.argv[1])
    shutil.copy(os.path.join(data, name + ".bval"), sys.argv[1])
    print(name + ending)
