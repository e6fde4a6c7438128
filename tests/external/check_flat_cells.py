#!/usr/bin/env python3
"""Builds the world at half a degree and compares every flat cell with an independent computation.

The database is built from open climate grids, looked up with `batch`, and compared with FAO-56
Penman-Monteith computed by fao56_monthly.py from the same grids; and, if the general library ncl is
installed, also with its FAO-56 functions: as sums of days, which is the default, and by the monthly
equation with soil heat flux. Only flat cells are compared: there the elevation of a lattice point is
that of its cell, and values are not adjusted.
"""

import argparse
import csv
import io
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

SKIPPED = 77
try:
    import numpy as np
    from osgeo import gdal  # noqa: F401
except ImportError as missing:
    print(f"skipped: {missing} (Debian: python3-numpy, python3-gdal)")
    sys.exit(SKIPPED)

import fao56_monthly  # noqa: E402
import fao56_of_ncl  # noqa: E402
import open_data  # noqa: E402
import world_grids  # noqa: E402
from world_recipe import recipe_of_cell_centres  # noqa: E402

GREATEST_RELIEF_M = 100
GREATEST_MEAN_LESS_CENTRE_M = 20

ETO_SHARE, ETO_MM_PER_DAY = 0.025, 0.06
RAIN_SHARE, RAIN_MM = 0.02, 1.0
# So that a slightly wrong constant, small enough for each value's own bounds, does not pass.
ETO_MEAN_ABSOLUTE_MM_PER_DAY = 0.01
RAIN_MEAN_ABSOLUTE_MM = 0.3  # rain is kept in whole mm, which alone makes 0.25 in the wet

# A lattice point 20 m above its cell's mean is 0.13 degC colder; values are kept in tenths.
TEMPERATURE_C = 0.2
TEMPERATURE_MEAN_ABSOLUTE_C = 0.05

SOIL_HEAT_FUNCTIONS = {"none": fao56_monthly.no_soil_heat_flux,
                       "monthly": fao56_monthly.soil_heat_flux}

LEAST_CELLS = 10_000  # fewer would mean that the choice of cells is broken


@dataclass
class Cells:
    """Chosen cells: rows and columns of the grids, and the computation's inputs there."""

    rows: np.ndarray
    columns: np.ndarray
    latitude: np.ndarray
    longitude: np.ndarray
    elevation: np.ndarray


@dataclass
class Answers:
    """What the look-up says, 12 x cells."""

    found: np.ndarray
    eto_mm_per_day: np.ndarray
    rain_mm: np.ndarray
    tmax_c: np.ndarray
    tmin_c: np.ndarray


def choose_flat_cells(climate, relief):
    """Flat land whose six drivers are all there and possible in all twelve months."""
    possible = (np.isfinite(climate.rain_mm) & np.isfinite(climate.radiation_mj_per_m2_day)
                & (climate.wind_m_per_s >= 0) & (climate.tmin_c < climate.tmax_c)
                & (climate.vapour_pressure_kpa
                   <= fao56_monthly.saturation_vapour_pressure(climate.tmax_c)))
    whole = possible.all(axis=0)
    flat = ((relief.range < GREATEST_RELIEF_M)
            & (abs(relief.mean - relief.centre) < GREATEST_MEAN_LESS_CENTRE_M)
            & (relief.mean >= 0) & (relief.centre >= 0))
    land = np.isfinite(climate.tmax_c[0])
    print(f"{land.sum()} cells with a climate, {(land & flat).sum()} of them flat, "
          f"{(whole & flat).sum()} of those with all six drivers possible in every month")
    rows, columns = np.nonzero(whole & flat)
    latitudes, longitudes = world_grids.cell_centres()
    return Cells(rows, columns, latitudes[rows, 0], longitudes[0, columns],
                 relief.mean[rows, columns])


def build_database(builder, data_folder, folder, soil_heat_flux):
    recipe = folder / f"cell-centres-{soil_heat_flux}.toml"
    recipe.write_text(recipe_of_cell_centres(data_folder, soil_heat_flux), encoding="utf-8")
    database = folder / f"cell-centres-{soil_heat_flux}.sqlite"
    subprocess.run([builder, "build", str(recipe), "-o", str(database), "--progress", "never"],
                   check=True, stdout=subprocess.DEVNULL)
    return database


def look_up(lookup, database, cells):
    table = "lat,lon\n" + "".join(f"{lat},{lon}\n"
                                  for lat, lon in zip(cells.latitude, cells.longitude))
    out = subprocess.run([lookup, "batch", "--db", str(database), "--allow-missing"], check=True,
                         input=table, stdout=subprocess.PIPE, text=True).stdout
    records = list(csv.DictReader(io.StringIO(out)))
    assert len(records) == len(cells.rows), "the look-up did not answer each row once"

    def months_of(name):
        return np.array([[float(record[f"{name}_{month:02}"] or "nan") for record in records]
                         for month in range(1, 13)])

    return Answers(found=np.array([record["found"] == "true" for record in records]),
                   eto_mm_per_day=months_of("eto_mm") / world_grids.DAYS_OF_MONTH[:, None],
                   rain_mm=months_of("rain_mm"), tmax_c=months_of("tmax_c"),
                   tmin_c=months_of("tmin_c"))


def report_and_judge(what, unit, answered, expected, cells, share, least, mean_absolute):
    """True if every value agrees within the share of the expected one or within the least, and all
    within mean_absolute on average. Where nothing is expected (not a number) nothing is asked; a
    missing answer counts as beyond."""
    asked = np.isfinite(expected)
    difference = answered - expected
    beyond = asked & ~(abs(difference) <= np.maximum(share * abs(expected), least))
    month, cell = np.unravel_index(np.nanargmax(abs(difference)), difference.shape)
    print(f"{what}: {asked.sum()} values, mean difference {np.nanmean(difference):+.4f}, "
          f"mean absolute {np.nanmean(abs(difference)):.4f}, "
          f"greatest {difference[month, cell]:+.4f} {unit} "
          f"({answered[month, cell]:.3f} for {expected[month, cell]:.3f}, month {month + 1} at "
          f"{cells.latitude[cell]}, {cells.longitude[cell]}); {beyond.sum()} beyond "
          f"{100 * share:g} % or {least:g} {unit}")
    for month, cell in list(zip(*np.nonzero(beyond)))[:10]:
        print(f"  beyond: month {month + 1} at {cells.latitude[cell]}, {cells.longitude[cell]}: "
              f"{answered[month, cell]:.3f} for {expected[month, cell]:.3f} {unit}")
    return not beyond.any() and np.nanmean(abs(difference)) <= mean_absolute


def check(builder, lookup, data_folder):
    climate = world_grids.read_climate(data_folder)
    cells = choose_flat_cells(climate, world_grids.read_relief(data_folder))
    answers_of = {}
    with tempfile.TemporaryDirectory() as folder:
        for soil_heat_flux in SOIL_HEAT_FUNCTIONS:
            database = build_database(builder, data_folder, Path(folder), soil_heat_flux)
            answers_of[soil_heat_flux] = look_up(lookup, database, cells)
    answers = answers_of["none"]

    def of_cells(grid):
        return grid[:, cells.rows, cells.columns]

    drivers = dict(tmax=of_cells(climate.tmax_c), tmin=of_cells(climate.tmin_c),
                   vapour_pressure=of_cells(climate.vapour_pressure_kpa),
                   wind_2m=fao56_monthly.wind_at_2_m(of_cells(climate.wind_m_per_s),
                                                     open_data.WIND_HEIGHT_M),
                   radiation=of_cells(climate.radiation_mj_per_m2_day),
                   latitude_deg=cells.latitude, elevation=cells.elevation)
    verdicts = {
        "enough cells": len(cells.rows) >= LEAST_CELLS,
        "every cell answered": bool(answers.found.all()),
        "rain": report_and_judge("rain", "mm", answers.rain_mm, of_cells(climate.rain_mm), cells,
                                 RAIN_SHARE, RAIN_MM, RAIN_MEAN_ABSOLUTE_MM)}
    for name in ("tmax", "tmin"):
        verdicts[name] = report_and_judge(name, "degC", getattr(answers, f"{name}_c"),
                                          drivers[name], cells, 0, TEMPERATURE_C,
                                          TEMPERATURE_MEAN_ABSOLUTE_C)
    for soil_heat_flux, soil_heat in SOIL_HEAT_FUNCTIONS.items():
        answered = answers_of[soil_heat_flux].eto_mm_per_day
        eto = fao56_monthly.reference_et(**drivers, soil_heat=soil_heat)
        print(f"ETo of these cells, soil heat flux {soil_heat_flux}: {eto.min():.2f} to "
              f"{eto.max():.2f} mm/day, mean {eto.mean():.2f}")
        name = f"ETo, soil heat flux {soil_heat_flux}"
        verdicts[name] = report_and_judge(name, "mm/day", answered, eto, cells, ETO_SHARE,
                                          ETO_MM_PER_DAY, ETO_MEAN_ABSOLUTE_MM_PER_DAY)
        if not fao56_of_ncl.is_installed():
            print("ncl is not installed: its FAO-56 functions were not asked")
            continue
        chosen, of_ncl = fao56_of_ncl.reference_et_of_some(**drivers,
                                                           soil_heat_flux=soil_heat_flux)
        some = Cells(*(getattr(cells, field)[chosen] for field in Cells.__dataclass_fields__))
        name += " of ncl"
        verdicts[name] = np.isfinite(of_ncl).sum() > len(chosen) and report_and_judge(
            f"{name}, {len(chosen)} cells, frost-free months", "mm/day", answered[:, chosen],
            of_ncl, some, ETO_SHARE, ETO_MM_PER_DAY, ETO_MEAN_ABSOLUTE_MM_PER_DAY)

    failures = [name for name, passed in verdicts.items() if not passed]
    print("failed: " + ", ".join(failures) if failures else "all agree")
    return 1 if failures else 0


def main():
    project = Path(__file__).resolve().parents[2]
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--builder", required=True, help="the thirstline-builder program")
    parser.add_argument("--lookup", required=True, help="the thirstline-lookup program")
    arguments = parser.parse_args()
    data_folder = Path(os.environ.get("THIRSTLINE_OPEN_DATA") or project.parent / "shared" / "data")
    if not (data_folder / open_data.CLIMATE_FOLDER).is_dir():
        print(f"skipped: no open climate data in {data_folder} (set THIRSTLINE_OPEN_DATA)")
        return SKIPPED
    return check(arguments.builder, arguments.lookup, data_folder)


if __name__ == "__main__":
    sys.exit(main())
