"""Used by the tests of exports: runs programs, builds and exports databases, and makes an invented world."""

import argparse
import csv
import io
import os
import subprocess
import tempfile
import unittest

import numpy
from osgeo import gdal, osr

gdal.UseExceptions()
osr.UseExceptions()

PROGRAMS = argparse.Namespace()  # filled from the arguments: builder, lookup, recipe, open_data
MONTHS = range(1, 13)
NOTICE_OF_THE_VALLEY = "do not water by these numbers"
ENDINGS = {"csv": "csv", "geotiff": "tif", "netcdf": "nc", "geopackage": "gpkg", "sqlite": "sqlite"}


def run(*command, expect=0, stdin=None):
    done = subprocess.run(command, input=stdin, capture_output=True, text=True, check=False)
    assert done.returncode == expect, f"{command} gave {done.returncode}: {done.stderr}"
    return done.stdout


def months_of(row, name):
    """Twelve numbers of a row of the look-up's batch; None where it has none."""
    return [float(row[f"{name}_{m:02}"]) if row[f"{name}_{m:02}"] else None for m in MONTHS]


class Database:
    """A built database, its exports, and the look-up's answers at its points."""

    def __init__(self, folder, name, path):
        self.folder, self.name, self.path = folder, name, path

    def export(self, form, *options, name="all"):
        out = os.path.join(self.folder, f"{self.name}-{name}.{ENDINGS[form]}")
        run(PROGRAMS.builder, "export", self.path, "--as", form, "-o", out, "--overwrite", *options)
        return out

    def answers(self, places):
        """By (lat, lon): the look-up's row at each."""
        text = "id,lat,lon\n" + "".join(f"{i},{lat},{lon}\n" for i, (lat, lon) in enumerate(places))
        out = run(PROGRAMS.lookup, "batch", "--db", self.path, "--input", "-", "--allow-missing", stdin=text)
        rows = list(csv.DictReader(io.StringIO(out)))
        assert len(rows) == len(places)
        return dict(zip(places, rows))


def read_csv(path):
    """By (lat, lon): twelve rows."""
    points = {}
    with open(path, newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            points.setdefault((row["lat"], row["lon"]), []).append(row)
    return points


def rounded_half_away(value, decimals):
    scaled = abs(value) * 10**decimals
    return float(numpy.sign(value) * numpy.floor(scaled + 0.5 + 1e-7) / 10**decimals)


def write_world(folder):
    """Grids of an invented world, ten degrees to a cell, with data nearly everywhere."""
    size = (36, 18)
    lats = 85 - 10 * numpy.arange(18)[:, None]
    lons = -175 + 10 * numpy.arange(36)[None, :]
    sea = (numpy.abs(lats) < 40) & (numpy.abs(lons + 90) < 30)
    months = numpy.arange(12)[:, None, None]
    summer = numpy.cos((months - 6) * numpy.pi / 6) * numpy.sign(lats + 0.1)
    warm = 28 - numpy.abs(lats) * 0.4 + 6 * summer + lons * 0.01
    climate = {
        "tmax": (warm + 5, "degC"),
        "tmin": (warm - 5, "degC"),
        "vapour_pressure": (numpy.clip(0.5 * 0.6108 * numpy.exp(17.27 * (warm - 5) / (warm - 5 + 237.3)), 0.05, None), "kPa"),
        "wind": (2 + 0 * warm + numpy.abs(lats) * 0.02, "m/s"),
        "radiation": (numpy.clip(22 - numpy.abs(lats) * 0.18 + 4 * summer, 3, None), "MJ/m2/day"),
        "rain": (60 + 30 * summer + (lons + 180) * 0.1, "mm/month"),
    }
    recipe = """[baseline]
title = "An invented world; \\"quotes\\", <tags> & ümläuts\\u0001\\nand a line"
region = "everywhere"
publisher = "Nobody's Weather Office"
notice = "Invented: do not water by these numbers, \\u007f or any \\"others\\" <b>&amp;"
reference = "short"
period = "1991-2020"
[lattice]
spacing_arcsec = 18000
bbox = [-180.0, -80.0, 180.0, 80.0]
reach_km = 600
[elevation]
path = "elevation.tif"
unit = "m"
"""
    climate["elevation"] = (200 + 0 * warm + (lons + 180) * 2, "m")
    for name, (values, unit) in climate.items():
        path = os.path.join(folder, name + ".tif")
        raster = gdal.GetDriverByName("GTiff").Create(path, *size, 1 if name == "elevation" else 12, gdal.GDT_Float32)
        raster.SetGeoTransform([-180, 10, 0, 90, 0, -10])
        wgs84 = osr.SpatialReference()
        wgs84.ImportFromEPSG(4326)
        raster.SetSpatialRef(wgs84)
        for month in range(raster.RasterCount):
            band = raster.GetRasterBand(month + 1)
            band.SetNoDataValue(-999)
            band.WriteArray(numpy.where(sea, -999, numpy.broadcast_to(values[month], (18, 36))).astype("float32"))
        raster = None
        if name == "elevation":
            continue
        height = "height_m = 2\n" if name == "wind" else ""
        recipe += f"""[[grid]]
name = "Invented {name}, with \\"quotes\\""
variable = "{name}"
path = "{name}.tif"
unit = "{unit}"
{height}period = "1991-2020"
licence = "CC0-1.0"
attribution = "Nobody & Sons <invented>"
"""
    path = os.path.join(folder, "world.toml")
    with open(path, "w", encoding="utf-8") as file:
        file.write(recipe)
    return path


class ExportsTestCase(unittest.TestCase):
    maxDiff = 2000
    folder = None
    databases = []
    compared = 0
    lacking = 0

    @classmethod
    def setUpClass(cls):
        if ExportsTestCase.folder is not None:
            return
        ExportsTestCase.folder = tempfile.mkdtemp(prefix="thirstline-exports-")
        recipes = [("valley", PROGRAMS.recipe), ("world", write_world(ExportsTestCase.folder))]
        for name, recipe in recipes:
            path = os.path.join(ExportsTestCase.folder, name + ".sqlite")
            run(PROGRAMS.builder, "build", recipe, "-o", path)
            ExportsTestCase.databases.append(Database(ExportsTestCase.folder, name, path))

    def assert_told(self, found, told, where, decimals=9):
        """A value that a point lacks is told from the points around it, a hair away; a few are."""
        self.assertEqual(len(found), 12)
        for value, other in zip(found, told):
            if value is None or numpy.isnan(value):
                ExportsTestCase.lacking += other is not None
                continue
            self.assertAlmostEqual(value, other, decimals, where)
            ExportsTestCase.compared += 1

    @classmethod
    def tearDownClass(cls):
        assert ExportsTestCase.lacking <= 0.01 * ExportsTestCase.compared, "too few values to compare"

    def each(self):
        return list(self.databases)
