#!/usr/bin/env python3
"""A hydrologist's work on a real basin, from the open data to a published folder, against facts from elsewhere.

    check_basin_walk.py --builder PROGRAM --lookup PROGRAM --library FILE --package FOLDER --open-data FOLDER

The basin is that of the upper Sacramento: CRU CL 1.0 (1961-1990) at 900" around it, and with the stations of the
WMO normals of 1991-2020 at 100" in it. What check, build, evaluate, join, export, publish and compare say is held
against the grids and tables themselves, read by NumPy and csv, and against their products, read by GDAL. Exit status
77 without the open data.
"""
import argparse
import csv
import hashlib
import io
import json
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy
from osgeo import gdal, ogr

gdal.UseExceptions()
ogr.UseExceptions()
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
DAYS = numpy.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
CLIMATE = "cru-cl1-1961-1990"
GRIDS = [("tmax", "tmx.tif", "degC"), ("tmin", "tmn.tif", "degC"), ("vapour_pressure", "vap.nc", "hPa"),
         ("wind", "wnd.tif", "m/s"), ("radiation", "rad.tif", "W/m2"), ("rain", "pre.nc", "mm/day")]
NORMALS = "wmo-normals-1991-2020"
TABLES = [("tmax", "TMAX.csv", "degC"), ("tmin", "TMIN.csv", "degC"), ("rain", "PRCP.csv", "mm")]
MISSING = (-99.9, -876.5, -9999.0)
BASIN = (-122.6, 38.6, -120.8, 41.4)  # west, south, east, north
AROUND = (-125.0, 36.0, -118.0, 44.0)
SPACING_ARCSEC = 100
MARGIN_KM = 500.0
KM_PER_DEGREE = 111.195
BLEND_KM = 30
FOLDS = 5


def recipe(data, title, spacing_arcsec, box, has_stations, notice=""):
    lines = [f'[baseline]\ntitle = "{title}"\nnotice = "{notice}"\nperiod = "1961-1990"\n[lattice]\n'
             f'spacing_arcsec = {spacing_arcsec}\nbbox = {list(box)}\nreach_km = 25\n[elevation]\n'
             f'path = "{data}/elevation/etopo5.tif"\nunit = "m"\n[output]\nlayers = ["temperature"]\n']
    for variable, file, unit in GRIDS:
        lines.append(f'[[grid]]\nname = "CRU CL 1.0 {variable}"\nvariable = "{variable}"\nunit = "{unit}"\n'
                     f'path = "{data}/{CLIMATE}/{file}"\nperiod = "1961-1990"\nlicence = "see source"\n'
                     'attribution = "New, Hulme and Jones 1999, J. Climate 12, 829"\n')
    months = ", ".join(f'{month.lower()} = "{month}"' for month in MONTHS)
    for variable, file, unit in TABLES if has_stations else []:
        lines.append(f'[[stations]]\nname = "WMO normals {variable}"\nlayout = "wide"\nvariable = "{variable}"\n'
                     f'path = "{data}/{NORMALS}/{file}"\nunit = "{unit}"\nmissing = {list(MISSING)}\n'
                     'encoding = "latin1"\nperiod = "1991-2020"\nlicence = "see source"\n'
                     'attribution = "WMO climatological normals, NCEI accession 0253808"\n'
                     'columns = { station = "ID", name = "Station", country = "Country", lat = "Latitude", '
                     f'lon = "Longitude", elevation = "Elevation", {months} }}\n')
    return "".join(lines)


def table_of_normals(data, file):
    """{(name, lat, lon): (elevation, twelve values or NaN)} of the stations that a build of the basin uses."""
    rows = {}
    with open(Path(data) / NORMALS / file, encoding="latin1", newline="") as table:
        for raw in csv.DictReader(table):
            row = {key.strip(): value.strip() for key, value in raw.items() if key}
            try:
                lat, lon, elevation = (float(row[name]) for name in ("Latitude", "Longitude", "Elevation"))
            except ValueError:
                continue
            values = numpy.array([float(row[month]) for month in MONTHS])
            values[numpy.isin(values, MISSING)] = numpy.nan
            # The margin is measured to north and south, and to east and west.
            lat_margin = MARGIN_KM / KM_PER_DEGREE
            lon_margin = lat_margin / math.cos(math.radians(lat))
            west, south, east, north = BASIN
            is_near = (south - lat_margin <= lat <= north + lat_margin
                       and west - lon_margin <= lon <= east + lon_margin)
            if is_near and not numpy.isnan(values).all():
                rows[(row["Station"], lat, lon)] = (elevation, values)
    return rows


def values_of(dataset):
    """All bands in their units; NaN without data."""
    bands = []
    for number in range(1, dataset.RasterCount + 1):
        band = dataset.GetRasterBand(number)
        stored = band.ReadAsArray().astype(float)
        stored[stored == band.GetNoDataValue()] = numpy.nan
        bands.append(stored * (band.GetScale() or 1.0) + (band.GetOffset() or 0.0))
    return numpy.array(bands)


class Walk:
    def __init__(self, arguments, folder):
        self.arguments = arguments
        self.data = str(Path(arguments.open_data).resolve())
        self.folder = folder
        self.normals = {variable: table_of_normals(self.data, file) for variable, file, _ in TABLES}
        for name, text in {
                "around.toml": recipe(self.data, "Around the basin", 900, AROUND, False),
                "around-1991-2020.toml": recipe(self.data, "Around the basin", 900, AROUND, True),
                "basin.toml": recipe(self.data, "Upper Sacramento", SPACING_ARCSEC, BASIN, True)}.items():
            (folder / name).write_text(text)

    def run(self, program, *command, status=0):
        done = subprocess.run([getattr(self.arguments, program), *map(str, command)], cwd=self.folder,
                              capture_output=True, text=True, check=False, env={**os.environ, "LC_ALL": "C.UTF-8"})
        assert done.returncode == status, f"{command}: {done.returncode}\n{done.stderr}"
        return done.stdout

    def build(self, *command, **more):
        return self.run("builder", *command, **more)

    def answers(self, database, places):
        """Rows of batch, by column, as numbers or NaN."""
        lines = [f"{lat:.7f},{lon:.7f},{'' if elevation is None else elevation}" for lat, lon, elevation in places]
        (self.folder / "places.csv").write_text("\n".join(["lat,lon,elevation_m", *lines]) + "\n")
        rows = list(csv.DictReader(io.StringIO(self.run(
            "lookup", "batch", "--db", database, "--input", "places.csv", "--allow-missing"))))
        assert len(rows) == len(places)
        return {name: numpy.array([float(row[name]) if row[name] else numpy.nan for row in rows])
                for name in rows[0] if name[-3:-2] == "_" or name == "elevation_m"}

    def months_of(self, answers, name):
        return numpy.array([answers[f"{name}_{month:02}"] for month in range(1, 13)]).T

    # The steps of the walk, in order.

    def check(self):
        said = json.loads(self.build("check", "basin.toml", "--format", "json"))
        rows, columns = (math.floor((BASIN[side + 2] - BASIN[side]) * 3600 / SPACING_ARCSEC) + 1 for side in (1, 0))
        assert said["counts"]["points"] == rows * columns  # all of it is land
        used = {source["source"]: source["used"] for source in said["counts"]["sources"]}
        for variable, rows_used in self.normals.items():
            values = sum(int((~numpy.isnan(months)).sum()) for _, months in rows_used.values())
            assert used[f"WMO normals {variable}"] == values, (variable, used, values)
        assert any("1991-2020" in warning and "1961-1990" in warning for warning in said["warnings"]), said["warnings"]
        return f"{rows * columns} points, values of {len(self.normals['tmax'])} stations, as in the tables"

    def build_files(self):
        for name in ("around", "around-1991-2020", "basin"):
            self.build("build", f"{name}.toml", "-o", f"{name}.sqlite", "--report", f"{name}.json")
        report = json.loads((self.folder / "basin.json").read_text())
        assert report["points"] == report["lattice_points"] and report["incomplete_points"] == 0
        # Grids alone: in the middle of a cell, rain is the cell's.
        dataset = gdal.Open(f"NETCDF:{self.data}/{CLIMATE}/pre.nc:pre")
        west, step, _, north, _, down = dataset.GetGeoTransform()
        rain = values_of(dataset)
        places, cells = [], []
        for lat in numpy.arange(37.25, 43.5, 0.5):
            for lon in numpy.arange(-122.25, -119.0, 0.5):
                places.append((lat, lon, None))
                cells.append(rain[:, int((lat - north) / down), int((lon - west) / step)])
        shown = self.months_of(self.answers("around.sqlite", places), "rain_mm")
        expected = numpy.array(cells) * DAYS
        # Whole millimetres are stored.
        assert numpy.abs(shown - expected).max() <= 0.5 + 0.05, numpy.abs(shown - expected).max()
        # With the stations: nearer to the normals that they were made of, at their own elevation.
        figures = []
        for box, file, most in ((BASIN, "basin.sqlite", 0.2), (AROUND, "around-1991-2020.sqlite", 1.3)):
            inside = {key: value for key, value in self.normals["tmax"].items()
                      if box[0] < key[2] < box[2] and box[1] < key[1] < box[3]}
            places = [(lat, lon, elevation) for (_, lat, lon), (elevation, _) in inside.items()]
            values = numpy.array([months for _, months in inside.values()])
            errors = [float(numpy.nanmean(numpy.abs(self.months_of(self.answers(name, places), "tmax_c") - values)))
                      for name in (file, "around.sqlite")]
            assert errors[0] < most and errors[0] < 0.75 * errors[1], (file, errors)
            figures.append(f"{len(inside)} stations {errors[0]:.2f} °C (grids alone {errors[1]:.2f})")
        return f"rain of {len(cells)} cells as the grid; Tmax of {', '.join(figures)}"

    def evaluate(self):
        (self.folder / "scores.json").write_text(
            self.build("evaluate", "basin.toml", "--folds", FOLDS, "--format", "json"))
        scores = json.loads((self.folder / "scores.json").read_text())
        names = {key for rows in self.normals.values() for key in rows}
        assert scores["stations"] == len(names), (scores["stations"], len(names))
        recipe_sha256 = hashlib.sha256((self.folder / "basin.toml").read_bytes()).hexdigest()
        assert scores["recipe_sha256"] == recipe_sha256
        for file in scores["input_files"]:
            found = [path for folder in (CLIMATE, NORMALS, "elevation")
                     for path in (Path(self.data) / folder).glob(file["name"])]
            assert hashlib.sha256(found[0].read_bytes()).hexdigest() == file["sha256"], file
        july = {score["estimator"]: score for score in scores["scores"]
                if score["variable"] == "tmax" and score["region"] == "world" and score["month"] == 0
                and score["distance_class"] == "all"}
        return f"{scores['stations']} stations; Tmax left out: {july['fused']['mae']:.2f} °C over {july['fused']['n']}"

    def join(self):
        self.build("join", "around.sqlite", "basin.sqlite", "-o", "cliff.sqlite", "--blend-km", 0)
        self.build("join", "around.sqlite", "basin.sqlite", "-o", "both.sqlite", "--title", "The basin and around it")
        assert self.run("lookup", "verify", "--db", "both.sqlite").startswith("OK")
        west, south, east, north = BASIN
        step_km = 0.5
        step = step_km / KM_PER_DEGREE
        lines = []
        for share in (0.1, 0.3, 0.5, 0.7, 0.9):
            lon, lat = west + share * (east - west), south + share * (north - south)
            east_step = step / math.cos(math.radians(lat))
            along = numpy.arange(-20, 101)
            lines += [[(south + step * n, lon) for n in along], [(north - step * n, lon) for n in along],
                      [(lat, west + east_step * n) for n in along], [(lat, east - east_step * n) for n in along]]
        places = [(lat, lon, None) for line in lines for lat, lon in line]
        figures = []
        for name, rounding in (("eto_mm", 0.05), ("rain_mm", 0.05), ("tmax_c", 0.05)):
            by_file = {file: self.months_of(self.answers(file, places), name).reshape(len(lines), -1, 12)
                       for file in ("around.sqlite", "basin.sqlite", "cliff.sqlite", "both.sqlite")}
            steps = {file: numpy.abs(numpy.diff(values, axis=1)) for file, values in by_file.items()}
            own = numpy.fmax(steps["around.sqlite"], steps["basin.sqlite"])
            difference = numpy.abs(by_file["around.sqlite"] - by_file["basin.sqlite"])
            # A point's step is a mean of both baselines' steps, and what the blend adds; where the finer one ends,
            # the coarser one's change over a step of the finer lattice. Points hold whole units.
            spacing_km = SPACING_ARCSEC / 3600 * KM_PER_DEGREE
            reach = math.ceil(spacing_km / step_km) + 1
            unit = {"eto_mm": 0.31, "rain_mm": 1.0, "tmax_c": 0.1}[name]
            around = by_file["around.sqlite"]
            outside = numpy.zeros_like(own)
            for n in range(own.shape[1]):
                first, last = max(0, n - reach), min(around.shape[1], n + reach + 1)
                outside[:, n] = around[:, first:last].max(axis=1) - around[:, first:last].min(axis=1)
            largest = numpy.nanmax(difference, axis=1, keepdims=True)
            allowed = numpy.fmax(own, outside) + largest * step_km / BLEND_KM * 1.02 + unit + 2 * rounding
            assert (steps["both.sqlite"] <= allowed).all(), (name, (steps["both.sqlite"] - allowed).max())
            # The check would find the cliff.
            assert (steps["cliff.sqlite"] > allowed).any(), name
            figures.append(f"{name} {steps['cliff.sqlite'].max():.1f} -> {steps['both.sqlite'].max():.1f}")
            # More than the blend's width from all borders, nothing changes.
            assert numpy.array_equal(by_file["both.sqlite"][4:16, 95:], by_file["basin.sqlite"][4:16, 95:])
        self.equal_in_the_library(places)
        return f"largest step over {step_km} km on {len(lines)} lines across the border: {', '.join(figures)}"

    def equal_in_the_library(self, places):
        os.environ["THIRSTLINE_LIBRARY"] = self.arguments.library
        sys.path.insert(0, self.arguments.package)
        import thirstline
        shown = self.answers("both.sqlite", places)
        with thirstline.Baseline(self.folder / "both.sqlite") as baseline:
            sites = baseline.many(lat=numpy.array([round(lat, 7) for lat, _, _ in places]),
                                  lon=numpy.array([round(lon, 7) for _, lon, _ in places]))
            for name in ("eto_mm", "rain_mm"):
                theirs = getattr(sites, name)
                assert numpy.abs(theirs - self.months_of(shown, name)).max() <= 0.0501, name

    def export(self):
        for variables in ("eto_mm,rain,rain_minus_eto", "tmax"):
            name = variables.split(",")[-1]
            self.build("export", "both.sqlite", "--as", "geotiff", "-o", f"{name}.tif", "--lattice", 2,
                       "--variables", variables)
        dataset = gdal.Open(str(self.folder / "rain_minus_eto.tif"))
        left, step, _, top, _, down = dataset.GetGeoTransform()
        assert dataset.RasterCount == 36 and abs(step - SPACING_ARCSEC / 3600) < 1e-9 and abs(step + down) < 1e-12
        assert abs(left + step / 2 - BASIN[0]) < 1e-7
        assert dataset.GetSpatialRef().GetAuthorityCode(None) == "4326"
        bands = values_of(dataset)
        assert bands.shape[1:] == (101, 65), bands.shape
        eto, rain, balance = bands[:12], bands[12:24], bands[24:]
        assert numpy.abs(balance - (rain - eto)).max() < 0.11  # each in tenths
        places = [(top + down * (row + 0.5), left + step * (column + 0.5), None)
                  for row in range(0, 101, 5) for column in range(0, 65, 4)]
        shown = self.answers("both.sqlite", places)
        for name, raster in (("eto_mm", eto), ("rain_mm", rain),
                             ("tmax_c", values_of(gdal.Open(str(self.folder / "tmax.tif"))))):
            at_places = numpy.array([raster[:, row, column] for row in range(0, 101, 5)
                                     for column in range(0, 65, 4)])
            assert numpy.abs(at_places - self.months_of(shown, name)).max() < 0.051, name
        self.build("export", "both.sqlite", "--as", "netcdf", "-o", "both.nc", "--lattice", 2)
        assert numpy.abs(values_of(gdal.Open(f"NETCDF:{self.folder}/both.nc:rain")) - rain).max() < 1e-6
        self.build("export", "both.sqlite", "--as", "csv", "-o", "both.csv")
        with open(self.folder / "both.csv", newline="") as table:
            rows = [row for row in csv.DictReader(table) if row["lattice"] == "2" and row["month"] == "7"]
        # By the raster's cell, for rows and columns in any order.
        assert len(rows) == eto[6].size
        for row in rows:
            cell = (round((float(row["lat"]) - top) / down - 0.5), round((float(row["lon"]) - left) / step - 0.5))
            assert abs(float(row["eto_mm"]) - eto[(6, *cell)]) < 0.051 and float(row["rain_mm"]) == rain[(6, *cell)]
        self.build("export", "both.sqlite", "--as", "geopackage", "-o", "both.gpkg")
        package = ogr.Open(str(self.folder / "both.gpkg"))
        stations = package.GetLayerByName("stations")
        positions = {(feature.GetField("name"), round(feature.geometry().GetY(), 3),
                      round(feature.geometry().GetX(), 3)) for feature in stations}
        expected = {key for rows_used in self.normals.values() for key in rows_used}
        assert positions == {(name, round(lat, 3), round(lon, 3)) for name, lat, lon in expected}
        return f"GeoTIFF, netCDF and CSV of {eto[6].size} points as answers, GeoPackage with {len(positions)} stations"

    def publish(self):
        self.build("publish", "both.sqlite", "-o", "site", "--recipe", "around.toml", "--recipe", "basin.toml",
                   "--evaluation", "scores.json", "--accept-licence", "--downloads", "sqlite,csv")
        site = self.folder / "site"
        lines = [line for line in (site / "SHA256SUMS").read_text().splitlines() if not line.startswith("#")]
        sums = dict(reversed(line.split("  ", 1)) for line in lines)
        files = {str(path.relative_to(site)) for path in site.rglob("*") if path.is_file()} - {"SHA256SUMS"}
        assert files == set(sums), files ^ set(sums)
        for name, expected in sums.items():
            assert hashlib.sha256((site / name).read_bytes()).hexdigest() == expected, name
        report = (site / "report.html").read_text()
        for name in ("around", "basin"):
            assert hashlib.sha256((self.folder / f"{name}.toml").read_bytes()).hexdigest() in report, name
        assert "--blend-km 30" in report and "The basin and around it" in report
        database = next(site.glob("downloads/*.sqlite"))
        assert database.read_bytes() == (self.folder / "both.sqlite").read_bytes()
        return f"{len(files)} files with their checksums; the report has both recipes and the join"

    def compare(self):
        said = json.loads(self.build("compare", "around.sqlite", "around-1991-2020.sqlite", "--format", "json",
                                     status=1))
        rasters = []
        for name in ("around", "around-1991-2020"):
            self.build("export", f"{name}.sqlite", "--as", "geotiff", "-o", f"{name}.tif", "--variables",
                       "eto_mm,rain")
            rasters.append(values_of(gdal.Open(str(self.folder / f"{name}.tif"))))
        change = rasters[1] - rasters[0]
        points = int((~numpy.isnan(change[0])).sum())
        assert said["points"]["in_both"] == points and said["points"]["only_before"] == 0
        for first, name in ((0, "eto"), (12, "rain")):
            for month in range(12):
                values = change[first + month][~numpy.isnan(change[first + month])]
                row = said["points"][name][month]
                for figure, expected in (("mean_mm", values.mean()), ("least_mm", values.min()),
                                         ("greatest_mm", values.max())):
                    assert abs(row[figure] - expected) < 0.11, (name, month, figure, row, expected)
                assert row["mean_se_mm"] > 0
        assert {station["change"] for station in said["stations"]} == {"added"}
        shift = [said["points"][name][6] for name in ("eto", "rain")]
        return (f"{points} points; July from 1961-1990 to 1991-2020: ETo {shift[0]['mean_mm']:+.1f} ± "
                f"{shift[0]['mean_se_mm']:.1f} mm, rain {shift[1]['mean_mm']:+.1f} ± {shift[1]['mean_se_mm']:.1f} mm")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("builder", "lookup", "library", "package", "open-data"):
        parser.add_argument(f"--{name}", required=True)
    arguments = parser.parse_args()
    named = os.environ.get("THIRSTLINE_OPEN_DATA", arguments.open_data)
    arguments.open_data = named
    if not all((Path(named) / part).exists() for part in (CLIMATE, NORMALS, "elevation/etopo5.tif")):
        print("skipped: no open data: name their folder in THIRSTLINE_OPEN_DATA")
        sys.exit(77)
    with tempfile.TemporaryDirectory() as folder:
        walk = Walk(arguments, Path(folder))
        for step in (walk.check, walk.build_files, walk.evaluate, walk.join, walk.export, walk.publish, walk.compare):
            print(f"{step.__name__}: {step()}", flush=True)


if __name__ == "__main__":
    main()
