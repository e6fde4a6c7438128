#!/usr/bin/python3
"""Bytes per point in a Thirstline file, compared with the smallest GeoTIFF of the same integers.

    python3 tests/benchmarks/tile_size.py BUILD_FOLDER [--database FILE.sqlite ...] [--data FOLDER]

BUILD_FOLDER is a build with -DTHIRSTLINE_BUILD_BENCHMARKS=ON. Needs numpy and GDAL's Python module.
Every number is the size of a whole file, with the overhead of SQLite or TIFF, divided by the points that
have data. A Thirstline file is written by the library's own writer, with the page size that it chooses; the
one compared with the smallest GeoTIFF has the tile edge of a compact database. Fields: the 24
monthly means (eto, rain) of each database, and the three planes of nclimgrid-1991-2020-january (rain in
mm, temperatures in tenths of a degree) at their own resolution.
"""

import argparse
import itertools
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from osgeo import gdal

gdal.UseExceptions()

EDGES = (8, 16, 32)
COMPACT_EDGE = 16  # kCompactTileEdge of builder/recipe/recipe.hpp
MEANS = "eto,rain"
LAYER_SETS = (
    ("eto, rain", MEANS),
    ("+ standard errors", MEANS + ",eto_se,rain_se"),
    ("+ gradients", MEANS + ",eto_gradient,rain_gradient,tmax_gradient,tmin_gradient"),
    ("+ elevation, method, period", MEANS + ",elevation,method,period"),
    ("+ tmax, tmin", MEANS + ",tmax,tmin"),
    ("all layers", MEANS + ",eto_se,rain_se,tmax,tmin,method,period,elevation,eto_gradient,"
                           "rain_gradient,tmax_gradient,tmin_gradient"),
)
COMPRESSIONS = (
    ("DEFLATE-9", ("COMPRESS=DEFLATE", "ZLEVEL=9"), (1, 2)),
    ("ZSTD-22", ("COMPRESS=ZSTD", "ZSTD_LEVEL=22"), (1, 2)),
    ("LERC", ("COMPRESS=LERC", "MAX_Z_ERROR=0"), (None,)),
    ("LERC_DEFLATE", ("COMPRESS=LERC_DEFLATE", "MAX_Z_ERROR=0", "ZLEVEL=9"), (None,)),
    ("LERC_ZSTD", ("COMPRESS=LERC_ZSTD", "MAX_Z_ERROR=0", "ZSTD_LEVEL=22"), (None,)),
)


class Coder:
    """The library, through tests/benchmarks/coded_planes."""

    def __init__(self, build_folder, folder):
        self.program = build_folder / "tests" / "benchmarks" / "coded_planes"
        self.folder = folder

    def _numbers(self, *arguments):
        run = subprocess.run([self.program, *map(str, arguments)], check=True, text=True,
                             stdout=subprocess.PIPE)
        return [int(number) for number in run.stdout.split()]

    def rewritten(self, database, layers, edge, codec):
        """Points, tiles, bytes of tiles, bytes of the file."""
        return self._numbers("rewrite", database, layers, edge, codec, self.folder / "out.sqlite")

    def planes_written(self, planes, layers, edge, codec):
        raw = self.folder / "planes.raw"
        planes.astype("<i2").tofile(raw)
        return self._numbers("planes", raw, planes.shape[2], planes.shape[1], layers, edge, codec,
                             self.folder / "out.sqlite")

    def planes_of(self, database, layers):
        raw = self.folder / "export.raw"
        columns, rows = self._numbers("export", database, layers, raw)
        return np.fromfile(raw, "<u2").reshape(-1, rows, columns)


def tiff_bytes(planes, nodata, options):
    """The size of one GeoTIFF, after its bands were read back and found equal."""
    path = "/vsimem/tile_size.tif"
    kind = gdal.GDT_UInt16 if planes.dtype == np.uint16 else gdal.GDT_Int16
    count, rows, columns = planes.shape
    tiff = gdal.GetDriverByName("GTiff").Create(path, columns, rows, count, kind, list(options))
    for band in range(count):
        tiff.GetRasterBand(band + 1).SetNoDataValue(nodata)
    tiff.WriteArray(planes)
    tiff = None
    size = gdal.VSIStatL(path).size
    if not np.array_equal(gdal.Open(path).ReadAsArray().reshape(planes.shape), planes):
        sys.exit(f"a GeoTIFF does not give back what was written: {options}")
    gdal.Unlink(path)
    return size


def print_tiffs(planes, points, nodata):
    """One row a way of compressing; returns the least bytes a point."""
    print(f"  {'GeoTIFF, all planes in one':30} {'tiles of 16':>23} {'tiles of 256':>23}")
    print(f"  {'':30} {'pixel':>11} {'band':>11} {'pixel':>11} {'band':>11}")
    least = (float("inf"), "")
    for name, options, predictors in COMPRESSIONS:
        for predictor in predictors:
            row = f"  {name + (f', predictor {predictor}' if predictor else ''):30}"
            for tile, order in itertools.product((16, 256), ("PIXEL", "BAND")):
                all_options = options + ("TILED=YES", f"BLOCKXSIZE={tile}", f"BLOCKYSIZE={tile}",
                                         f"INTERLEAVE={order}", "SPARSE_OK=TRUE")
                if predictor:
                    all_options += (f"PREDICTOR={predictor}",)
                size = tiff_bytes(planes, nodata, all_options) / points
                least = min(least, (size, f"{name}, tiles of {tile}, {order.lower()}"))
                row += f" {size:>11.3f}"
            print(row, flush=True)
    return least


def print_comparison(sizes, least):
    """`sizes`: bytes a point by tile edge."""
    own = sizes[COMPACT_EDGE]
    print(f"  smallest GeoTIFF {least[0]:.3f} ({least[1]}); a compact database, edge "
          f"{COMPACT_EDGE}, {own:.3f}: {own / least[0]:.3f} of it\n")


def database_sizes(coder, database):
    print(f"== {database.name}: bytes a point, files with all that SQLite adds")
    print(f"  {'layers':30} {'codec 0, 8':>11}" + "".join(f" {f'edge {e}':>11}" for e in EDGES)
          + f" {'tiles alone, ' + str(COMPACT_EDGE):>16}")
    means = {}
    for name, layers in LAYER_SETS:
        points, _, _, plain = coder.rewritten(database, layers, 8, 0)
        row = f"  {name:30} {plain / points:>11.3f}"
        for edge in EDGES:
            _, _, tile_bytes, size = coder.rewritten(database, layers, edge, 1)
            row += f" {size / points:>11.3f}"
            if layers == MEANS:
                means[edge] = size / points
            if edge == COMPACT_EDGE:
                alone = tile_bytes / points
        print(row + f" {alone:>16.3f}", flush=True)
    planes = coder.planes_of(database, MEANS)
    print(f"  ({points} points)\n\n  the same 24 means:")
    least = print_tiffs(planes, points, 65535)
    print_comparison(means, least)


def january_planes(data):
    planes = []
    for name, scale in (("prcp", 1), ("tmax", 10), ("tmin", 10)):
        values = gdal.Open(str(data / f"{name}.tif")).ReadAsArray()
        known = np.isfinite(values)
        planes.append(np.where(known, np.round(np.where(known, values, 0) * scale), -32768))
    return np.stack(planes).astype(np.int16)


def january_sizes(coder, data):
    planes = january_planes(data)
    print("== nclimgrid-1991-2020-january: bytes a point, three planes of one month")
    for name, layers, chosen in (("rain", "rain", planes[:1]), ("tmax", "tmax", planes[1:2]),
                                 ("tmin", "tmin", planes[2:]),
                                 ("rain, tmax, tmin", "rain,tmax,tmin", planes)):
        row = f"  {name:30} {'':>11}"
        sizes = {}
        for edge in EDGES:
            points, _, tile_bytes, size = coder.planes_written(chosen, layers, edge, 1)
            sizes[edge] = size / points
            row += f" {size / points:>11.3f}"
            if edge == COMPACT_EDGE:
                alone = tile_bytes / points
        print(row + f" {alone:>16.3f}", flush=True)
    print(f"  ({points} points)\n")
    least = print_tiffs(planes, points, -32768)
    print_comparison(sizes, least)


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("build_folder", type=Path)
    parser.add_argument("--database", type=Path, action="append", default=[])
    parser.add_argument("--data", type=Path, default=Path(os.environ.get(
        "THIRSTLINE_OPEN_DATA", Path(__file__).resolve().parents[2].parent / "shared" / "data")))
    options = parser.parse_args()
    january = options.data / "nclimgrid-1991-2020-january"
    if not options.database and not january.exists():
        sys.exit(f"nothing to measure: name a database, or the open data's folder with --data "
                 f"(there is none in {options.data})")
    with tempfile.TemporaryDirectory() as folder:
        coder = Coder(options.build_folder.resolve(), Path(folder))
        for database in options.database:
            database_sizes(coder, database)
        if january.exists():
            january_sizes(coder, january)


if __name__ == "__main__":
    main()
