#!/usr/bin/env python3
"""Builds from the samples of published grids, and compares the result with a build from grids of the values
that this script reads in them without the builder and, but for Daymet's, without GDAL.

    source_sample_grids.py --builder PROGRAM --open-data FOLDER

The folder in THIRSTLINE_OPEN_DATA, if there is one, is used in place of that of --open-data.

The other variables are made up. The points of the lattice are the centres of the samples' cells, so that
nothing is interpolated but Daymet's, whose cells are on a projected plane.
"""

import argparse
import math
import os
import re
import shutil
import struct
import sys
import unittest
import zipfile
from pathlib import Path

import netCDF4
import numpy
from osgeo import gdal, osr

from layout_builds import DAYS, MONTHS, PROGRAM, SIZE, Grid, Place, ProviderLayouts, plain_climate

SAMPLES = {}


def window(west, north, cell_arcsec, epsg=4326):
    """A place of SIZE x SIZE cells, the centre of whose first is at `west` and `north`, which are whole seconds
    of arc but for the rounding of the files."""
    west, north, cell = round(west * 3600) / 3600, round(north * 3600) / 3600, cell_arcsec / 3600
    last = (SIZE - 1) * cell
    return Place(epsg, (west - cell / 2, cell, 0, north + cell / 2, 0, -cell),
                 (west, north - last, west + last, north))


def every_month(values):
    return numpy.repeat(values[None, :, :], 12, axis=0)


class Samples(ProviderLayouts):
    def sample(self, pattern):
        found = sorted(SAMPLES["folder"].glob(pattern))
        if not found:
            self.skipTest("the open data lack source-samples/" + pattern)
        return found[0]


class Prism(Samples):
    """A band interleaved by line in a zip, NAD83: the normal rain of a day of March."""

    ROW, COLUMN = 100, 100
    NAME = "PRISM_ppt_30yr_normal_4kmD1_0301_bil"

    def values(self, archive):
        """Of the window, from the header's words and the bytes; and its place."""
        with zipfile.ZipFile(archive) as files:
            header = dict(line.split(None, 1) for line in files.read(self.NAME + ".hdr").decode().splitlines()
                          if len(line.split()) == 2)
            numbers = files.read(self.NAME + ".bil")
        columns = int(header["NCOLS"])
        self.assertEqual((header["PIXELTYPE"].strip(), header["BYTEORDER"].strip()), ("FLOAT", "I"))
        values = [struct.unpack_from(f"<{SIZE}f", numbers, 4 * ((self.ROW + row) * columns + self.COLUMN))
                  for row in range(SIZE)]
        return numpy.array(values), window(float(header["ULXMAP"]) + self.COLUMN / 24,
                                           float(header["ULYMAP"]) - self.ROW / 24, 150, 4269)

    def test_values(self):
        archive = self.sample("prism/*.zip")
        numbers, self.place = self.values(archive)
        self.assertAlmostEqual(numbers[0][0], 6.0155997, places=6)  # as another program shows it
        self.spacing_arcsec = 150
        values = plain_climate(21)
        values["rain"] = every_month(numbers) * DAYS
        for month in MONTHS:
            shutil.copy(archive, self.path(f"ppt_{month:02}.zip"))
        grids = self.canonical(values, [name for name in values if name != "rain"])
        grids.append(Grid("rain", f"/vsizip/ppt_{{month:02}}.zip/{self.NAME}.bil", "mm/day"))
        self.assert_same(grids, values, values)
        # A day's normal is not the year's twelve.
        grids[-1].path = f"/vsizip/ppt_01.zip/{self.NAME}.bil"
        self.assertRegex(self.error_of(grids), "wrong.toml:53: .* has 1 band, and a monthly grid needs 12")


class TerraClimate(Samples):
    """Whole numbers with scale and offset; times 1 to 12 in "months"."""

    ROW, COLUMN = 20, 30

    def values(self, name):
        with netCDF4.Dataset(self.sample(f"terraclimate/*_{name}.synthetic.nc")) as file:
            file.set_auto_maskandscale(False)
            stored = file[name]
            numbers = stored[:, self.ROW:self.ROW + SIZE, self.COLUMN:self.COLUMN + SIZE]
            self.place = window(file["lon"][self.COLUMN], file["lat"][self.ROW], 150)
            return numbers * stored.scale_factor + stored.add_offset

    def test_values(self):
        self.spacing_arcsec = 75
        values = plain_climate(22)
        values["tmax"] = self.values("tmax")
        values["tmin"] = values["tmax"] - 9
        values["vapour_pressure"] = self.values("vap")
        grids = self.canonical(values, [name for name in values if name not in ("tmax", "vapour_pressure")])
        for name, variable, unit in [("tmax", "tmax", "degC"), ("vap", "vapour_pressure", "kPa")]:
            grids.append(Grid(variable, str(self.sample(f"terraclimate/*_{name}.synthetic.nc")), unit))
        self.assert_same(grids, values, values)

    def test_evapotranspiration(self):
        self.spacing_arcsec = 75
        eto = self.values("pet") / DAYS
        of_grass = {"reference": "short", "equation": "FAO-56"}
        self.write_elevation()
        found = self.built("found", [Grid("eto", str(self.sample("terraclimate/*_pet.synthetic.nc")), "mm/month",
                                          **of_grass)])
        self.assertGreaterEqual(len(found), 12 * 20)
        for (_, _, month), row in found.items():
            self.assertAlmostEqual(row["eto_mm_per_day"], eto[month - 1, 0, 0], delta=0.0101)


class Daymet(Samples):
    """Twelve bands of one year on Lambert's conformal cone, in kilometres."""

    def test_values(self):
        path = self.sample("daymet/*.tif")
        raster = gdal.Open(str(path))
        numbers = raster.ReadAsArray().astype(float)
        west, cell, _, north, _, _ = raster.GetGeoTransform()
        plane = osr.SpatialReference(raster.GetProjection())
        earth = osr.SpatialReference()
        earth.ImportFromEPSG(4326)
        for system in (plane, earth):
            system.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
        to_plane, to_earth = osr.CoordinateTransformation(earth, plane), osr.CoordinateTransformation(plane, earth)
        lon, lat, _ = to_earth.TransformPoint(west + 10 * cell, north - 10 * cell)
        self.spacing_arcsec = 30
        self.place = window(math.ceil(lon * 120) / 120, math.floor(lat * 120) / 120, 30)
        values = plain_climate(23)
        for row in range(SIZE):
            for column in range(SIZE):
                x, y, _ = to_plane.TransformPoint(self.place.transform[0] + (column + 0.5) / 120,
                                                  self.place.transform[3] - (row + 0.5) / 120)
                across, down = (x - west) / cell - 0.5, (north - y) / cell - 0.5
                left, above = int(across), int(down)
                right_share, lower_share = across - left, down - above
                upper = numbers[:, above, left] * (1 - right_share) + numbers[:, above, left + 1] * right_share
                lower = numbers[:, above + 1, left] * (1 - right_share) + numbers[:, above + 1, left + 1] * right_share
                values["tmax"][:, row, column] = upper * (1 - lower_share) + lower * lower_share
        values["tmin"] = values["tmax"] - 9
        grids = self.canonical(values, [name for name in values if name != "tmax"])
        grids.append(Grid("tmax", str(path), "degC"))
        self.assert_same(grids, values, values)


class NClimGrid(Samples):
    """A file written here with the attributes of the sample, which is the header of the normals by day."""

    def attributes(self, variable):
        text = self.sample("nclimgrid/*.ncdump-h.txt").read_text(encoding="utf-8")
        found = {}
        for name, value in re.findall(rf"^\t\t{variable}:(\S+) = (.*) ;$", text, re.MULTILINE):
            found[name] = value.strip('"') if value.startswith('"') else numpy.float32(value.rstrip("f"))
        return found

    def test_values(self):
        self.place = window(-124.6875 + 1 / 48, 44.9375 + 1 / 48, 150)
        self.spacing_arcsec = 75
        values = plain_climate(24)
        attributes = self.attributes("dlyprcp_norm")
        self.assertEqual(attributes["units"], "millimeter")
        fill = attributes.pop("_FillValue")
        time = [self.attributes("time"), list(MONTHS)]
        time[0].pop("units")  # of the days of a year
        deviation = numpy.full_like(values["rain"], 7)
        for netcdf_variable in ("mlyprcp_norm", None):
            self.write_netcdf(self.path("prcp.nc"), {"mlyprcp_norm": (values["rain"], attributes),
                                                     "mlyprcp_std": (deviation, attributes)}, time, fill=fill)
            grids = self.canonical(values, [name for name in values if name != "rain"])
            keys = {"netcdf_variable": netcdf_variable} if netcdf_variable else {}
            grids.append(Grid("rain", "prcp.nc", "mm", **keys))
            if netcdf_variable:
                self.assert_same(grids, values, values)
            else:
                self.write_elevation()
                self.assertRegex(self.error_of(grids), "mlyprcp_norm.*mlyprcp_std")


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--builder", required=True)
    parser.add_argument("--open-data", required=True)
    options, rest = parser.parse_known_args()
    PROGRAM["builder"] = options.builder
    SAMPLES["folder"] = Path(os.environ.get("THIRSTLINE_OPEN_DATA", options.open_data)) / "source-samples"
    unittest.main(argv=[sys.argv[0], *rest])
