#!/usr/bin/env python3
"""The way from nothing to a ZIP code's answer, as README.md shows it: its commands in order, over the ready
recipe as it is printed, of which only the addresses and the box are changed: providers in their real layouts are
imitated on the loopback interface, over a small box.

    check_newcomers_path.py --builder PROGRAM --lookup PROGRAM --readme README.md
"""
import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import imitated_providers as imitated
from loopback_provider import Provider

BOX = (-124.0, 43.5, -122.5, 44.5)  # around ZIP code 97401, Eugene, whose position is in GeoNames
PLACE = ("97401", "Eugene", 44.0682, -123.0819)
OPTIONS = None
# A computation by hand of the invented climate's rain at the place is exact; the answer is interpolated.
RAIN_TOLERANCE_MM = 4.0


def commands_of(readme):
    block = re.search(r"```console network\n(.*?)```", readme.read_text(encoding="utf-8"), re.DOTALL)[1]
    return [line[2:].split("  #")[0].strip() for line in block.splitlines() if line.startswith("$ ")]


def on_loopback(recipe, provider):
    """The recipe with its addresses on the loopback interface, and the small box."""
    def moved(match):
        return re.sub(r'"https?://[^"]*/([^"/?]+)[^"/]*"',
                      lambda url: f'"{provider.url("range", url[1])}"', match[0])
    recipe = re.sub(r"^#?url = .*$", moved, recipe, flags=re.MULTILINE)
    return re.sub(r"^bbox = .*$", f"bbox = {list(BOX)}", recipe, flags=re.MULTILINE)


class NewcomersPath(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.climate = imitated.Climate(BOX)
        cls.provider = Provider()
        for files in (imitated.prism(cls.climate), imitated.terraclimate(cls.climate), imitated.ncei(cls.climate),
                      imitated.eccc(cls.climate), imitated.geonames("US", *PLACE),
                      imitated.geonames("CA", "V8V", "Victoria", 44.2, -123.3),
                      imitated.geonames("MX", "21000", "Mexicali", 43.8, -123.2)):
            cls.provider.files.update(files)

    @classmethod
    def tearDownClass(cls):
        cls.provider.close()

    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        programs = self.folder / "bin"
        programs.mkdir()
        for program in (OPTIONS.builder, OPTIONS.lookup):
            (programs / program.name).symlink_to(program.resolve(strict=True))
        downloads = self.folder / "Downloads"
        downloads.mkdir()
        (downloads / "etopo.tif").write_bytes(imitated.elevation(self.climate))
        kept = {name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")}
        self.env = {**kept, "LC_ALL": "C.UTF-8", "no_proxy": "127.0.0.1", "HOME": str(self.folder),
                    "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}"}

    def run_command(self, command, status=0):
        run = subprocess.run(["sh", "-c", command], cwd=self.folder, env=self.env, capture_output=True,
                             encoding="utf-8", check=False, timeout=300)
        self.assertEqual(run.returncode, status, f"{command}\n{run.stderr}{run.stdout}")
        return run

    def changed_recipe(self, name):
        path = self.folder / name
        path.write_text(on_loopback(path.read_text(encoding="utf-8"), self.provider), encoding="utf-8")

    def use_commented_block(self, name, source):
        """Removes the first sign of each line of the block, as the recipe says."""
        path = self.folder / name
        blocks = path.read_text(encoding="utf-8").split("\n\n")
        used = ["\n".join(line.removeprefix("#") for line in block.split("\n") if not line.startswith("# "))
                if f'#name = "{source}"' in block else block for block in blocks]
        self.assertNotEqual(used, blocks)
        path.write_text("\n\n".join(used), encoding="utf-8")

    def assert_rain(self, database):
        answer = json.loads(self.run_command(
            f"thirstline-lookup site --db {database} --postal {PLACE[0]} --country US --format json").stdout)
        for month, numbers in enumerate(answer["months"]):
            invented = float(self.climate.value("rain", PLACE[2], PLACE[3], month))
            self.assertAlmostEqual(numbers["rain_mm"], invented, delta=RAIN_TOLERANCE_MM, msg=month)
            self.assertGreater(numbers["eto_mm"], 5)
        self.assertEqual(answer["point"]["method"], "penman-monteith")
        names = {source["name"] for source in answer["sources"]}
        self.assertIn("GeoNames postal codes, US", names)
        self.assertIn("NCEI monthly normals", names)

    def test_as_in_the_readme(self):
        commands = commands_of(OPTIONS.readme)
        self.assertLessEqual(len(commands), 6)
        last = ""
        for number, command in enumerate(commands):
            last = self.run_command(command).stdout
            if number == 0:
                self.changed_recipe("us.toml")
        self.assertIn("Eugene, US 97401", last)
        self.assert_rain("us.sqlite")

    def test_north_america_twice(self):
        self.run_command("thirstline-builder recipe north-america > na.toml")
        self.changed_recipe("na.toml")
        self.use_commented_block("na.toml", "Canadian Climate Normals")
        self.run_command("mkdir na.data && cp ~/Downloads/etopo.tif na.data/elevation.tif")
        by_hand = self.run_command("thirstline-builder fetch na.toml", status=5)
        self.assertIn("no address is known for eccc-stations-1991.csv", by_hand.stderr)
        inventory = self.folder / "na.data/eccc-stations-1991.csv"
        inventory.write_text(imitated.eccc_inventory(self.climate), encoding="utf-8")
        self.run_command("thirstline-builder fetch na.toml")
        self.run_command("thirstline-builder build na.toml -o first.sqlite")
        self.provider.requests.clear()
        self.run_command("thirstline-builder fetch na.toml")
        self.assertEqual(self.provider.requests, [])
        self.run_command("thirstline-builder build na.toml --offline -o second.sqlite")
        self.assertEqual((self.folder / "first.sqlite").read_bytes(), (self.folder / "second.sqlite").read_bytes())
        self.assert_rain("first.sqlite")
        near = self.run_command(f"thirstline-lookup near --db first.sqlite --postal {PLACE[0]} --country US").stdout
        self.assertIn("Canadian Climate Normals", near)
        text = self.run_command("thirstline-builder check na.toml").stdout
        for line in ("Open Government Licence - Canada",
                     "GeoNames, https://www.geonames.org, CC BY 4.0", "PRISM Group, Oregon State University",
                     "may be passed on: yes", "YYYY-MM-DD"):
            self.assertIn(line, text)


def main():
    global OPTIONS
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    for name in ("builder", "lookup", "readme"):
        parser.add_argument(f"--{name}", required=True, type=Path)
    OPTIONS, rest = parser.parse_known_args()
    unittest.main(argv=[sys.argv[0], *rest])


if __name__ == "__main__":
    main()
