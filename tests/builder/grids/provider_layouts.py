#!/usr/bin/env python3
"""Builds from grids in the layouts in which providers publish them, and compares the result with a build
from grids of the same values in the units of computation, which numpy converts here by published factors.

The files are invented, but true to the layout: types, packing, units and attributes as the providers write
them. The cells are centred on the points of the lattice, so that nothing is interpolated, and all ground is
at one elevation, so that nothing is adjusted.
"""

import argparse
import datetime
import gzip
import importlib.util
import os
import subprocess
import sys
import unittest
import zipfile
from pathlib import Path

import cftime
import netCDF4
import numpy
from osgeo import gdal

from layout_builds import (CELL, DAYS, ELEVATION, MONTHS, NORTH, PROGRAM, SIZE, WEST, Grid, Place, ProviderLayouts,
                           plain_climate, pressure_kpa, saturation_kpa)


class Chelsa(ProviderLayouts):
    """UInt16 GeoTIFFs, one a month: temperature in tenths of a kelvin, the rest with factors of its own."""

    PACKING = {"tasmax": ("tmax", 0.1, -273.15), "tasmin": ("tmin", 0.1, -273.15), "pr": ("rain", 0.1, 0),
               "rsds": ("radiation", 0.001, 0), "sfcWind": ("wind", 0.001, 0)}
    UNITS = {"tmax": "degC", "tmin": "degC", "rain": "mm", "radiation": "MJ/m2/day", "wind": "m/s",
             "vapour_pressure_deficit": "Pa"}

    def files(self, stated):
        """Decoded values and the recipe's grids."""
        values = plain_climate(1)
        grids = []
        for name, (variable, scale, offset) in self.PACKING.items():
            numbers = numpy.round((values[variable] - offset) / scale).astype(numpy.uint16)
            values[variable] = numbers * scale + offset
            path = f"CHELSA_{name}_{{month:02}}_1981-2010_V.2.1.tif"
            self.place.write_months(self.path(path), numbers, data_type=gdal.GDT_UInt16, nodata=65535,
                                    packing=(scale, offset) if stated else None)
            keys = {} if stated else {"scale": scale, "offset": offset}
            if variable == "wind":
                keys["height_m"] = 2
            grids.append(Grid(variable, path, self.UNITS[variable], **keys))
        saturation = (saturation_kpa(values["tmax"]) + saturation_kpa(values["tmin"])) / 2
        deficit_pa = numpy.round((saturation - values["vapour_pressure"]) * 1000).astype(numpy.uint16)
        values["vapour_pressure"] = saturation - deficit_pa / 1000
        self.place.write_months(self.path("CHELSA_vpd_{month:02}_1981-2010_V.2.1.tif"), deficit_pa,
                                data_type=gdal.GDT_UInt16, nodata=65535)
        grids.append(Grid("vapour_pressure_deficit", "CHELSA_vpd_{month:02}_1981-2010_V.2.1.tif", "Pa"))
        return values, grids

    def test_scale_and_offset_of_the_recipe(self):
        values, grids = self.files(stated=False)
        found = self.assert_same(grids, values, values)
        self.assertEqual({row["method_note"] for row in found.values()}, {"humidity from mean relative humidity"})

    def test_scale_and_offset_of_the_header(self):
        values, grids = self.files(stated=True)
        self.assert_same(grids, values, values)

    def test_scale_given_twice_is_an_error(self):
        _, grids = self.files(stated=True)
        self.write_elevation()
        grids[0].keys = {"scale": 0.1, "offset": -273.15}
        error = self.error_of(grids)
        self.assertRegex(error, r"^thirstline-builder: wrong.toml:12: grid \"tmax of the Merrow\": .*tif states its "
                         r"own scale 0.1 and offset -273.15, which are applied, and the recipe has scale = 0.1 and "
                         r"offset = -273.15 too\nhint: .*scale_of_file = \"wrong\"")

    def test_a_wrong_header_is_overruled(self):
        values, grids = self.files(stated=True)
        wrong = (values["tmax"] + 273.15) * 10
        self.place.write_months(self.path("wrong_{month:02}.tif"), numpy.round(wrong).astype(numpy.uint16),
                                data_type=gdal.GDT_UInt16, packing=(10.0, 5.0))
        grids[0] = Grid("tmax", "wrong_{month:02}.tif", "degC", scale_of_file="wrong", scale=0.1, offset=-273.15)
        self.assert_same(grids, values, values)
        grids[0].keys = {"scale_of_file": "wrong", "scale": 0.1}
        grids[0].unit = "K"
        self.assert_same(grids, values, values)

    def test_temperature_without_scale_is_rejected(self):
        _, grids = self.files(stated=False)
        self.write_elevation()
        grids[0].keys = {}
        self.assertIn('unit = "degC" cannot be right', self.error_of(grids))


class WorldClim(ProviderLayouts):
    """Zipped GeoTIFFs, one a month; radiation in kJ m-2 day-1 as whole numbers."""

    def test_radiation_in_kilojoules(self):
        values = plain_climate(2)
        numbers = numpy.round(values["radiation"] * 1000).astype(numpy.uint16)
        values["radiation"] = numbers / 1000
        with zipfile.ZipFile(self.path("wc2.1_10m_srad.zip"), "w") as archive:
            for month in MONTHS:
                name = f"wc2.1_10m_srad_{month:02}.tif"
                self.place.write(self.path(name), [numbers[month - 1]], data_type=gdal.GDT_UInt16, nodata=65535)
                archive.write(self.path(name), name)
                os.remove(self.path(name))
        others = [name for name in values if name != "radiation"]
        grids = self.canonical(values, others)
        grids.append(Grid("radiation", "/vsizip/wc2.1_10m_srad.zip/wc2.1_10m_srad_{month:02}.tif", "kJ/m2/day"))
        self.assert_same(grids, values, values)


SECONDS = [{"units": "seconds since 1970-01-01", "calendar": "proleptic_gregorian", "standard_name": "time"},
           [netCDF4.date2num(datetime.datetime(2020, month, 1), "seconds since 1970-01-01")
            for month in MONTHS]]


class Era5(ProviderLayouts):
    """netCDF with valid_time; water in metres a day, joules, the components of wind at 10 m."""

    def files(self):
        values = plain_climate(3)
        angle = numpy.linspace(0, 6, values["wind"].size).reshape(values["wind"].shape)
        at_ten_metres = values["wind"] / (4.87 / numpy.log(67.8 * 10 - 5.42))  # FAO-56 eq. 47
        dew_point = 237.3 / (17.27 / numpy.log(values["vapour_pressure"] / 0.6108) - 1)
        for name, (numbers, unit) in {
                "tp": (values["rain"] / DAYS / 1000, "m"),
                "ssrd": (values["radiation"] * 1e6, "J m**-2"),
                "u10": (at_ten_metres * numpy.cos(angle), "m s**-1"),
                "v10": (at_ten_metres * numpy.sin(angle), "m s**-1"),
                "d2m": (dew_point + 273.15, "K")}.items():
            self.write_netcdf(self.path(name + ".nc"),
                              {name: (numbers, {"units": unit, "GRIB_missingValue": 3.4e38})}, SECONDS,
                              axes=("latitude", "longitude"), time_name="valid_time", fill=numpy.float32(numpy.nan))
        grids = self.canonical(values, ["tmax", "tmin"])
        grids += [Grid("rain", "tp.nc", "m/day"), Grid("radiation", "ssrd.nc", "J/m2/day"),
                  Grid("wind_u", "u10.nc", "m/s", height_m=10), Grid("wind_v", "v10.nc", "m/s", height_m=10),
                  Grid("dew_point", "d2m.nc", "K")]
        return values, grids

    def test_units_and_components(self):
        values, grids = self.files()
        self.assert_same(grids, values, values)
        check = self.run_builder("check", self.path("found.toml"))
        self.assertIn("components wind_u and wind_v is below the mean wind speed", check.stdout)

    def test_a_component_alone_is_an_error(self):
        _, grids = self.files()
        self.write_elevation()
        del grids[5]
        self.assertRegex(self.error_of(grids), r"wrong.toml:44: \[\[grid\]\] has wind_u, and none has wind_v, without "
                         "which it is not used; add wind_v")


class GridMet(ProviderLayouts):
    """Monthly climatologies: kelvin, watts, specific humidity, relative humidity at its extremes."""

    TIME = [{"units": "days since 1900-01-01 00:00:00", "calendar": "gregorian"},
            [netCDF4.date2num(datetime.datetime(2005, month, 15), "days since 1900-01-01")
             for month in MONTHS]]

    def others(self, values):
        files = {"tmmx": ("tmax", values["tmax"] + 273.15, "K", "K"),
                 "tmmn": ("tmin", values["tmin"] + 273.15, "K", "K"),
                 "srad": ("radiation", values["radiation"] / 0.0864, "W m-2", "W/m2"),
                 "pr": ("rain", values["rain"], "mm", "mm")}
        grids = self.canonical(values, ["wind"])
        for name, (variable, numbers, unit_of_file, unit) in files.items():
            self.write_netcdf(self.path(name + ".nc"), {name: (numbers, {"units": unit_of_file})}, self.TIME,
                              fill=-32767.0)
            grids.append(Grid(variable, name + ".nc", unit))
        return grids

    def test_specific_humidity(self):
        values = plain_climate(4)
        grids = self.others(values)
        # q = 0.622 e / (p - 0.378 e): the definition of specific humidity.
        e, p = values["vapour_pressure"], pressure_kpa(ELEVATION)
        self.write_netcdf(self.path("sph.nc"), {"sph": (0.622 * e / (p - 0.378 * e), {"units": "kg/kg"})}, self.TIME)
        grids.append(Grid("specific_humidity", "sph.nc", "kg/kg"))
        found = self.assert_same(grids, values, values)
        self.assertEqual({row["method_note"] for row in found.values()}, {""})
        grids[-1].unit = "g/kg"
        self.assertRegex(self.error_of(grids), r'sph.nc gives its unit as "kg/kg", which is not the recipe\'s unit = '
                         r'"g/kg".*\nhint: .*unit_of_file = "wrong"')

    def test_extremes_of_relative_humidity(self):
        values = plain_climate(5)
        grids = self.others(values)
        random = numpy.random.default_rng(6)
        rmax = random.uniform(70, 98, values["tmax"].shape).astype("f4")
        rmin = random.uniform(20, 60, values["tmax"].shape).astype("f4")
        # FAO-56 eq. 17.
        values["vapour_pressure"] = (saturation_kpa(values["tmin"]) * rmax +
                                     saturation_kpa(values["tmax"]) * rmin) / 200
        self.write_netcdf(self.path("rmax.nc"), {"rmax": (rmax, {"units": "%"})}, self.TIME)
        self.write_netcdf(self.path("rmin.nc"), {"rmin": (rmin, {"units": "%"})}, self.TIME)
        grids += [Grid("relative_humidity_max", "rmax.nc", "%"), Grid("relative_humidity_min", "rmin.nc", "%")]
        self.assert_same(grids, values, values)


class Prism(ProviderLayouts):
    """GeoTIFFs in NAD83; the deficit of vapour pressure at the extremes of temperature, in hPa."""

    def test_extremes_of_the_deficit(self):
        self.place = Place(epsg=4269)
        values = plain_climate(7)
        for name, temperature in [("vpdmin", "tmin"), ("vpdmax", "tmax")]:
            deficit = (saturation_kpa(values[temperature]) - values["vapour_pressure"]) * 10
            self.place.write_months(self.path(f"prism_{name}_us_25m_2020{{month:02}}_avg_30y.tif"), deficit,
                                    data_type=gdal.GDT_Float32, nodata=-9999)
        others = [name for name in values if name != "vapour_pressure"]
        grids = self.canonical(values, others)
        grids += [Grid("vapour_pressure_deficit_min", "prism_vpdmin_us_25m_2020{month:02}_avg_30y.tif", "hPa"),
                  Grid("vapour_pressure_deficit_max", "prism_vpdmax_us_25m_2020{month:02}_avg_30y.tif", "hPa")]
        self.assert_same(grids, values, values)


class CruCl2(ProviderLayouts):
    """Lines of points, compressed, which a script turns into rasters; mean temperature and its daily range;
    relative humidity and sunshine in percent."""

    SCRIPT = Path(__file__).resolve().parents[3] / "builder/converters/point-text.py"

    def run_script(self, name):
        return subprocess.run([sys.executable, "-B", self.SCRIPT, "--every", str(3600 * CELL),
                               self.path(f"grid_10min_{name}.dat.gz"), self.path(f"{name}.bil")],
                              capture_output=True, text=True, check=False)

    @classmethod
    def converter(cls):
        """The script's functions."""
        spec = importlib.util.spec_from_file_location("point_text", cls.SCRIPT)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        return module

    def write_points(self, name, numbers, more=""):
        """As published: latitude, longitude and the months in columns of fixed width, from the south."""
        with gzip.open(self.path(f"grid_10min_{name}.dat.gz"), "wt", encoding="ascii") as file:
            for row in reversed(range(SIZE)):
                for column in range(SIZE):
                    place = (NORTH - CELL * (row + 0.5), WEST + CELL * (column + 0.5))
                    file.write("{:8.3f}{:9.3f}".format(*place) +
                               "".join(f"{number:8.3f}" for number in numbers[:, row, column]) + more + "\n")

    def test_mean_and_range(self):
        values = plain_climate(8)
        mean, reach = (values["tmax"] + values["tmin"]) / 2, values["tmax"] - values["tmin"]
        values["relative_humidity"] = values.pop("vapour_pressure") / saturation_kpa(mean) * 100
        values["sunshine_fraction"] = values.pop("radiation") / 30
        for name, numbers in {"tmp": mean, "dtr": reach, "reh": values["relative_humidity"],
                              "sunp": values["sunshine_fraction"] * 100}.items():
            self.write_points(name, numbers)
        # Twelve coefficients of variation come after the sums.
        self.write_points("pre", values["rain"], "".join("    50.0" for _ in MONTHS))
        self.assertEqual(self.run_script("tmp").returncode, 0)
        script = self.converter()
        for name in ("dtr", "reh", "sunp", "pre"):
            cells = script.read_cells(Path(self.path(f"grid_10min_{name}.dat.gz")), CELL)
            script.write_raster(Path(self.path(f"{name}.bil")), *cells, CELL)
        grids = self.canonical(values, ["wind"])
        grids += [Grid("tmean", "tmp.bil", "degC"), Grid("temperature_range", "dtr.bil", "degC"),
                  Grid("relative_humidity", "reh.bil", "%"), Grid("sunshine_fraction", "sunp.bil", "%"),
                  Grid("rain", "pre.bil", "mm")]
        self.assert_same(grids, values, values)

    def test_text_that_is_not_a_table_of_points(self):
        script = self.converter()
        for text, says in [("", "there is no line"), ("44.1 -38.2 1 2 3\n", "line 1 has 5 numbers"),
                           ("\n144.1 -38.2" + " 1" * 12, "line 2 does not begin with a latitude"),
                           ("44.1 -38.2" + " x" * 12, "line 1 has a field that is not a number"),
                           (("44.1 -38.2" + " 1" * 12 + "\n") * 2, "line 2 is in the same cell as another"),
                           ("44.1 -38.2" + " 1" * 12 + "\n44.0 -38.2" + " 1" * 12,
                            "line 2 is not a whole number of cells of 900 seconds from the others")]:
            path = Path(self.path("grid_10min_tmp.dat.gz"))
            with gzip.open(path, "wt", encoding="ascii") as file:
                file.write(text)
            with self.assertRaises(script.TableError) as raised:
                script.read_cells(path, CELL)
            self.assertTrue(str(raised.exception).startswith(says), raised.exception)
        run = self.run_script("tmp")
        self.assertEqual(run.returncode, 1)
        self.assertIn("point-text.py: " + self.path("grid_10min_tmp.dat.gz: line 2 is not a whole"), run.stderr)


class TerraClimate(ProviderLayouts):
    """int16 with scale and offset; times 1 to 12 in "months" of the calendar "months"."""

    TIME = {"units": "months", "calendar": "months", "description": "months since January", "standard_name": "time"}

    def files(self, months=tuple(MONTHS), unit_of_vap="kPa"):
        values = plain_climate(9)
        grids = self.canonical(values, ["rain", "wind", "radiation"])
        for name, variable, unit, unit_of_file, offset in [
                ("tmax", "tmax", "degC", "deg C", -73), ("tmin", "tmin", "degC", "deg C", -73),
                ("vap", "vapour_pressure", "kPa", unit_of_vap, 0)]:
            numbers = numpy.round((values[variable] - offset) / 0.1).astype(numpy.int16)
            values[variable] = numbers * 0.1 + offset
            path = f"TerraClimate19912020_{name}.nc"
            self.write_netcdf(self.path(path), {name: (numbers, {
                "units": unit_of_file, "missing_value": numpy.int16(-32768), "scale_factor": 0.1,
                "add_offset": float(offset)})}, [self.TIME, months], kind="i2", fill=-32768)
            grids.append(Grid(variable, path, unit))
        return values, grids

    def test_packing_and_months(self):
        values, grids = self.files()
        self.assert_same(grids, values, values)

    def test_months_in_another_order_are_an_error(self):
        _, grids = self.files(months=[7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6])
        self.write_elevation()
        self.assertIn("does not run from January to December: its first time is in July", self.error_of(grids))

    def test_a_wrong_unit_is_overruled_on_purpose(self):
        values, grids = self.files(unit_of_vap="mm")
        self.write_elevation()
        self.assertRegex(self.error_of(grids), r'gives its unit as "mm", which is not the recipe\'s unit = "kPa": '
                         r'correct the one that is wrong\nhint: if the file is wrong, set unit_of_file = "wrong"')
        grids[-1].keys["unit_of_file"] = "wrong"
        self.assert_same(grids, values, values)
        grids[-1].keys["unit_of_file"] = "right"
        self.assertRegex(self.error_of(grids),
                         r'wrong.toml:61: the key "unit_of_file" of \[\[grid\]\] must be "wrong", not "right"')


class Calendars(ProviderLayouts):
    """Twelve times in the calendars of models: without leap years, and of months with 30 days."""

    def test_months_are_dated(self):
        values = plain_climate(14)
        for calendar in ["noleap", "365_day", "360_day", "standard"]:
            with self.subTest(calendar):
                grids = self.canonical(values, [name for name in values if name not in ("tmax", "tmin")])
                grids += [Grid("tmax", "tmax.nc", "degC"), Grid("tmin", "tmin.nc", "degC")]
                times = {}
                for variable, unit in [("tmax", "hours since 1901-03-01"), ("tmin", "days since 1901-03-01")]:
                    times[variable] = [{"units": unit, "calendar": calendar}, [
                        netCDF4.date2num(cftime.datetime(2005, month, 16, calendar=calendar), unit, calendar)
                        for month in MONTHS]]
                    self.write_variable(variable, values, times[variable])
                self.assert_same(grids, values, values)
                for variable, (unit, numbers) in times.items():
                    self.write_variable(variable, values, [unit, numbers[1:] + numbers[:1]])
                    self.assertRegex(self.error_of(grids), rf"{variable}.nc.* its first time is in February")
                    self.write_variable(variable, values, [unit, numbers])

    def write_variable(self, variable, values, time):
        self.write_netcdf(self.path(variable + ".nc"), {variable: (values[variable], {"units": "degC"})}, time)


class HadUk(ProviderLayouts):
    """The British national grid, twelve times in hours, 1e20 where there is no land."""

    def test_national_grid(self):
        self.place = Place(epsg=27700, transform=(300000, 25000, 0, 400000, 0, -25000), bbox=(-2.5, 52.25, -1.25, 53.0))
        values = plain_climate(10)
        values["sunshine_hours"] = values.pop("radiation") / 3
        mean = (values["tmax"] + values["tmin"]) / 2
        values["relative_humidity"] = values.pop("vapour_pressure") / saturation_kpa(mean) * 100
        hours = [{"units": "hours since 1800-01-01 00:00:00", "calendar": "standard", "standard_name": "time",
                  "climatology": "climatology_bnds"},
                 [netCDF4.date2num(datetime.datetime(2006, month, 16), "hours since 1800-01-01")
                  for month in MONTHS]]
        grids = self.canonical(values, ["wind"])
        for name, variable, numbers, unit_of_file, unit in [
                ("tasmax", "tmax", values["tmax"], "degC", "degC"), ("tasmin", "tmin", values["tmin"], "degC", "degC"),
                ("rainfall", "rain", values["rain"], "mm", "mm"),
                ("sun", "sunshine_hours", values["sunshine_hours"] * DAYS, "hour", "h"),
                ("hurs", "relative_humidity", values["relative_humidity"], "%", "%")]:
            path = f"{name}_hadukgrid_uk_1km_mon-30y_199101-202012.nc"
            self.write_netcdf(self.path(path), {name: (numbers, {"units": unit_of_file,
                                                                 "grid_mapping": "transverse_mercator"})}, hours,
                              kind="f8", axes=("projection_y_coordinate", "projection_x_coordinate"), fill=1e20)
            grids.append(Grid(variable, path, unit))
        self.assert_same(grids, values, values)


class Units(ProviderLayouts):
    """The same values in every unit, by published factors: NIST SP 811 (2008), appendix B; the calorie of the
    langley is the thermochemical one; an okta is an eighth (WMO-No. 8)."""

    FACTORS = {
        "radiation": {"kJ/m2/day": 1000, "J/m2/day": 1e6, "Ly/day": 1 / 0.04184, "Wh/m2/day": 1e6 / 3600,
                      "kWh/m2/day": 1000 / 3600, "W/m2": 1e6 / 86400},
        "wind": {"km/day": 86.4, "km/h": 3.6, "mph": 1 / 0.44704, "knot": 3600 / 1852},
        "vapour_pressure": {"Pa": 1000, "hPa": 10, "mbar": 10},
        "rain": {"m": 0.001, "m/month": 0.001, "mm/day": 1 / DAYS, "m/day": 0.001 / DAYS,
                 "kg/m2/s": 1 / (86400 * DAYS), "in": 1 / 25.4},
    }

    def test_every_unit(self):
        """A build has a unit of each variable, so that there are no more builds than the most units of one."""
        values = plain_climate(11)
        for number in range(max(map(len, self.FACTORS.values()))):
            units = {variable: list(factors)[number % len(factors)] for variable, factors in self.FACTORS.items()}
            with self.subTest(units):
                grids = self.canonical(values, [name for name in values if name not in units])
                for variable, unit in units.items():
                    self.place.write(self.path(f"other-{variable}.tif"),
                                     values[variable] * self.FACTORS[variable][unit])
                    grids.append(Grid(variable, f"other-{variable}.tif", unit,
                                      **({"height_m": 2} if variable == "wind" else {})))
                self.assert_same(grids, values, values)

    def test_cloud_in_tenths_and_oktas(self):
        values = plain_climate(12)
        fraction = numpy.random.default_rng(13).uniform(0, 1, values["tmax"].shape)
        del values["radiation"]
        self.write_elevation()
        results = []
        for unit, factor in [("fraction", 1), ("%", 100), ("tenths", 10), ("oktas", 8)]:
            self.place.write(self.path("cloud.tif"), fraction * factor)
            results.append(self.built(unit.strip("%") + "cloud",
                                      self.canonical(values, values) + [Grid("cloud", "cloud.tif", unit)]))
        self.assertEqual({row["method_note"] for row in results[0].values()}, {"radiation from cloud cover"})
        for other in results[1:]:
            self.assertEqual(results[0], other)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--builder", required=True)
    options, rest = parser.parse_known_args()
    PROGRAM["builder"] = options.builder
    unittest.main(argv=[sys.argv[0], *rest])
