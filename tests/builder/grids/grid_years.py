#!/usr/bin/python3
"""Grids with the months of many years, in the layouts in which they are published: what is built from them equals
what is built from the means that numpy makes of the same files."""

import argparse
import os
import sys
import unittest

import cftime
import netCDF4
import numpy
from osgeo import gdal, osr

from layout_builds import CELL, MONTHS, NORTH, PROGRAM, SIZE, WEST, Grid, ProviderLayouts, plain_climate

FIRST, LAST = 1991, 2020
YEARS = range(FIRST, LAST + 1)


class YearsOfGrids(ProviderLayouts):
    def setUp(self):
        super().setUp()
        self.values = plain_climate(20)
        self.random = numpy.random.default_rng(21)

    def years_of(self, variable, first=FIRST, last=LAST):
        """The climate of each year around the normals, [year, month, row, column]."""
        spread = {"tmax": 1.5, "tmin": 1.2, "rain": 10}[variable]
        return self.values[variable][None] + self.random.uniform(-spread, spread, (last - first + 1, 12, SIZE, SIZE))

    def assert_means(self, grids, means):
        """`means` has the variables' means as numpy makes them."""
        values = {**self.values, **means}
        others = self.canonical(values, [name for name in values if name not in means])
        self.assert_same(others + grids, values, values)

    def write_times(self, path, values, dates, unit, calendar="standard", axis="time", **options):
        """`values`: [time, row, column]. Returns what a reader finds."""
        with netCDF4.Dataset(path, "w") as file:
            for name, size in [(axis, len(dates)), ("latitude", SIZE), ("longitude", SIZE)]:
                file.createDimension(name, size)
            times = file.createVariable(axis, "f8", (axis,))
            times.setncatts({"units": unit, "calendar": calendar, "standard_name": "time"})
            times[:] = netCDF4.date2num(dates, unit, calendar)
            rows = NORTH - CELL * (numpy.arange(SIZE) + 0.5)
            ascending = options.pop("ascending", False)
            for name, numbers, units in [("latitude", rows[::-1] if ascending else rows, "degrees_north"),
                                         ("longitude", WEST + CELL * (numpy.arange(SIZE) + 0.5), "degrees_east")]:
                file.createVariable(name, "f8", (name,))[:] = numbers
                file[name].units = units
            attributes = options.pop("attributes", {})
            stored = file.createVariable("v", options.pop("kind", "f4"), (axis, "latitude", "longitude"), **options)
            stored.setncatts(attributes)
            stored[:] = values[:, ::-1] if ascending else values
        with netCDF4.Dataset(path) as file:
            found = numpy.ma.filled(file["v"][:].astype("f8"), numpy.nan)
        return found[:, ::-1] if ascending else found

    def test_reanalysis(self):
        """All years and more in a file, packed, from south to north, times named valid_time."""
        for chunks in [(1, SIZE, SIZE), (396, 2, 2), (12, 3, 5)]:
            with self.subTest(chunks):
                rain = self.years_of("rain", 1989, 2021).reshape(-1, SIZE, SIZE)
                dates = [cftime.datetime(year, month, 1) for year in range(1989, 2022) for month in MONTHS]
                found = self.write_times(
                    self.path("rain.nc"), rain, dates, "seconds since 1970-01-01", "proleptic_gregorian", "valid_time",
                    ascending=True, kind="i2", fill_value=-32767, zlib=True, chunksizes=chunks,
                    attributes={"units": "mm", "scale_factor": 0.01, "add_offset": 100.0})
                means = found.reshape(33, 12, SIZE, SIZE)[2:32].mean(axis=0)
                self.assert_means([Grid("rain", "rain.nc", "mm")], {"rain": means})

    def test_a_file_for_each_year(self):
        """With a scale of its own each, in the calendar without leap years."""
        tmax = self.years_of("tmax")
        means = numpy.zeros((12, SIZE, SIZE))
        for year in YEARS:
            dates = [cftime.datetime(year, month, 15, calendar="noleap") for month in MONTHS]
            means += self.write_times(
                self.path(f"tmax_{year}.nc"), tmax[year - FIRST], dates, "days since 1980-01-01", "noleap",
                kind="i2", fill_value=-32768,
                attributes={"units": "degrees C", "scale_factor": 0.002 + 0.0001 * (year % 7),
                            "add_offset": float(year % 3)}) / len(YEARS)
        self.assert_means([Grid("tmax", "tmax_{year}.nc", "degC")], {"tmax": means})

    def test_a_file_for_each_month(self):
        tmin = self.years_of("tmin")
        for year in YEARS:
            self.place.write_months(self.path(f"tmin_{year}{{month:02}}.tif"), tmin[year - FIRST],
                                    data_type=gdal.GDT_Float32)
        self.assert_means([Grid("tmin", "tmin_{year}{month:02}.tif", "degC")],
                          {"tmin": tmin.astype("f4").astype("f8").mean(axis=0)})

    def test_calendars(self):
        """Dates as netCDF4 counts them; the count of the old standard calendar begins in the Julian one."""
        rain = self.years_of("rain").reshape(-1, SIZE, SIZE).astype("f4")
        means = rain.astype("f8").reshape(30, 12, SIZE, SIZE).mean(axis=0)
        for calendar, unit, day in [("360_day", "days since 1850-01-01", 30), ("365_day", "hours since 1900-01-01", 28),
                                    ("noleap", "days since 2000-03-01", 1), ("standard", "hours since 0001-01-01", 1),
                                    ("gregorian", "days since 1-1-1", 1), ("proleptic_gregorian", "days since 1-1-1", 1),
                                    ("standard", "minutes since 2005-06-07", 16)]:
            with self.subTest(f"{calendar}, {unit}"):
                dates = [cftime.datetime(year, month, day, calendar=calendar) for year in YEARS for month in MONTHS]
                self.write_times(self.path("rain.nc"), rain, dates, unit, calendar)
                self.assert_means([Grid("rain", "rain.nc", "mm")], {"rain": means})

    def test_numbers_of_months(self):
        """The months 1 to 12 in each year's file, as files of normals have them too."""
        rain = self.years_of("rain").astype("f4")
        for year in YEARS:
            self.write_netcdf(self.path(f"rain_{year}.nc"), {"v": (rain[year - FIRST], {"units": "mm"})},
                              [{"units": "months"}, list(MONTHS)])
        self.assert_means([Grid("rain", "rain_{year}.nc", "mm")], {"rain": rain.astype("f8").mean(axis=0)})

    def test_grib(self):
        """Written by GDAL, which takes and gives temperatures in degC."""
        tmax = self.years_of("tmax").reshape(-1, SIZE, SIZE)
        self.write_grib("tmax.grib", tmax)
        stored = gdal.Open(self.path("tmax.grib")).ReadAsArray()
        self.assertLess(numpy.abs(stored - tmax).max(), 0.01)
        means = {"tmax": stored.astype("f8").reshape(30, 12, SIZE, SIZE).mean(axis=0)}
        self.assert_means([Grid("tmax", "tmax.grib", "degC")], means)
        self.assertRegex(self.error_of([Grid("tmax", "tmax.grib", "K")] + self.canonical(self.values, ["tmin"])),
                         r'tmax.grib gives its unit as "degC", which is not the recipe\'s unit = "K"')
        self.write_grib("two.grib", tmax, elements=(0, 6))  # temperature and dew point by turns
        self.assertRegex(self.error_of([Grid("tmax", "two.grib", "degC")] + self.canonical(self.values, ["tmin"])),
                         r"two.grib holds several variables, DPT, TMP, and a GRIB file must hold one")

    def write_grib(self, name, tmax, elements=(0,)):
        raster = gdal.GetDriverByName("MEM").Create("", SIZE, SIZE, len(tmax), gdal.GDT_Float64)
        raster.SetGeoTransform(self.place.transform)
        system = osr.SpatialReference()
        system.ImportFromEPSG(4326)
        raster.SetProjection(system.ExportToWkt())
        options = ["DATA_ENCODING=SIMPLE_PACKING", "NBITS=24"]
        for number, values in enumerate(tmax):
            raster.GetRasterBand(number + 1).WriteArray(values)
            date = f"{FIRST + number // 12}-{number % 12 + 1:02}-01"
            element = elements[number % len(elements)]
            options += [f"BAND_{number + 1}_IDS=CENTER=98(ECMWF) REF_TIME={date}T00:00:00Z",
                        f"BAND_{number + 1}_PDS_PDTN=0",
                        f"BAND_{number + 1}_PDS_TEMPLATE_ASSEMBLED_VALUES=0 {element} 2 255 96 0 0 1 0 1 0 0 255 0 0"]
        gdal.GetDriverByName("GRIB").CreateCopy(self.path(name), raster, options=options)

    def test_errors(self):
        self.write_elevation()
        others = self.canonical(self.values, [name for name in self.values if name != "rain"])
        rain = self.years_of("rain").reshape(-1, SIZE, SIZE)
        dates = [cftime.datetime(year, month, 15) for year in YEARS for month in MONTHS]
        path = self.path("rain.nc")
        unit = "days since 1900-01-01"

        def expect(sentence, period="1991-2020", name="rain.nc"):
            grid = Grid("rain", name, "mm")
            text = grid.text()
            grid.text = lambda: text.replace('"1991-2020"', f'"{period}"')
            message = self.error_of([*others, grid])
            self.assertRegex(message, sentence)

        self.write_times(path, numpy.delete(rain, 74, axis=0), numpy.delete(dates, 74), unit)
        expect(r"wrong.toml:\d+: grid .*rain.nc lacks March 1997 of the period 1991-2020")
        doubled = list(dates)
        doubled[75] = doubled[74]
        self.write_times(path, rain, doubled, unit)
        expect(r"rain.nc has 2 times in March 1997, and a grid of years needs one for each month")
        self.write_times(path, rain, dates, unit)
        expect(r"has the months from January 1991 to December 2020, and the period 1981-2010 needs all from "
               r"January 1981 to December 2010", "1981-2010")
        expect(r"rain.nc has more than 12 bands, and a monthly grid needs 12", "normal")
        self.write_times(path, rain[:13], dates[:13], unit)
        expect(r"has the months from January 1991 to January 1992")
        self.write_times(path, rain[:11], dates[:11], unit)
        expect(r"rain.nc has 11 bands, and a monthly grid needs 12")
        days = [cftime.datetime(1991, month, day) for month in MONTHS for day in range(1, 29)]
        self.write_times(path, rain[:336], days, unit)
        expect(r"has 28 times in January 1991, and a grid of years needs one for each month", "1991-1991")
        expect(r'the path has \{year\}, so the period "normals" must be the first and last year', "normals",
               "rain_{year}.nc")

    def test_a_mark_that_the_file_does_not_state(self):
        """-9999 in one month of one year: the cell's month is rejected, and said so."""
        self.write_elevation()
        rain = self.years_of("rain").reshape(-1, SIZE, SIZE)
        rain[5 * 12 + 3, 4, 4] = -9999
        dates = [cftime.datetime(year, month, 15) for year in YEARS for month in MONTHS]
        self.write_times(self.path("rain.nc"), rain, dates, "days since 1900-01-01")
        others = self.canonical(self.values, [name for name in self.values if name != "rain"])
        done = self.run_builder("check", self.recipe("marked", [*others, Grid("rain", "rain.nc", "mm")]))
        self.assertRegex(done.stdout, r"negative rain")
        self.assertRegex(done.stdout, r"rain.nc at 44.500,-37.000 +rain, month 4 +-9999 mm +not used")


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--builder", required=True)
    arguments, rest = parser.parse_known_args()
    PROGRAM["builder"] = os.path.abspath(arguments.builder)
    unittest.main(argv=[sys.argv[0], *rest])
