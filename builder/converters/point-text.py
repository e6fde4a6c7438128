#!/usr/bin/env python3
"""Turns a grid that is published as lines of points into a raster of twelve bands for a recipe's [[grid]].

    point-text.py [--every SECONDS] TABLE.dat[.gz] RASTER.bil

Each line of the table is a cell's latitude and longitude, in degrees, and its twelve months, separated by blanks;
further numbers are ignored. So are the tables of CRU CL 2.0 written, whose cells are 600 seconds of arc wide, which
is what --every says if it is left out. Cells without a line have no data. Beside the raster come RASTER.hdr and
RASTER.prj (WGS 84). Numbers are those of the table, in its unit.
"""
import argparse
import array
import gzip
import sys
from pathlib import Path

MONTHS = 12
NODATA = -9999.0
MAX_CELLS = 20_000_000
MAX_ROUNDING = 0.1  # of a cell: positions are written with few decimals
WGS84 = ('GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],'
         'UNIT["degree",0.0174532925199433]]\n')


class TableError(Exception):
    """A table that is not of points."""


def lines_of(path):
    with (gzip.open if path.suffix == ".gz" else open)(path, "rt", encoding="ascii", errors="replace") as file:
        for number, line in enumerate(file, 1):
            if line.strip():
                yield number, line


def point_in(number, line):
    """Latitude, longitude from -180 to 180, and the months."""
    try:
        fields = [float(field) for field in line.split()[:2 + MONTHS]]
    except ValueError:
        raise TableError(f"line {number} has a field that is not a number: \"{line.strip()[:60]}\"") from None
    if len(fields) < 2 + MONTHS:
        raise TableError(f"line {number} has {len(fields)} numbers; a position and twelve months are needed")
    lat, lon = fields[:2]
    if not (-90 <= lat <= 90 and -180 <= lon <= 360):
        raise TableError(f"line {number} does not begin with a latitude and a longitude: {lat} {lon}")
    return number, lat, lon - 360 if lon >= 180 else lon, array.array("f", fields[2:])


def read_cells(path, cell):
    """The months by row and column, counted from the north-western point; and that point."""
    points = [point_in(number, line) for number, line in lines_of(path)]
    if not points:
        raise TableError("there is no line")
    north, west = max(point[1] for point in points), min(point[2] for point in points)
    cells = {}
    for number, lat, lon, months in points:
        down, across = (north - lat) / cell, (lon - west) / cell
        at = round(down), round(across)
        if max(abs(down - at[0]), abs(across - at[1])) > MAX_ROUNDING:
            raise TableError(f"line {number} is not a whole number of cells of {cell * 3600:g} seconds from the others")
        if at in cells:
            raise TableError(f"line {number} is in the same cell as another")
        cells[at] = months
    return cells, north, west


def write_raster(path, cells, north, west, cell):
    height, width = max(row for row, _ in cells) + 1, max(column for _, column in cells) + 1
    if height * width > MAX_CELLS:
        raise TableError(f"the raster would have {width} x {height} cells; --every is too small")
    with open(path, "wb") as file:
        for month in range(MONTHS):
            band = array.array("f", [NODATA]) * (height * width)
            for (row, column), months in cells.items():
                band[row * width + column] = months[month]
            if sys.byteorder == "big":
                band.byteswap()
            band.tofile(file)
    path.with_suffix(".hdr").write_text(
        f"NROWS {height}\nNCOLS {width}\nNBANDS {MONTHS}\nNBITS 32\nBYTEORDER I\nPIXELTYPE FLOAT\nLAYOUT BSQ\n"
        f"ULXMAP {west:.9f}\nULYMAP {north:.9f}\nXDIM {cell:.12f}\nYDIM {cell:.12f}\nNODATA {NODATA}\n",
        encoding="ascii")
    path.with_suffix(".prj").write_text(WGS84, encoding="ascii")


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("table", type=Path, metavar="TABLE.dat[.gz]")
    parser.add_argument("raster", type=Path, metavar="RASTER.bil")
    parser.add_argument("--every", type=float, default=600.0, metavar="SECONDS",
                        help="width of a cell in seconds of arc; default: 600")
    options = parser.parse_args()
    if options.raster.suffix != ".bil" or options.every <= 0:
        parser.error("the raster's name must end in .bil, and --every must be positive")
    try:
        cell = options.every / 3600
        write_raster(options.raster, *read_cells(options.table, cell), cell)
    except (OSError, TableError) as error:
        sys.exit(f"point-text.py: {options.table}: {error}")


if __name__ == "__main__":
    main()
