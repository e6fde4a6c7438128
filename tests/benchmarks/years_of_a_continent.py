#!/usr/bin/python3
"""Time and memory of the means over 30 years of a continent at 150 arc-seconds (2880 × 1560 cells).

    python3 tests/benchmarks/years_of_a_continent.py BUILDER [--folder FOLDER] [--layout LAYOUT] [--keep]

Makes a netCDF file of 360 months in FOLDER (1 to 4 GB; half of the cells are land) and runs `check` with it.
Layouts: `planes` (deflated, a chunk for each month, as most are published), `blocks` (deflated, chunks of 12 × 130
× 180), `series` (deflated, chunks of all 360 months of 30 × 45 cells), `plain` (not compressed), `years` (a deflated
file for each year).
"""

import argparse
import os
import resource
import shutil
import subprocess
import tempfile
import time

import netCDF4
import numpy

COLUMNS, ROWS, YEARS, FIRST = 2880, 1560, 30, 1991
WEST, NORTH, CELL = -170.0, 75.0, 150 / 3600
CHUNKS = {"planes": (1, ROWS, COLUMNS), "blocks": (12, 130, 180), "series": (360, 30, 45), "years": (1, 520, 720)}
TERMS = 'period = "1991-2020"\nlicence = "CC0-1.0"\nattribution = "invented"\n'


def months(year):
    """Reference ET of a year, mm a month, [month, row, column], -32768 over the sea."""
    noise = numpy.random.default_rng(year).integers(-300, 300, (ROWS, COLUMNS), "i2")
    rows = numpy.arange(ROWS)[:, None]
    columns = numpy.arange(COLUMNS)[None, :]
    is_land = numpy.sin(rows / 170) + numpy.cos(columns / 230) > 0.3
    for month in range(12):
        base = 90 + 60 * numpy.cos((month - 6.5) * numpy.pi / 6) - 20 * numpy.cos(rows / 500)
        numbers = (base * 100).astype("i2") + numpy.roll(noise, month)
        yield numpy.where(is_land, numbers, numpy.int16(-32768))


def new_file(path, layout):
    file = netCDF4.Dataset(path, "w")
    file.createDimension("time", None if layout == "planes" else 12 * (1 if layout == "years" else YEARS))
    file.createDimension("lat", ROWS)
    file.createDimension("lon", COLUMNS)
    for name, values, units in [("lat", NORTH - CELL * (numpy.arange(ROWS) + 0.5), "degrees_north"),
                                ("lon", WEST + CELL * (numpy.arange(COLUMNS) + 0.5), "degrees_east")]:
        file.createVariable(name, "f8", (name,))[:] = values
        file[name].units = units
    file.createVariable("time", "f8", ("time",)).units = f"months since {FIRST}-01-01"
    packing = {} if layout == "plain" else {"zlib": True, "complevel": 1, "chunksizes": CHUNKS[layout]}
    stored = file.createVariable("eto", "i2", ("time", "lat", "lon"), fill_value=-32768, **packing)
    stored.setncatts({"units": "mm", "scale_factor": 0.01})
    stored.set_auto_maskandscale(False)
    return file


def write(folder, layout):
    if layout == "series":
        everything = numpy.lib.format.open_memmap(os.path.join(folder, "all.npy"), "w+", "i2",
                                                  (12 * YEARS, ROWS, COLUMNS))
        for number in range(12 * YEARS):
            if number % 12 == 0:
                of_year = months(FIRST + number // 12)
            everything[number] = next(of_year)
        with new_file(os.path.join(folder, "eto.nc"), layout) as file:
            file["time"][:] = numpy.arange(12 * YEARS)
            for row in range(0, ROWS, 30):
                file["eto"][:, row:row + 30] = everything[:, row:row + 30]
        os.remove(os.path.join(folder, "all.npy"))
        return "eto.nc"
    file = None
    for year in range(YEARS):
        if layout == "years" or file is None:
            if file is not None:
                file.close()
            name = f"eto_{FIRST + year}.nc" if layout == "years" else "eto.nc"
            file = new_file(os.path.join(folder, name), layout)
        start = 0 if layout == "years" else 12 * year
        file["eto"][start:start + 12] = numpy.stack(list(months(FIRST + year)))
        file["time"][start:start + 12] = 12 * year + numpy.arange(12)
    file.close()
    return "eto_{year}.nc" if layout == "years" else "eto.nc"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("builder")
    parser.add_argument("--folder")
    parser.add_argument("--layout", default="planes", choices=[*CHUNKS, "plain"])
    parser.add_argument("--keep", action="store_true")
    options = parser.parse_args()
    folder = tempfile.mkdtemp(dir=options.folder or "/var/tmp")
    try:
        started = time.monotonic()
        name = write(folder, options.layout)
        size = sum(os.path.getsize(os.path.join(folder, each)) for each in os.listdir(folder))
        print(f"{options.layout}: {size / 1e9:.2f} GB written in {time.monotonic() - started:.0f} s", flush=True)
        with open(os.path.join(folder, "years.toml"), "w", encoding="utf-8") as recipe:
            recipe.write('[baseline]\ntitle = "Benchmark"\nperiod = "1991-2020"\n[lattice]\nspacing_arcsec = 900\n'
                         'bbox = [-130.0, 20.0, -60.0, 60.0]\n[[grid]]\nname = "eto"\nvariable = "eto"\n'
                         f'path = "{name}"\nunit = "mm"\nreference = "short"\nequation = "invented"\n' + TERMS)
        started = time.monotonic()
        subprocess.run([os.path.abspath(options.builder), "check", "years.toml"], cwd=folder, check=True,
                       stdout=subprocess.DEVNULL)
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        print(f"check: {time.monotonic() - started:.0f} s, {used.ru_utime + used.ru_stime:.1f} s of processor time, "
              f"{used.ru_maxrss / 1024:.0f} MB")
    finally:
        if options.keep:
            print(folder)
        else:
            shutil.rmtree(folder)


if __name__ == "__main__":
    main()
