#!/usr/bin/env python3
"""Reads exports with general tools (GDAL, netCDF4, ncdump, Python's csv and sqlite3) and compares them
with the answers of thirstline-lookup at the same places.

Two databases: the sample valley, and an invented world whose lattice forms a full circle. A third, of real
open data, if the folder in THIRSTLINE_OPEN_DATA, or that of --open-data, exists.

The rules of the CF conventions are checked according to their document (version 1.8): sections are named
next to each check. Standard names and their canonical units are those of the CF standard name table, from memory.
"""

import argparse
import csv
import os
import random
import re
import shutil
import sys
import unittest

import netCDF4
import numpy
from osgeo import gdal, ogr, osr
from osgeo_utils.samples import validate_cloud_optimized_geotiff

from exported_databases import (MONTHS, NOTICE_OF_THE_VALLEY, PROGRAMS, Database, ExportsTestCase, months_of,
                                read_csv, rounded_half_away, run)
from read_geopackage import Geopackage  # noqa: F401 - unittest finds it here

ogr.UseExceptions()

DAYS = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
FORMATS = ["csv", "geotiff", "netcdf", "geopackage"]


class Csv(ExportsTestCase):
    def test_values_equal_the_lookup(self):
        for database in self.each():
            points = read_csv(database.export("csv"))
            self.assertGreater(len(points), 1000)
            answers = database.answers(list(points))
            for place, rows in points.items():
                answer = answers[place]
                self.assertEqual(float(answer["distance_km"]), 0)
                self.assertEqual([int(row["month"]) for row in rows], list(MONTHS))
                self.assertEqual([float(row["days"]) for row in rows], DAYS)
                for name in ["eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"]:
                    found = [float(row[name]) if row.get(name) else None for row in rows]
                    self.assert_told(found, months_of(answer, name), (name, place))
                self.assertEqual(float(rows[0]["elevation_m"]), float(answer["elevation_m"]))
                self.assertIn(answer["method"], {row["method"] for row in rows})

    def test_csv_holds_only_a_table(self):
        for database in self.each():
            path = database.export("csv")
            with open(path, encoding="utf-8") as file:
                lines = file.read().splitlines()
            self.assertTrue(lines[0].startswith("lat,lon,elevation_m,month,days,eto_mm,"))
            widths = {len(row) for row in csv.reader(lines)}
            self.assertEqual(len(widths), 1)

    def test_has_its_sources_beside_it(self):
        for database in self.each():
            path = database.export("csv")
            with open(path[:-4] + ".sources.txt", encoding="utf-8") as file:
                text = file.read()
            self.assertIn(NOTICE_OF_THE_VALLEY, text)
            self.assertIn("CC0-1.0", text)
            self.assertFalse(re.search("[\x00-\x09\x0b-\x1f\x7f]", text))


class Geotiff(ExportsTestCase):
    def pixels(self, path):
        """By (lat, lon): the unscaled values of each band at the pixel's middle; and the bands."""
        raster = gdal.Open(path)
        west, step_east, _, north, _, step_south = raster.GetGeoTransform()
        bands = [raster.GetRasterBand(i + 1) for i in range(raster.RasterCount)]
        values = numpy.array([
            numpy.where(band.ReadAsArray() == band.GetNoDataValue(), numpy.nan,
                        band.ReadAsArray() * (band.GetScale() or 1)) for band in bands])
        points = {}
        for row in range(raster.RasterYSize):
            for column in range(raster.RasterXSize):
                if numpy.isnan(values[0, row, column]):
                    continue
                lat = north + step_south * (row + 0.5)
                lon = west + step_east * (column + 0.5)
                points[(f"{lat:.7f}", f"{(lon + 180) % 360 - 180:.7f}")] = values[:, row, column]
        return points, raster

    def check(self, database, path):
        points, raster = self.pixels(path)
        names = [raster.GetRasterBand(i + 1).GetDescription() for i in range(raster.RasterCount)]
        self.assertEqual(names[0], "eto_mm January")
        self.assertEqual(names[11], "eto_mm December")
        self.assertEqual(raster.GetRasterBand(7).GetUnitType(), "mm")
        self.assertNotIn("eto January", names)
        self.assertEqual(raster.GetRasterBand(7).GetMetadataItem("MONTH"), "7")
        answers = database.answers(list(points))
        for place, values in points.items():
            answer = answers[place]
            self.assertEqual(float(answer["distance_km"]), 0, place)
            for name, column in [("eto_mm", "eto_mm"), ("eto_se_mm", "eto_se_mm"), ("rain", "rain_mm"),
                                 ("rain_se", "rain_se_mm"), ("tmax", "tmax_c"), ("tmin", "tmin_c")]:
                if f"{name} January" not in names:
                    continue
                first = names.index(f"{name} January")
                self.assert_told(values[first:first + 12], months_of(answer, column), (name, place))
        return points

    def test_values_equal_the_lookup_at_each_point(self):
        for database in self.each():
            points = self.check(database, database.export("geotiff"))
            self.assertEqual(set(points), {
                (f"{float(lat):.7f}", f"{float(lon):.7f}") for lat, lon in read_csv(database.export("csv"))})

    def test_crosses_the_antimeridian_in_one_piece(self):
        world = self.databases[1]
        path = world.export("geotiff", "--bbox", "160,-30,-155,35", name="crossing")
        points = self.check(world, path)
        raster = gdal.Open(path)
        self.assertEqual((raster.RasterXSize, raster.RasterYSize), (10, 14))
        self.assertAlmostEqual(raster.GetGeoTransform()[0], 157.5)
        self.assertEqual(len(points), 140)

    def test_is_cloud_optimised(self):
        for database in self.each():
            path = database.export("geotiff")
            self.assertEqual(gdal.Open(path).GetMetadataItem("LAYOUT", "IMAGE_STRUCTURE"), "COG")
            _, errors, _ = validate_cloud_optimized_geotiff.validate(path, full_check=True)
            self.assertEqual(errors, [])

    def test_rain_minus_eto_is_rounded_once(self):
        for database in self.each():
            by_day, _ = self.pixels(database.export("geotiff", "--variables", "eto", name="by-day"))
            rain, _ = self.pixels(database.export("geotiff", "--variables", "rain", name="rain"))
            points, raster = self.pixels(database.export("geotiff", "--variables", "rain_minus_eto", name="difference"))
            self.assertEqual(raster.GetRasterBand(7).GetDescription(), "rain_minus_eto July")
            self.assertEqual(raster.GetRasterBand(7).GetUnitType(), "mm")
            for place, values in points.items():
                for month in range(12):
                    if numpy.isnan(values[month]):
                        continue
                    exact = round(rain[place][month], 2) - round(by_day[place][month], 2) * DAYS[month]
                    self.assertAlmostEqual(values[month], rounded_half_away(round(exact, 6), 1), 9, place)

    def test_one_variable_has_twelve_bands(self):
        raster = gdal.Open(self.databases[0].export("geotiff", "--variables", "rain", name="rain"))
        self.assertEqual(raster.RasterCount, 12)
        self.assertEqual(raster.GetRasterBand(12).GetDescription(), "rain December")

    def test_carries_the_notice_and_the_sources(self):
        for database in self.each():
            raster = gdal.Open(database.export("geotiff"))
            self.assertIn(NOTICE_OF_THE_VALLEY, raster.GetMetadataItem("NOTICE"))
            self.assertIn("CC0-1.0", raster.GetMetadataItem("LICENCE"))
            sources = [name for name in raster.GetMetadata() if name.startswith("SOURCE_")]
            self.assertGreaterEqual(len(sources), 6)
            self.assertEqual(raster.GetSpatialRef().GetAuthorityCode(None), "4326")


class Netcdf(ExportsTestCase):
    CANONICAL_UNITS = {  # of the CF standard name table, from memory
        "water_potential_evaporation_amount": "kg m-2",
        "water_potential_evaporation_flux": "kg m-2 s-1",
        "lwe_thickness_of_precipitation_amount": "m",
        "air_temperature": "K",
        "surface_altitude": "m",
        "latitude": "degree_north",
        "longitude": "degree_east",
    }
    UNITS_THAT_CONVERT = {"kg m-2": {"kg m-2"}, "kg m-2 s-1": {"kg m-2 day-1"}, "m": {"m", "mm"}, "K": {"degC"},
                          "degree_north": {"degrees_north"}, "degree_east": {"degrees_east"}}

    def test_values_equal_the_lookup_at_each_point(self):
        for database in self.each():
            with netCDF4.Dataset(database.export("netcdf")) as file:
                lats, lons = file["lat"][:], file["lon"][:]
                present = ~numpy.ma.getmaskarray(file["eto_mm"][0])
                places = [(f"{lats[r]:.7f}", f"{(lons[c] + 180) % 360 - 180:.7f}") for r, c in zip(*numpy.nonzero(present))]
                values = {name: file[name][:][:, present].astype(float).filled(numpy.nan)
                          for name in ["eto_mm", "eto_se_mm", "rain", "rain_se", "tmax", "tmin"] if name in file.variables}
            self.assertEqual(len(places), len(read_csv(database.export("csv"))))
            answers = database.answers(places)
            for i, place in enumerate(places):
                for name, column in [("eto_mm", "eto_mm"), ("eto_se_mm", "eto_se_mm"), ("rain", "rain_mm"),
                                     ("rain_se", "rain_se_mm"), ("tmax", "tmax_c"), ("tmin", "tmin_c")]:
                    if name in values:
                        self.assert_told(values[name][:, i], months_of(answers[place], column), (name, place))

    def test_is_the_geotiff_to_gdal(self):
        for database in self.each():
            netcdf = gdal.Open(f"NETCDF:{database.export('netcdf')}:tmax")
            geotiff = gdal.Open(database.export("geotiff", "--variables", "tmax", name="tmax"))
            self.assertTrue(numpy.allclose(netcdf.GetGeoTransform(), geotiff.GetGeoTransform()))
            self.assertEqual(netcdf.RasterCount, 12)
            self.assertTrue(netcdf.GetSpatialRef().IsSame(geotiff.GetSpatialRef()))
            self.assertTrue((netcdf.ReadAsArray() == geotiff.ReadAsArray()).all())

    def test_ncdump_reads_the_months(self):
        for database in self.each():
            text = run("ncdump", "-t", "-v", "time", database.export("netcdf"))
            found = re.findall(r'"(\d{4})-(\d\d)-(\d\d)', text[text.index("data:"):])
            self.assertEqual([int(month) for _, month, _ in found], list(MONTHS))
            self.assertEqual({year for year, _, _ in found}, {"2005"})

    def test_follows_the_cf_conventions(self):
        for database in self.each():
            with netCDF4.Dataset(database.export("netcdf")) as file:
                self.check_cf(file)

    def check_cf(self, file):
        self.assertEqual(file.Conventions, "CF-1.8")  # 2.6.1
        for name in ["title", "institution", "source", "history", "references", "comment"]:  # 2.6.2
            self.assertTrue(getattr(file, name), name)
        self.assertIn(NOTICE_OF_THE_VALLEY, file.comment)
        self.assertIn("CC0-1.0", file.license)
        for name, variable in file.variables.items():
            self.assertRegex(name, "^[A-Za-z][A-Za-z0-9_]*$")  # 2.3
            if name in ["crs", "climatology_bounds", "lat_bounds", "lon_bounds"]:
                continue
            self.assertTrue(hasattr(variable, "long_name") or hasattr(variable, "standard_name"))  # 3.2
            standard = getattr(variable, "standard_name", "").split()  # 3.3
            self.assertLessEqual(len(standard), 2)
            if len(standard) == 2:
                self.assertEqual(standard[1], "standard_error")  # appendix C
            if standard and standard[0] != "time":
                canonical = self.CANONICAL_UNITS[standard[0]]
                self.assertIn(variable.units, self.UNITS_THAT_CONVERT[canonical])  # 3.1
            if hasattr(variable, "flag_values"):  # 3.5
                meanings = variable.flag_meanings.split(" ")
                self.assertEqual(len(meanings), len(numpy.atleast_1d(variable.flag_values)))
                self.assertEqual(len(set(meanings)), len(meanings))
                self.assertEqual(numpy.atleast_1d(variable.flag_values).dtype, variable.dtype)
                for meaning in meanings:
                    self.assertRegex(meaning, r"^[A-Za-z0-9_.+@-]+$")
                variable.set_auto_mask(True)
                self.assertTrue(set(numpy.unique(variable[:].compressed())) <= set(numpy.atleast_1d(variable.flag_values)))
            if hasattr(variable, "scale_factor"):  # 8.1: packed as int, so unpacked as double
                self.assertEqual(variable.scale_factor.dtype, numpy.float64)
            for other in getattr(variable, "ancillary_variables", "").split():  # 3.4
                self.assertIn(other, file.variables)
            if "lat" in variable.dimensions and len(variable.dimensions) > 1:
                self.assertEqual(variable.dimensions, ("time", "lat", "lon")[-len(variable.dimensions):])  # 2.4
                self.assertEqual(variable.grid_mapping, "crs")  # 5.6
                self.assertEqual(variable._FillValue.dtype, variable.dtype)  # 2.5.1
        self.assertEqual(file["crs"].grid_mapping_name, "latitude_longitude")  # appendix F
        for name, letter in [("time", "T"), ("lat", "Y"), ("lon", "X")]:  # 4
            self.assertEqual(file[name].axis, letter)
            values = file[name][:]
            self.assertTrue((numpy.diff(values) > 0).all())  # 2.4: monotonic
        for name in ["lat", "lon"]:  # 7.1
            bounds = file[file[name].bounds]
            self.assertEqual(bounds.dimensions, (name, "bounds"))
            self.assertTrue((bounds[:, 0] < file[name][:]).all() and (bounds[:, 1] > file[name][:]).all())
            self.assertTrue(numpy.allclose(bounds[1:, 0], bounds[:-1, 1]))
        # 7.4: climatological statistics
        time = file["time"]
        self.assertFalse(hasattr(time, "bounds"))
        bounds = file[time.climatology]
        starts = netCDF4.num2date(bounds[:, 0], time.units, time.calendar)
        ends = netCDF4.num2date(bounds[:, 1], time.units, time.calendar)
        self.assertEqual([(d.year, d.month, d.day) for d in starts], [(1991, m, 1) for m in MONTHS])
        self.assertEqual([(d.year, d.month, d.day) for d in ends],
                         [(2020, m + 1, 1) for m in range(1, 12)] + [(2021, 1, 1)])
        method = r"time: \w+ within (years time: \w+ over years|days time: \w+ over days( time: \w+ over years)?)"
        for name in ["eto_mm", "rain", "rain_minus_eto", "tmax", "tmin"]:
            self.assertRegex(file[name].cell_methods, f"^{method}$")
        self.assertNotIn("eto", file.variables)

    def test_means_by_day_on_request(self):
        for database in self.each():
            with netCDF4.Dataset(database.export("netcdf", "--variables", "eto,eto_mm", name="by-day")) as file:
                self.assertEqual(file["eto"].units, "kg m-2 day-1")
                totals = file["eto"][:] * numpy.array(DAYS)[:, None, None]
                self.assertLess(numpy.abs(totals - file["eto_mm"][:]).max(), 0.0501)

    def test_crosses_the_antimeridian_in_one_piece(self):
        with netCDF4.Dataset(self.databases[1].export("netcdf", "--bbox", "160,-30,-155,35", name="crossing")) as file:
            self.assertEqual(list(file["lon"][:]), [160 + 5 * i for i in range(10)])
            self.assertFalse(numpy.ma.is_masked(file["eto_mm"][:]))


class Selections(ExportsTestCase):
    def test_a_box_takes_the_points_within_it(self):
        for database in self.each():
            everything = read_csv(database.export("csv"))
            for box in ["-38,44.3,-37.5,44.9", "170,-40,-170,40", "-38,44.6,-38,44.6"]:
                west, south, east, north = map(float, box.split(","))
                wanted = {place for place in everything
                          if south <= float(place[0]) <= north and (float(place[1]) - west) % 360 <= (east - west) % 360}
                if not wanted:
                    out = os.path.join(self.folder, "none.csv")
                    run(PROGRAMS.builder, "export", database.path, "--as", "csv", "-o", out, "--bbox", box, expect=1)
                    self.assertFalse(os.path.exists(out))
                    continue
                found = read_csv(database.export("csv", "--bbox", box, name="box"))
                self.assertEqual(set(found), wanted)
                self.assertTrue(all(found[place] == everything[place] for place in found))

    def region(self, epsg, wkt):
        path = os.path.join(self.folder, f"region-{epsg}.gpkg")
        if os.path.exists(path):
            os.remove(path)
        system = osr.SpatialReference()
        system.ImportFromEPSG(epsg)
        system.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
        data = ogr.GetDriverByName("GPKG").CreateDataSource(path)
        layer = data.CreateLayer("region", system)
        feature = ogr.Feature(layer.GetLayerDefn())
        feature.SetGeometry(ogr.CreateGeometryFromWkt(wkt))
        layer.CreateFeature(feature)
        return path

    def test_a_region_in_any_coordinate_system(self):
        valley = self.databases[0]
        everything = read_csv(valley.export("csv"))
        # The same triangle with a hole in degrees, and carried to UTM zone 24 in pieces of 100 m. No edge
        # runs through a point, where a hair would decide.
        wkt = ("POLYGON ((-38.21 44.11,-37.11 44.21,-37.71 45.11,-38.21 44.11),"
               "(-37.81 44.41,-37.61 44.61,-37.51 44.42,-37.81 44.41))")
        degrees = osr.SpatialReference()
        degrees.ImportFromEPSG(4326)
        degrees.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
        utm = osr.SpatialReference()
        utm.ImportFromEPSG(32624)
        triangle = ogr.CreateGeometryFromWkt(wkt)
        carried = triangle.Clone()
        carried.Segmentize(0.001)
        carried.Transform(osr.CoordinateTransformation(degrees, utm))
        wanted = {place for place in everything
                  if triangle.Intersects(ogr.CreateGeometryFromWkt(f"POINT ({place[1]} {place[0]})"))}
        self.assertGreater(len(wanted), 200)
        for region in [self.region(4326, wkt), self.region(32624, carried.ExportToWkt())]:
            self.assertEqual(set(read_csv(valley.export("csv", "--region", region, name="region"))), wanted)

    def test_several_at_once_are_their_intersection(self):
        valley = self.databases[0]
        everything = read_csv(valley.export("csv"))
        region = self.region(4326, "POLYGON ((-38 44,-37 44,-37 45,-38 45,-38 44))")
        found = read_csv(valley.export("csv", "--region", region, "--bbox", "-37.5,44.5,-36,46", name="both"))
        wanted = {p for p in everything if 44.5 <= float(p[0]) <= 45 and -37.5 <= float(p[1]) <= -37}
        self.assertEqual(set(found), wanted)

    def test_postal_codes_take_the_points_that_answer(self):
        valley = self.databases[0]
        codes = os.path.join(self.folder, "codes.txt")
        with open(codes, "w", encoding="utf-8") as file:
            file.write("04107\n04101\n")
        found = read_csv(valley.export("csv", "--postal", codes, name="codes"))
        # One in the valley, between four points; one by the shore.
        self.assertGreaterEqual(len(found), 5)
        self.assertLessEqual(len(found), 8)
        subset = valley.export("sqlite", "--postal", codes, name="codes")
        for code in ["04107", "04101"]:
            told = [run(PROGRAMS.lookup, "site", "--db", db, "--postal", code, "--format", "json")
                    for db in (valley.path, subset)]
            self.assertEqual(told[0], told[1])
        run(PROGRAMS.lookup, "site", "--db", subset, "--postal", "04103", expect=1)

    def test_thousands_of_sites_in_a_subset_are_answered_the_same(self):
        draw = random.Random(6)
        for database, box in zip(self.databases, [(-38.05, 44.2, -37.3, 44.95), (130.0, -50.0, 240.0, 60.0)]):
            west, south, east, north = box
            subset = database.export("sqlite", "--bbox", f"{west},{south},{(east + 180) % 360 - 180},{north}", name="sites")
            places = [(f"{draw.uniform(south, north):.7f}", f"{(draw.uniform(west, east) + 180) % 360 - 180:.7f}")
                      for _ in range(5000)]
            part = Database(self.folder, "part", subset)
            self.assertEqual(part.answers(places), database.answers(places))
            run(PROGRAMS.lookup, "verify", "--db", subset)
            self.assertLess(os.path.getsize(subset), os.path.getsize(database.path))


class Everywhere(ExportsTestCase):
    def test_the_same_bytes_again(self):
        for database in self.each():
            for form in FORMATS + ["sqlite"]:
                with self.subTest(form=form):
                    first = database.export(form, name="first")
                    with open(first, "rb") as file:
                        before = file.read()
                    with open(database.export(form, name="first"), "rb") as file:
                        self.assertEqual(file.read(), before)


class OpenData(ExportsTestCase):
    """Half-degree normals of a part of the real world: New, Hulme & Jones (1999)."""

    def test_values_of_real_normals(self):
        data = os.path.join(PROGRAMS.open_data, "cru-cl1-1961-1990")
        if not os.path.isdir(data):
            self.skipTest(f"no open data in {data}")
        recipe = """[baseline]
title = "Half-degree normals"
notice = "do not water by these numbers"
reference = "short"
period = "1961-1990"
[lattice]
spacing_arcsec = 1800
bbox = [-125.25, 24.25, -99.75, 49.75]
reach_km = 80
[elevation]
path = "ELEVATION"
unit = "m"
""".replace("ELEVATION", os.path.join(PROGRAMS.open_data, "elevation", "etopo5.tif"))
        grids = [("tmax", "tmx.tif", "degC", ""), ("tmin", "tmn.tif", "degC", ""), ("wind", "wnd.tif", "m/s", "height_m = 10"),
                 ("radiation", "rad.tif", "W/m2", ""), ("vapour_pressure", "vap.nc", "hPa", 'netcdf_variable = "vap"'),
                 ("rain", "pre.nc", "mm/day", 'netcdf_variable = "pre"')]
        for variable, name, unit, more in grids:
            path = os.path.join(data, name)
            if not os.path.exists(path):
                self.skipTest(f"no {path}")
            recipe += f"""[[grid]]
name = "{variable}"
variable = "{variable}"
path = "{path}"
unit = "{unit}"
period = "1961-1990"
licence = "see the source"
attribution = "New, Hulme & Jones (1999)"
{more}
"""
        toml = os.path.join(self.folder, "west.toml")
        with open(toml, "w", encoding="utf-8") as file:
            file.write(recipe)
        path = os.path.join(self.folder, "west.sqlite")
        run(PROGRAMS.builder, "build", toml, "-o", path)
        west = Database(self.folder, "west", path)
        points = read_csv(west.export("csv"))
        answers = west.answers(list(points))
        with netCDF4.Dataset(west.export("netcdf")) as file:
            lats, lons = list(file["lat"][:]), list(file["lon"][:])
            tmax, eto = file["tmax"][:], file["eto_mm"][:]
        raster = gdal.Open(west.export("geotiff", "--variables", "rain", name="rain"))
        left, step, _, top, _, _ = raster.GetGeoTransform()
        rain = raster.ReadAsArray() * (raster.GetRasterBand(1).GetScale() or 1)
        self.assertGreater(len(points), 1500)
        for place, rows in points.items():
            lat, lon = map(float, place)
            answer = answers[place]
            self.assertEqual([float(row["eto_mm"]) for row in rows], months_of(answer, "eto_mm"))
            r, c = lats.index(lat), lons.index(lon)
            self.assertTrue(numpy.allclose(tmax[:, r, c], months_of(answer, "tmax_c"), atol=1e-6))
            self.assertTrue(numpy.allclose(eto[:, r, c], [float(row["eto_mm"]) for row in rows], atol=1e-6))
            pixel = rain[:, int((top - lat) / step), int((lon - left) / step)]
            self.assertTrue(numpy.allclose(pixel, months_of(answer, "rain_mm"), atol=1e-6))


def main():
    parser = argparse.ArgumentParser()
    for name in ["builder", "lookup", "recipe", "open-data"]:
        parser.add_argument("--" + name, required=True)
    _, rest = parser.parse_known_args(namespace=PROGRAMS)
    PROGRAMS.open_data = os.environ.get("THIRSTLINE_OPEN_DATA", PROGRAMS.open_data)
    try:
        unittest.main(argv=[sys.argv[0], *rest])
    finally:
        if ExportsTestCase.folder:
            shutil.rmtree(ExportsTestCase.folder, ignore_errors=True)


if __name__ == "__main__":
    main()
