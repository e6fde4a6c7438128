#!/usr/bin/env python3
"""The ready recipe for North America as it is printed, over real data where they are at hand and files in the
providers' layouts for the rest. Only the box is changed, so that it takes seconds, and the sign is removed from
the lines of the sources that are downloaded by hand.

    check_continental_recipe.py --builder PROGRAM --lookup PROGRAM --open-data FOLDER

The folder in THIRSTLINE_OPEN_DATA, if there is one, is used in place of that of --open-data.
"""
import argparse
import csv
import json
import os
import re
import subprocess
import sys
import tempfile
import unittest
import zipfile
from pathlib import Path

import continental_data

BOX = (-124.0, 47.0, -121.5, 50.0)  # both sides of the border
NOT_AT_HAND = ("NRCan",)
OPTIONS = None


def with_sources_by_hand(recipe):
    blocks = recipe.split("\n\n")
    return "\n\n".join(
        block if any(name in block for name in NOT_AT_HAND) else
        "\n".join(line[1:] if re.match(r"#[^ ]", line) else line for line in block.split("\n")) for block in blocks)


class ContinentalRecipe(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        wanted = ("wmo-normals-1991-2020", "cru-cl1-1961-1990", "elevation", "postal", "tmy3-monthly", "source-samples")
        if not all((OPTIONS.open_data / name).is_dir() for name in wanted):
            raise unittest.SkipTest(f"{OPTIONS.open_data} has not all of the open data")
        folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(folder.cleanup)
        cls.folder = Path(folder.name)
        cls.written = continental_data.fill(cls.folder / "na.data", OPTIONS.open_data, BOX)
        recipe = cls.run_program("builder", "recipe", "north-america")
        recipe = with_sources_by_hand(recipe)
        recipe = re.sub(r"^bbox = .*$", f"bbox = {list(BOX)}", recipe, flags=re.MULTILINE)
        (cls.folder / "na.toml").write_text(recipe, encoding="utf-8")
        cls.run_program("builder", "fetch", "na.toml")  # locks what is there
        cls.run_program("builder", "build", "na.toml", "--offline", "-o", "na.sqlite", "--report", "na.json")

    @classmethod
    def run_program(cls, program, *arguments):
        run = subprocess.run([getattr(OPTIONS, program), *arguments], cwd=cls.folder, capture_output=True,
                             encoding="utf-8", check=False, env={**os.environ, "LC_ALL": "C.UTF-8"})
        if run.returncode != 0:
            raise AssertionError(f"{program} {' '.join(arguments)}\n{run.stdout}{run.stderr}")
        return run.stdout

    def site(self, *place):
        return json.loads(self.run_program("lookup", "site", "--db", "na.sqlite", *place, "--format", "json"))

    def test_every_source_is_used(self):
        recipe = (self.folder / "na.toml").read_text(encoding="utf-8")
        names = set(re.findall(r'^\[\[(?:grid|stations)\]\]\nname = "(.*)"', recipe, re.MULTILINE))
        self.assertGreaterEqual(len(names), 20)
        report = (self.folder / "na.json").read_text(encoding="utf-8")
        for name in names:
            self.assertIn(f'"{name}"', report)

    def test_stations_are_answered_with_their_own_rain(self):
        """Of the WMO's stations in the box, by the numbers of its table, which this script reads."""
        checked = 0
        with open(OPTIONS.open_data / "wmo-normals-1991-2020/PRCP.csv", encoding="latin-1", newline="") as file:
            for row in list(csv.reader(file))[1:]:
                lat, lon = float(row[4]), float(row[5])
                months = [float(value) for value in row[9:21]]
                inside = BOX[1] < lat < BOX[3] and BOX[0] < lon < BOX[2]
                if not inside or min(months) < 0:
                    continue
                found = self.site("--at", f"{lat},{lon}", "--elevation", f"{row[6].strip()} m")
                year = sum(month["rain_mm"] for month in found["months"])
                with self.subTest(row[8].strip()):
                    self.assertAlmostEqual(year / sum(months), 1, delta=0.12)
                checked += 1
        self.assertGreaterEqual(checked, 2)

    def test_postal_codes_of_both_countries(self):
        found = self.site("--postal", "98101", "--country", "US")
        self.assertEqual(found["point"]["method"], "penman-monteith")
        names = {source["name"] for source in found["sources"]}
        self.assertIn("NCEI monthly normals", names)
        with zipfile.ZipFile(self.folder / "na.data/CA.zip") as archive:
            rows = [line.split("\t") for line in archive.read("CA.txt").decode().splitlines()]
        codes = [row[1] for row in rows if BOX[1] < float(row[9]) < BOX[3] and BOX[0] < float(row[10]) < BOX[2]]
        self.assertTrue(codes)
        names = {source["name"] for source in self.site("--postal", codes[0], "--country", "CA")["sources"]}
        self.assertIn("Canadian Climate Normals", names)
        text = self.run_program("builder", "info", "na.sqlite")
        for attribution in ("PRISM Group", "Open Government Licence - Canada", "CONAGUA-SMN", "GeoNames",
                            "National Renewable Energy Laboratory"):
            self.assertIn(attribution, text)


def main():
    global OPTIONS
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name in ("builder", "lookup", "open-data"):
        parser.add_argument(f"--{name}", required=True, type=Path)
    OPTIONS, rest = parser.parse_known_args()
    OPTIONS.builder, OPTIONS.lookup = OPTIONS.builder.resolve(), OPTIONS.lookup.resolve()
    OPTIONS.open_data = Path(os.environ.get("THIRSTLINE_OPEN_DATA", OPTIONS.open_data)).resolve()
    unittest.main(argv=[sys.argv[0], *rest])


if __name__ == "__main__":
    main()
