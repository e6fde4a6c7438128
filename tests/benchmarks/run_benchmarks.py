#!/usr/bin/env python3
"""Measures Thirstline and general tools in one run, and prints tables that compare them.

    python3 tests/benchmarks/run_benchmarks.py BUILD_FOLDER [--data FOLDER] [PART ...]

BUILD_FOLDER is a build with -DTHIRSTLINE_BUILD_BENCHMARKS=ON. The data are the open climate grids and
stations in THIRSTLINE_OPEN_DATA (../shared/data by default). Parts, all by default:

    points   one point's values in process: Thirstline, with the same 24 integers and with all
             layers, plain and compact; GeoTIFF, SQLite, R*Tree, pread
    batch    a table of random points from file to file: `batch`, on the same 24 integers as
             `gdallocationinfo` and on all layers, plain and compact
    builds   grid-only builds of the world at 600 and 150 arc-seconds, plain and compact, against
             gdal_translate
    scaling  size, time and memory of builds, and look-up times, from 10^4 to 10^7 points, plain and
             compact
    stations processor time of `check` from 1,000 to 64,000 stations, scattered over the contiguous US
             and crowded into two degrees, with the exponent; a build of 50,000 stations at 300
             arc-seconds
"""

import argparse
import csv
import math
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

GRIDS = (("tmax", "tmx.tif", "degC"), ("tmin", "tmn.tif", "degC"),
         ("vapour_pressure", "vap.nc", "hPa"), ("wind", "wnd.tif", "m/s"),
         ("radiation", "rad.tif", "W/m2"), ("rain", "pre.nc", "mm/day"))
TABLES = (("tmax", "TMAX.csv", "degC"), ("tmin", "TMIN.csv", "degC"), ("rain", "PRCP.csv", "mm"))
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
CONTIGUOUS_US = (-125.0, 24.0, -66.0, 50.0)
WORLD = (-180.0, -90.0, 180.0, 90.0)
TERMS = 'period = "{}"\nlicence = "see source"\nattribution = "see source"\n'


STATION_COLUMNS = {"tmax": ("tmax_c", "degC"), "tmin": ("tmin_c", "degC"),
                   "dew_point": ("dewpoint_c", "degC"), "wind": ("wind_ms", "m/s"),
                   "radiation": ("ghi_mj_m2_d", "MJ/m2/day")}


def recipe(data, spacing_arcsec, box, with_stations, code):
    text = (f'[baseline]\ntitle = "Benchmark"\nperiod = "1991-2020"\n[lattice]\n'
            f'spacing_arcsec = {spacing_arcsec}\nbbox = {list(box)}\nreach_km = 50\n'
            f'[elevation]\npath = "{data}/elevation/etopo5.tif"\nunit = "m"\n')
    for variable, file, unit in GRIDS:
        text += (f'[[grid]]\nname = "{variable}"\nvariable = "{variable}"\n'
                 f'path = "{data}/cru-cl1-1961-1990/{file}"\nunit = "{unit}"\n'
                 + TERMS.format("1961-1990"))
    text += f'[output]\ncode = "{code}"\n'
    months = ", ".join(f'{month.lower()} = "{month}"' for month in MONTHS)
    for variable, file, unit in TABLES if with_stations else ():
        text += (f'[[stations]]\nname = "{variable}"\nlayout = "wide"\nvariable = "{variable}"\n'
                 f'path = "{data}/wmo-normals-1991-2020/{file}"\nunit = "{unit}"\n'
                 'missing = [-99.9, -876.5, -9999]\nencoding = "latin1"\n'
                 + TERMS.format("1991-2020") +
                 'columns = { station = "ID", name = "Station", country = "Country", '
                 'lat = "Latitude", lon = "Longitude", elevation = "Elevation", ' + months + ' }\n')
    return text


def real_sites(data):
    """The TMY3 sites of the contiguous US, with the rain of the nearest WMO station: lists of
    (latitude, longitude, elevation, 12 x (tmax, tmin, dew point, wind, radiation, rain))."""
    rain = []
    with open(data / "wmo-normals-1991-2020" / "PRCP.csv", encoding="latin1") as table:
        for row in csv.reader(table):
            try:
                months = [float(value) for value in row[9:21]]
                rain.append((float(row[4]), float(row[5]), months))
            except ValueError:
                continue
    rain = [(lat, lon, months) for lat, lon, months in rain if len(months) == 12
            and min(months) >= 0 and 20 < lat < 52 and -130 < lon < -60]
    sites = {}
    with open(data / "tmy3-monthly" / "tmy3_monthly.csv") as table:
        for row in csv.DictReader(table):
            sites.setdefault(row["usaf"], []).append(row)
    west, south, east, north = CONTIGUOUS_US
    found = []
    for rows in sites.values():
        lat, lon = float(rows[0]["lat"]), float(rows[0]["lon"])
        if len(rows) != 12 or not (south < lat < north and west < lon < east):
            continue
        nearest = min(rain, key=lambda each: math.hypot(each[0] - lat, each[1] - lon))[2]
        months = [[float(row[column]) for column, _ in STATION_COLUMNS.values()] + [mm]
                  for row, mm in zip(rows, nearest)]
        found.append((lat, lon, float(rows[0]["elev_m"]), months))
    return found


def write_stations(data, path, count, box):
    """Invented stations: each has the months of the real site nearest to it, a little changed."""
    drawn = random.Random(count)
    west, south, east, north = box
    sites = real_sites(data)
    with open(path, "w") as table:
        table.write("station,lat,lon,elevation,month,"
                    + ",".join(column for column, _ in STATION_COLUMNS.values()) + ",rain\n")
        for number in range(count):
            site = drawn.choice(sites)
            lat, lon = site[0] + drawn.gauss(0, 0.4), site[1] + drawn.gauss(0, 0.4)
            if not (south < lat < north and west < lon < east):
                lat, lon = drawn.uniform(south, north), drawn.uniform(west, east)
                site = min(sites, key=lambda each: math.hypot(each[0] - lat, each[1] - lon))
            warmer, wetter = drawn.gauss(0, 0.5), math.exp(drawn.gauss(0, 0.08))
            for month, (tmax, tmin, dew, wind, sun, rain) in enumerate(site[3], 1):
                table.write(f"S{number},{lat:.4f},{lon:.4f},{site[2]:.0f},{month},"
                            f"{tmax + warmer:.2f},{tmin + warmer:.2f},{dew + warmer:.2f},"
                            f"{wind * wetter:.2f},{sun * wetter:.2f},{rain * wetter:.1f}\n")


def stations_recipe(data, table, spacing_arcsec, box):
    text = recipe(data, spacing_arcsec, box, False, "plain")
    variables = STATION_COLUMNS | {"rain": ("rain", "mm")}
    columns = ", ".join(f'{variable} = "{column}"' for variable, (column, _) in variables.items())
    units = ", ".join(f'{variable} = "{unit}"' for variable, (_, unit) in variables.items())
    return (text + f'[[stations]]\nname = "stations"\nlayout = "long"\npath = "{table}"\n'
            'height_m = 10\n' + TERMS.format("1991-2020") +
            'columns = { station = "station", lat = "lat", lon = "lon", elevation = "elevation", '
            f'month = "month", {columns} }}\nunits = {{ {units} }}\n')


class Measured:
    """A finished process: seconds of the wall and of the processors, peak memory in MB."""

    def __init__(self, command, output=None, text=None, accept=(0,)):
        sink = open(output, "wb") if output else subprocess.DEVNULL
        start = time.monotonic()
        process = subprocess.Popen([str(part) for part in command], stdout=sink,
                                   stderr=subprocess.PIPE,
                                   stdin=open(text, "rb") if text else subprocess.DEVNULL)
        messages = process.stderr.read()
        _, status, usage = os.wait4(process.pid, 0)
        self.seconds = time.monotonic() - start
        self.cpu_seconds = usage.ru_utime + usage.ru_stime
        self.peak_mb = usage.ru_maxrss / 1024
        code = os.waitstatus_to_exitcode(status)
        if code not in accept:
            sys.exit(f"{' '.join(map(str, command))} ended with {code}: {messages.decode()}")


class Bench:
    def __init__(self, build_folder, data, folder):
        self.builder = build_folder / "builder" / "thirstline-builder"
        self.lookup = build_folder / "lookup" / "thirstline-lookup"
        self.point_reads = build_folder / "tests" / "benchmarks" / "point_reads"
        self.coded_planes = build_folder / "tests" / "benchmarks" / "coded_planes"
        self.data = data
        self.folder = folder

    def built(self, name, spacing_arcsec, box, with_stations=False, code="plain"):
        """Path of the database, and the measured build."""
        path = self.folder / f"{name}.toml"
        path.write_text(recipe(self.data, spacing_arcsec, box, with_stations, code))
        database = self.folder / f"{name}.sqlite"
        build = Measured([self.builder, "build", path, "-o", database, "--overwrite"])
        return database, build

    def table_of_points(self, name, count, box):
        """Random points of the box, as CSV, and as gdallocationinfo wants them."""
        rng = random.Random(count)
        west, south, east, north = box
        rows = [(rng.uniform(south, north), rng.uniform(west, east)) for _ in range(count)]
        csv = self.folder / f"{name}.csv"
        csv.write_text("lat,lon\n" + "".join(f"{lat:.5f},{lon:.5f}\n" for lat, lon in rows))
        plain = self.folder / f"{name}.txt"
        plain.write_text("".join(f"{lon:.5f} {lat:.5f}\n" for lat, lon in rows))
        return csv, plain

    def points(self):
        print("== one point in process: contiguous US at 300 arc-seconds, stations over grids")
        database, _ = self.built("us300", 300, CONTIGUOUS_US, with_stations=True)
        stores = self.folder / "stores"
        stores.mkdir(exist_ok=True)
        sys.stdout.flush()
        for held, file in self._variants(database):
            print(f"\n-- the file holds {held}", flush=True)
            subprocess.run([self.point_reads, file, stores], check=True)

    def batch(self):
        print("== random points from file to file: contiguous US at 300 arc-seconds")
        database, _ = self.built("us300", 300, CONTIGUOUS_US, with_stations=True)
        stores = self.folder / "stores"
        stores.mkdir(exist_ok=True)
        subprocess.run([self.point_reads, database, stores], check=True,
                       stdout=subprocess.DEVNULL)
        self._give_position(stores / "16.tif", 300, CONTIGUOUS_US)
        count = 400_000
        csv, plain = self.table_of_points("us", count, CONTIGUOUS_US)
        rival = "gdallocationinfo -valonly -wgs84"
        runs = {(rival, "the 24 integers of eto and rain"): lambda: Measured(
            ["gdallocationinfo", "-valonly", "-wgs84", stores / "16.tif"],
            output=self.folder / "located.txt", text=plain)}
        for held, file in self._variants(database):
            for options in ([], ["--jobs", "1"]):
                name = " ".join(["thirstline-lookup batch", *options])
                command = [self.lookup, "batch", "--db", file, "--input", csv, "--allow-missing",
                           *options]
                runs[name, held] = lambda command=command: Measured(
                    command, output=self.folder / "answers.csv")
        measured = {run: [] for run in runs}
        for _ in range(5):
            for run, start in runs.items():
                measured[run].append(start())
        print(f"  {count} points; medians of five runs, taken in turn; a ratio is that of points a "
              "second\n  to those of the rival, by the wall and by the processors' time")
        print(f"  {'':34} {'the file holds':52} {'s':>6} {'CPU s':>6} {'points/s':>9} {'ratio':>6} "
              f"{'by CPU':>6}")
        wall = {run: statistics.median(m.seconds for m in ms) for run, ms in measured.items()}
        cpu = {run: statistics.median(m.cpu_seconds for m in ms) for run, ms in measured.items()}
        first = next(iter(runs))
        for run in runs:
            name, held = run
            print(f"  {name:34} {held:52} {wall[run]:>6.2f} {cpu[run]:>6.2f} "
                  f"{count / wall[run]:>9.0f} {wall[first] / wall[run]:>6.1f} "
                  f"{cpu[first] / cpu[run]:>6.1f}")

    def _variants(self, database):
        """What each file holds, and its path: the database's own layers, and eto and rain alone as
        the rival has them, plain and compact."""
        all_layers = ("eto,rain,eto_se,rain_se,tmax,tmin,method,period,elevation,eto_gradient,"
                      "rain_gradient,tmax_gradient,tmin_gradient")
        for layers, held in (("eto,rain", "the same 24 integers"),
                             (all_layers, "72 numbers, methods, elevation, gradients")):
            for codec, edge, coded in ((0, 8, "plain"), (1, 16, "compact")):
                file = self.folder / f"us300_{layers.count(',')}_{coded}.sqlite"
                subprocess.run([self.coded_planes, "rewrite", database, layers, str(edge),
                                str(codec), file], check=True, stdout=subprocess.DEVNULL)
                yield f"{held}, {coded}", file

    @staticmethod
    def _give_position(tiff, spacing_arcsec, box):
        step = spacing_arcsec / 3600
        west, south, east, north = box
        corners = [west - step / 2, north + step / 2, east + step / 2, south - step / 2]
        subprocess.run(["gdal_edit.py", "-a_srs", "EPSG:4326", "-a_ullr",
                        *(f"{corner:.9f}" for corner in corners), tiff], check=True)

    def builds(self):
        print("== grid-only builds of the world against gdal_translate, reading and writing the six "
              "inputs uncompressed")
        print(f"  {'':10}  {'code':8} {'points':>10} {'build s':>9} {'CPU s':>8} {'MB':>6} "
              f"{'translate s':>12} {'build / it':>11}")
        for spacing in (600, 150):
            translate = self._seconds_to_translate(360 * 3600 // spacing)
            for code in ("plain", "compact"):
                database, build = self.built(f"world{spacing}", spacing, WORLD, code=code)
                print(f"  {spacing:>9}\" {code:8} {self._points_in(database):>10} "
                      f"{build.seconds:>9.1f} {build.cpu_seconds:>8.1f} {build.peak_mb:>6.0f} "
                      f"{translate:>12.1f} {build.seconds / translate:>11.2f}", flush=True)
                database.unlink()

    def _seconds_to_translate(self, columns):
        """All six inputs, resampled to a world of so many columns."""
        seconds = 0.0
        for _, file, _ in GRIDS:
            copy = self.folder / "copy.tif"
            seconds += Measured(
                ["gdal_translate", "-q", "-r", "bilinear", "-outsize", columns, columns // 2 + 1,
                 "-co", "BIGTIFF=YES", f"{self.data}/cru-cl1-1961-1990/{file}", copy]).seconds
            copy.unlink()
        return seconds

    def scaling(self):
        print("== scaling: the world's grids at finer and finer spacing")
        print(f"  {'points':>10} {'code':8} {'file MB':>9} {'bytes/pt':>9} {'build s':>8} {'MB':>6} "
              f"{'cold site ms':>13} {'batch points/s':>15}")
        csv, _ = self.table_of_points("world", 50_000, (-180, -56, 180, 75))
        for spacing in (4680, 1480, 468, 148):
            for code in ("plain", "compact"):
                self._print_scale(spacing, code, csv)

    def _print_scale(self, spacing, code, csv):
        database, build = self.built(f"scale{spacing}", spacing, WORLD, code=code)
        points = self._points_in(database)
        site = [self.lookup, "site", "--db", database, "--at", "44.05,-123.09"]
        cold = statistics.median(Measured(site, accept=(0, 1)).seconds for _ in range(40))
        batch = Measured([self.lookup, "batch", "--db", database, "--input", csv,
                          "--allow-missing"], output=self.folder / "answers.csv")
        size = database.stat().st_size
        print(f"  {points:>10} {code:8} {size / 1e6:>9.2f} {size / points:>9.2f} "
              f"{build.seconds:>8.1f} {build.peak_mb:>6.0f} {1000 * cold:>13.2f} "
              f"{50_000 / batch.seconds:>15.0f}", flush=True)
        database.unlink()

    def stations(self):
        print("== stations: processor time of check, on a lattice of few points")
        for where, box in (("over the contiguous US", CONTIGUOUS_US),
                           ("in two degrees", (-95.0, 38.0, -93.0, 40.0))):
            print(f"  {'stations':>9} {where:24} {'CPU s':>8} {'s':>8} {'MB':>6} {'exponent':>9}")
            before = None
            for count in (1_000, 4_000, 16_000, 64_000):
                run = self._check_of_stations(count, box)
                exponent = (math.log(run.cpu_seconds / before) / math.log(4) if before
                            else math.nan)
                print(f"  {count:>9} {'':24} {run.cpu_seconds:>8.2f} {run.seconds:>8.2f} "
                      f"{run.peak_mb:>6.0f} {exponent:>9.2f}", flush=True)
                before = run.cpu_seconds
        print("== stations: a build of 50,000 over the contiguous US at 300 arc-seconds")
        table = self.folder / "stations.csv"
        write_stations(self.data, table, 50_000, CONTIGUOUS_US)
        path = self.folder / "stations.toml"
        path.write_text(stations_recipe(self.data, table, 300, CONTIGUOUS_US))
        run = Measured([self.builder, "build", path, "-o", self.folder / "stations.sqlite",
                        "--overwrite"])
        print(f"  {run.seconds:.1f} s, {run.cpu_seconds:.1f} CPU s, {run.peak_mb:.0f} MB")

    def _check_of_stations(self, count, box):
        table = self.folder / "stations.csv"
        write_stations(self.data, table, count, box)
        path = self.folder / "stations.toml"
        path.write_text(stations_recipe(self.data, table, 3600, box))
        return Measured([self.builder, "check", path])

    def _points_in(self, database):
        out = subprocess.run([self.builder, "info", database], check=True, capture_output=True,
                             text=True).stdout
        for line in out.splitlines():
            words = line.split()
            if words[:1] == ["points"]:
                return int(words[1])
        sys.exit("the number of points cannot be found in what info prints:\n" + out)


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("build_folder", type=Path)
    parser.add_argument("parts", nargs="*", metavar="PART")
    parser.add_argument("--data", type=Path, default=Path(os.environ.get(
        "THIRSTLINE_OPEN_DATA", Path(__file__).resolve().parents[2].parent / "shared" / "data")))
    options = parser.parse_intermixed_args()
    names = ("points", "batch", "builds", "scaling", "stations")
    for part in options.parts:
        if part not in names:
            parser.error(f"there is no part {part}; the parts are {', '.join(names)}")
    if not (options.data / "cru-cl1-1961-1990").exists():
        sys.exit(f"no open data in {options.data}: name their folder with --data")
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(options.build_folder.resolve(), options.data.resolve(), Path(folder))
        for part in options.parts or names:
            getattr(bench, part)()
            sys.stdout.flush()


if __name__ == "__main__":
    main()
