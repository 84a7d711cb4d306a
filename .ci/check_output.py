# SPDX-License-Identifier: Apache-2.0
"""Checks that a folder written by `measure` has all its files and that each can be read."""
import csv
import html.parser
import pathlib
import sys

import nibabel
import yaml

out = pathlib.Path(sys.argv[1])


def rows(name):
    with open(out / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


tidy, wide, dictionary = rows("features.csv"), rows("features-wide.csv"), rows("dictionary.csv")
assert len(tidy) > 100, "features.csv is short"
assert len(wide) == 1, "features-wide.csv must have one lesion"
assert list(wide[0])[2:] == [row["column"] for row in dictionary], "the dictionary must explain each column"
volume = [float(row["value"]) for row in tidy if row["group"] == "lesion" and row["feature"] == "volume"]
assert len(volume) == 1 and volume[0] > 0, "the lesion's volume is missing"
assert all((row["value"] == "") == (row["status"] == "not measured") for row in tidy)
assert nibabel.load(out / "lesion.nii.gz").get_fdata().sum() > 0
assert yaml.safe_load((out / "settings.yaml").read_text())["features"]
assert (out / "log.txt").stat().st_size > 0
page = (out / "report.html").read_text(encoding="utf-8")
html.parser.HTMLParser().feed(page)
assert "Not a diagnosis" in page and "<script" not in page
assert list((out / "figures").glob("*.png")), "no figure was written"
print(f"checked {len(tidy)} rows in {out.name}")
