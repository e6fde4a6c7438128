"""How many planted faults of real stations `check` finds, by kind.

    planted_faults.py --builder build/release/builder/thirstline-builder --data FOLDER [--stations 200]

The stations are the WMO normals of 1991-2020 over a grid of 1961-1990, the open data that the tests use. Into 200
stations at a time a fault is planted, then `check` runs. A fault is gross if it changes the year by more than
climates nearby differ: rain by a factor of 3 in the mean of the months' logarithms (6 mm added, so that dry months
do not count), one month's rain from at least 20 mm to ten times as much, temperatures by 10 °C in the mean of the
months. A fault is found if the station is rejected, and doubted if it is used with a larger error.
"""
import argparse
import collections
import csv
import json
import math
import random
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "external"))
import open_data  # noqa: E402

MISSING = (-99.9, -876.5, -9999)
REJECTED = ("not used", "neither is used", "row not used", "value not used", "values not used; the mean is kept")
DOUBTED = "used, with a larger error"


class Table:
    def __init__(self, path):
        with open(path, encoding="latin1", newline="") as file:
            self.head, *self.rows = list(csv.reader(file))
        names = [name.strip() for name in self.head]
        self.months = [names.index(month) for month in open_data.MONTHS]
        self.identity = names.index("ID")

    def values(self, row):
        try:
            found = [float(self.rows[row][column]) for column in self.months]
        except ValueError:
            return None
        return None if any(value in MISSING for value in found) else found

    def with_values(self, changed):
        rows = [list(row) for row in self.rows]
        for number, values in changed.items():
            for column, value in zip(self.months, values):
                rows[number][column] = f"{value:.1f}"
        return [self.head, *rows]


def recipe(data, changed):
    return f"""[baseline]
title = "Planted faults"
notice = "for a test"
reference = "short"
period = "1991-2020"
[lattice]
spacing_arcsec = 3600
bbox = [-180, -90, 180, 90]
reach_km = 50
{open_data.grids(data)}{open_data.stations(data, changed)}"""


def suspects(builder, data, folder, changed):
    """By variable and line of its table the greatest consequence: 2 rejected, 1 doubted. `error` if refused."""
    paths = {}
    for variable, rows in changed.items():
        paths[variable] = Path(folder) / open_data.STATION_FILES[variable][0]
        with open(paths[variable], "w", encoding="latin1", newline="") as file:
            csv.writer(file).writerows(rows)
    path = Path(folder) / "recipe.toml"
    path.write_text(recipe(data, paths), encoding="utf-8")
    done = subprocess.run([builder, "check", path, "--format", "json"], capture_output=True, text=True, check=False)
    if not done.stdout:
        return done.stderr.strip()
    found = collections.defaultdict(int)
    for suspect in json.loads(done.stdout)["suspects"]:
        if suspect["line"] and suspect["source"].startswith("WMO normals"):
            grade = 2 if suspect["action"] in REJECTED else 1 if suspect["action"] == DOUBTED else 0
            key = suspect["source"].rsplit(" ", 1)[1], suspect["line"]
            found[key] = max(found[key], grade)
    return found


def rain_change(before, after):
    return sum(abs(math.log((b + 6) / (a + 6))) for a, b in zip(before, after)) / 12


def is_gross(kind, variable, before, after):
    if variable != "rain":
        return sum(abs(a - b) for a, b in zip(before, after)) / 12 > 10
    if kind == "one month x10":
        return max(a for a, b in zip(before, after) if a != b or a == 0) >= 20
    return rain_change(before, after) > math.log(3)


def faulty(kind, values, other, random_month):
    factors = {"x10": 10, "x0.1": 0.1, "x25.4": 25.4, "x100": 100}
    if kind in factors:
        return [value * factors[kind] for value in values]
    if kind == "shifted by six months":
        return values[6:] + values[:6]
    if kind == "swapped":
        return other
    if kind == "fahrenheit":
        return [value * 1.8 + 32 for value in values]
    changed = list(values)
    changed[random_month] = changed[random_month] * 10 if kind == "one month x10" else changed[random_month] + 20
    return changed


def planted(tables, kind, group, stations, options):
    """By variable {row: values}, and for each station its rows and whether its fault is gross."""
    draw = random.Random(options.seed)
    chosen = draw.sample(stations, min(len(stations), options.stations))
    changed, gross = {variable: {} for variable in group}, []
    for place, rows in enumerate(chosen):
        other = chosen[place ^ 1] if (place ^ 1) < len(chosen) else chosen[0]
        month = draw.randrange(12)
        is_gross_anywhere = False
        for variable in group:
            before = tables[variable].values(rows[variable])
            after = faulty(kind, before, tables[variable].values(other[variable]), month)
            changed[variable][rows[variable]] = after
            is_gross_anywhere |= is_gross(kind, variable, before, after)
        gross.append((rows, is_gross_anywhere))
    return changed, gross


def stations_of(tables, group, clean):
    """Rows of the stations that all tables of the group have, with every month, and nothing against them."""
    by_identity = [{table.rows[row][table.identity].strip(): row for row in range(len(table.rows))
                    if table.values(row) and clean[variable, row + 2] == 0}
                   for variable, table in ((variable, tables[variable]) for variable in group)]
    common = sorted(set.intersection(*map(set, by_identity)))
    return [dict(zip(group, (rows[identity] for rows in by_identity))) for identity in common]


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--builder", required=True)
    parser.add_argument("--data", required=True)
    parser.add_argument("--stations", type=int, default=200)
    parser.add_argument("--seed", type=int, default=15)
    options = parser.parse_args()
    tables = {variable: Table(Path(options.data) / open_data.STATION_FOLDER / name)
              for variable, (name, _) in open_data.STATION_FILES.items()}
    kinds = [(kind, ("rain",)) for kind in ("x10", "x0.1", "x25.4", "x100", "shifted by six months", "swapped",
                                            "one month x10")]
    kinds += [(kind, ("tmax", "tmin")) for kind in ("fahrenheit", "shifted by six months", "swapped",
                                                    "one month +20 degrees")]
    with tempfile.TemporaryDirectory() as folder:
        clean = suspects(options.builder, options.data, folder, {})
        print("| fault | variable | gross: found | doubted | of | others: found | doubted | of |\n|" + "---|" * 8)
        for kind, group in kinds:
            changed, gross = planted(tables, kind, group, stations_of(tables, group, clean), options)
            found = suspects(options.builder, options.data, folder,
                             {variable: tables[variable].with_values(rows) for variable, rows in changed.items()})
            if isinstance(found, str):
                print(f"| {kind} | {'/'.join(group)} | {found} |")
                continue
            counts = collections.Counter()
            for rows, is_gross_fault in gross:
                grade = max(found[variable, row + 2] for variable, row in rows.items())
                counts[is_gross_fault, grade] += 1
            cells = [str(counts[level, grade]) if grade else str(sum(counts[level, g] for g in (0, 1, 2)))
                     for level in (True, False) for grade in (2, 1, 0)]
            print(f"| {kind} | {'/'.join(group)} | " + " | ".join(cells) + " |", flush=True)


if __name__ == "__main__":
    main()
