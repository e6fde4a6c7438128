"""Grids written in the layouts of providers, built, and compared with a build from grids of the same values
in the units of computation."""

import contextlib
import hashlib
import os
import shutil
import sqlite3
import subprocess
import tempfile
import unittest

import netCDF4
import numpy
from osgeo import gdal, osr

gdal.UseExceptions()
osr.UseExceptions()

PROGRAM = {}
MONTHS = range(1, 13)
DAYS = numpy.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])[:, None, None]
SIZE = 8
CELL = 0.25
WEST = -38.125
NORTH = 45.625
ELEVATION = 250.0
# Numbers of the file format: ETo in 0.01 mm/day, temperature in 0.1 degC, rain in whole mm or finer.
TOLERANCE = {"eto_mm_per_day": 0.0101, "tmax_c": 0.101, "tmin_c": 0.101, "rain_mm": 1.01}


def saturation_kpa(celsius):
    """FAO-56 eq. 11."""
    return 0.6108 * numpy.exp(17.27 * celsius / (celsius + 237.3))


def pressure_kpa(metres):
    """FAO-56 eq. 7."""
    return 101.3 * ((293 - 0.0065 * metres) / 293) ** 5.26


def plain_climate(seed):
    """Consistent monthly values in the units of computation, [month, row, column]."""
    random = numpy.random.default_rng(seed)
    shape = (12, SIZE, SIZE)
    season = numpy.cos((numpy.arange(12) - 6.5) * numpy.pi / 6)[:, None, None]
    tmin = 6 + 8 * season + random.uniform(-2, 2, shape)
    tmax = tmin + random.uniform(7, 13, shape)
    return {
        "tmax": tmax,
        "tmin": tmin,
        "vapour_pressure": saturation_kpa(tmin) * random.uniform(0.7, 0.95, shape),
        "wind": random.uniform(1.5, 5, shape),
        "radiation": 11 + 7 * season + random.uniform(-1, 1, shape),
        "rain": random.uniform(15, 180, shape),
    }


CANONICAL = {"tmax": "degC", "tmin": "degC", "vapour_pressure": "kPa", "relative_humidity": "%", "wind": "m/s",
             "radiation": "MJ/m2/day", "sunshine_fraction": "fraction", "sunshine_hours": "h/day", "rain": "mm"}


class Grid:
    """A [[grid]] of a recipe."""

    def __init__(self, variable, path, unit, **keys):
        self.variable, self.path, self.unit, self.keys = variable, path, unit, keys

    def text(self):
        lines = ["[[grid]]", f'name = "{self.variable} of the Merrow"', f'variable = "{self.variable}"',
                 f'path = "{self.path}"', f'unit = "{self.unit}"', 'period = "1991-2020"', 'licence = "CC0-1.0"',
                 'attribution = "Merrow Weather Office (invented)"']
        for key, value in self.keys.items():
            lines.append(f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}")
        return "\n".join(lines) + "\n"


class Place:
    """Where the cells are."""

    def __init__(self, epsg=4326, transform=(WEST, CELL, 0, NORTH, 0, -CELL), bbox=(-38.0, 43.75, -36.25, 45.5)):
        self.epsg, self.transform, self.bbox = epsg, transform, bbox

    def write(self, path, bands, data_type=gdal.GDT_Float64, nodata=None, unit=None, packing=None):
        rows, columns = bands[0].shape
        raster = gdal.GetDriverByName("GTiff").Create(path, columns, rows, len(bands), data_type)
        raster.SetGeoTransform(self.transform)
        system = osr.SpatialReference()
        system.ImportFromEPSG(self.epsg)
        raster.SetProjection(system.ExportToWkt())
        for number, values in enumerate(bands, 1):
            band = raster.GetRasterBand(number)
            if nodata is not None:
                band.SetNoDataValue(nodata)
            if unit:
                band.SetUnitType(unit)
            if packing:
                band.SetScale(packing[0])
                band.SetOffset(packing[1])
            band.WriteArray(values)
        del raster

    def write_months(self, pattern, values, **options):
        for month in MONTHS:
            self.write(pattern.replace("{month:02}", f"{month:02}"), [values[month - 1]], **options)


class ProviderLayouts(unittest.TestCase):
    EXPECTED = {}
    spacing_arcsec = 900

    def setUp(self):
        self.folder = tempfile.mkdtemp()
        self.addCleanup(shutil.rmtree, self.folder)
        self.place = Place()

    def path(self, name):
        return os.path.join(self.folder, name)

    def recipe(self, name, grids):
        west, south, east, north = self.place.bbox
        with open(self.path(name + ".toml"), "w", encoding="utf-8") as file:
            file.write('[baseline]\ntitle = "T"\nperiod = "1991-2020"\nsite_correction = "none"\n[lattice]\n'
                       f"spacing_arcsec = {self.spacing_arcsec}\nbbox = [{west}, {south}, {east}, {north}]\n"
                       "reach_km = 5\n"
                       '[elevation]\npath = "elevation.tif"\nunit = "m"\n')
            for grid in grids:
                file.write(grid.text())
        return self.path(name + ".toml")

    def run_builder(self, *arguments):
        return subprocess.run([PROGRAM["builder"], *arguments], capture_output=True, text=True, check=False)

    def built(self, name, grids):
        """The rows of the file's view by place and month, with the note of their method."""
        database = self.path(name + ".sqlite")
        done = self.run_builder("build", self.recipe(name, grids), "-o", database, "--overwrite")
        self.assertEqual(done.returncode, 0, done.stderr)
        with contextlib.closing(sqlite3.connect(database)) as file:
            file.row_factory = sqlite3.Row
            rows = file.execute("SELECT profile.*, method.note AS method_note FROM profile "
                                "JOIN method ON method.code = profile.method_code")
            return {(row["lat"], row["lon"], row["month"]): dict(row) for row in rows}

    def error_of(self, grids):
        done = self.run_builder("check", self.recipe("wrong", grids))
        self.assertEqual(done.returncode, 3, done.stdout)
        return done.stderr

    def write_elevation(self):
        self.place.write(self.path("elevation.tif"), [numpy.full((SIZE, SIZE), ELEVATION)])

    def canonical(self, values, variables):
        grids = []
        for variable in variables:
            path = f"canonical-{variable}.tif"
            self.place.write(self.path(path), values[variable])
            keys = {"height_m": 2} if variable == "wind" else {}
            grids.append(Grid(variable, path, CANONICAL[variable], **keys))
        return grids

    def expected(self, values, variables):
        """What is built from grids of `values` in the units of computation, once for the same values."""
        key = hashlib.sha256(repr((self.spacing_arcsec, self.place.epsg, self.place.transform,
                                   self.place.bbox)).encode())
        for variable in variables:
            key.update(variable.encode() + numpy.ascontiguousarray(values[variable]).tobytes())
        if key.digest() not in self.EXPECTED:
            self.EXPECTED[key.digest()] = self.built("expected", self.canonical(values, variables))
        return self.EXPECTED[key.digest()]

    def assert_same(self, grids, values, variables):
        """The grids give what grids of `values` in the units of computation give."""
        self.write_elevation()
        expected = self.expected(values, variables)
        found = self.built("found", grids)
        self.assertEqual(found.keys(), expected.keys())
        self.assertGreaterEqual(len(found), 12 * 20)
        for key, row in expected.items():
            for column, tolerance in TOLERANCE.items():
                if abs(found[key][column] - row[column]) > tolerance:
                    self.fail(f"{key}, {column}: {found[key][column]} is not {row[column]}")
        return found

    def write_netcdf(self, path, variables, time, kind="f4", axes=("lat", "lon"), time_name="time", fill=None):
        """`variables`: name to (values, attributes), the values packed if they are of whole numbers."""
        west, cell, north = self.place.transform[0], self.place.transform[1], self.place.transform[3]
        with netCDF4.Dataset(path, "w") as file:
            for name, size in [(time_name, 12), (axes[0], SIZE), (axes[1], SIZE)]:
                file.createDimension(name, size)
            axis = file.createVariable(time_name, "f8", (time_name,))
            axis.setncatts(time[0])
            axis[:] = time[1]
            for name, values, attributes in [
                    (axes[0], north - cell * (numpy.arange(SIZE) + 0.5), {"units": "degrees_north"}),
                    (axes[1], west + cell * (numpy.arange(SIZE) + 0.5), {"units": "degrees_east"})]:
                if self.place.epsg != 4326:
                    attributes = {"units": "m", "standard_name": name}
                axis = file.createVariable(name, "f8", (name,))
                axis.setncatts(attributes)
                axis[:] = values
            for name, (values, attributes) in variables.items():
                stored = file.createVariable(name, kind, (time_name, *axes), fill_value=fill)
                stored.set_auto_maskandscale(False)
                stored.setncatts(attributes)
                stored[:] = values
            if self.place.epsg == 27700:
                crs = file.createVariable("transverse_mercator", "i4")
                crs.setncatts({
                    "grid_mapping_name": "transverse_mercator", "longitude_of_prime_meridian": 0.0,
                    "semi_major_axis": 6377563.396, "semi_minor_axis": 6356256.909,
                    "longitude_of_central_meridian": -2.0, "latitude_of_projection_origin": 49.0,
                    "false_easting": 400000.0, "false_northing": -100000.0,
                    "scale_factor_at_central_meridian": 0.9996012717})
