#!/usr/bin/env python3
"""Measures the ways to read a file from other languages, in one run.

    python3 tests/benchmarks/ways_to_read.py BUILD_FOLDER [--data FOLDER] [--spacing-arcsec 300] [--million N]

BUILD_FOLDER is any release build. The data are the open climate grids in THIRSTLINE_OPEN_DATA (../shared/data by
default): the contiguous United States from grids alone, plain and compact. Times are the least of several runs,
turn by turn. Processor time of both cores is given beside, for a machine that others use too.

SQL: what the extension answers, against the views of the plain file and against the same numbers in a normalised
table (a row of 24 REALs for each point, and an R*Tree). Python: `Baseline.many` against `batch` from file to file
and against a loop over `Baseline.site`.
"""

import argparse
import os
import random
import resource
import sqlite3
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

PROJECT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(PROJECT / "lookup/python/source"))
from run_benchmarks import CONTIGUOUS_US, Bench, Measured  # noqa: E402

RUNS = 3
SITES = 2000


def processor_seconds():
    usage = resource.getrusage(resource.RUSAGE_SELF)
    return usage.ru_utime + usage.ru_stime


def timed(work):
    """Seconds, and processor seconds, of one run, and its result."""
    wall, processor = time.monotonic(), processor_seconds()
    result = work()
    return time.monotonic() - wall, processor_seconds() - processor, result


def compared(title, works, count):
    """Prints for each work its least time, by unit of count."""
    print(f"\n-- {title}")
    least = {name: (float("inf"), float("inf")) for name in works}
    for _ in range(RUNS):
        for name, work in works.items():
            seconds, processor, _ = timed(work)
            least[name] = min(least[name][0], seconds), min(least[name][1], processor)
    for name, (seconds, processor) in least.items():
        print(f"{name:52} {seconds:9.3f} s  {1e6 * seconds / count:10.2f} us each  {processor:9.3f} s of processor",
              flush=True)
    return least


def with_extension(build, database):
    connection = sqlite3.connect(f"file:{database}?mode=ro", uri=True)
    connection.enable_load_extension(True)
    connection.load_extension(str(build / "lookup/sql_extension/thirstline.so"))
    return connection


def normalised(connection, database, path):
    """The same numbers as most people would store them."""
    columns = [f"{name}_{month:02}" for name in ("eto", "rain") for month in range(1, 13)]
    points = {}
    for lat, lon, month, eto, rain in connection.execute(
            "SELECT lat, lon, month, eto_mm, rain_mm FROM thirstline_points(?)", (str(database),)):
        row = points.setdefault((lat, lon), [None] * 24)
        row[month - 1], row[month + 11] = eto, rain
    table = sqlite3.connect(path)
    table.execute(f"CREATE TABLE climate(id INTEGER PRIMARY KEY, lat REAL, lon REAL, {', '.join(columns)})")
    table.execute("CREATE VIRTUAL TABLE place USING rtree(id, south, north, west, east)")
    for number, ((lat, lon), row) in enumerate(points.items()):
        table.execute(f"INSERT INTO climate VALUES (?, ?, ?{', ?' * 24})", (number, lat, lon, *row))
        table.execute("INSERT INTO place VALUES (?, ?, ?, ?, ?)", (number, lat, lat, lon, lon))
    table.commit()
    return table


def sql(build, files, folder):
    connections = {code: with_extension(build, file) for code, file in files.items()}
    table = normalised(connections["plain"], files["plain"], folder / "normalised.sqlite")
    sizes = {**files, "normalised": folder / "normalised.sqlite"}
    print("sizes:", ", ".join(f"{name} {path.stat().st_size / 1e6:.1f} MB" for name, path in sizes.items()))
    [(points,)] = connections["plain"].execute("SELECT count(*) FROM point")
    print(f"{points} points")

    drawn = random.Random(31)
    west, south, east, north = CONTIGUOUS_US
    sites = [(drawn.uniform(south, north), drawn.uniform(west, east)) for _ in range(SITES)]

    def answered(connection, path):
        return [connection.execute("SELECT sum(eto_mm), sum(rain_mm) FROM thirstline_site(?, ?, ?)",
                                   (path, *site)).fetchone() for site in sites]

    def nearest(width=0.1):
        return [table.execute(
            "SELECT climate.* FROM place JOIN climate USING (id) WHERE north >= ? AND south <= ? AND east >= ? AND "
            "west <= ? ORDER BY (lat - ?) * (lat - ?) + (lon - ?) * (lon - ?) LIMIT 1",
            (lat - width, lat + width, lon - width, lon + width, lat, lat, lon, lon)).fetchone()
            for lat, lon in sites]
    compared(f"SQL: {SITES} random sites, a query each", {
        "extension, plain file (interpolated)": lambda: answered(connections["plain"], str(files["plain"])),
        "extension, compact file (interpolated)": lambda: answered(connections["compact"], str(files["compact"])),
        "normalised table with R*Tree (nearest point)": nearest}, SITES)

    box = (-100.0, 40.0, -99.0, 41.0)
    [(key,)] = connections["plain"].execute(
        "SELECT tile_key FROM thirstline_points(?, ?, ?, ?, ?) LIMIT 1", (str(files["plain"]), *box))
    [(compact_key,)] = connections["compact"].execute(
        "SELECT tile_key FROM thirstline_points(?, ?, ?, ?, ?) LIMIT 1", (str(files["compact"]), *box))
    plain_only = sqlite3.connect(files["plain"])
    tile = "SELECT count(*), sum(eto_mm) FROM {} WHERE tile_key = {}"
    compared("SQL: one tile (64 points plain, 256 compact)", {
        "views of the plain file": lambda: plain_only.execute(tile.format("profile", key)).fetchone(),
        "extension, plain file": lambda: connections["plain"].execute(tile.format("profile", key)).fetchone(),
        "extension, compact file":
            lambda: connections["compact"].execute(tile.format("profile", compact_key)).fetchone()}, 1)

    def within(code):
        return connections[code].execute("SELECT avg(eto_mm) FROM thirstline_points(?, ?, ?, ?, ?) WHERE month = 7",
                                         (str(files[code]), *box)).fetchone()
    compared("SQL: mean of July over a square degree", {
        "extension, plain file": lambda: within("plain"), "extension, compact file": lambda: within("compact"),
        "normalised table with R*Tree": lambda: table.execute(
            "SELECT avg(eto_07) FROM place JOIN climate USING (id) WHERE north >= ? AND south <= ? AND east >= ? "
            "AND west <= ?", (box[1], box[3], box[0], box[2])).fetchone()}, 1)

    def over_all(code):
        return connections[code].execute("SELECT month, avg(eto_mm), avg(rain_mm) FROM profile "
                                         "GROUP BY month").fetchall()
    compared("SQL: means by month over all points", {
        "extension, plain file": lambda: over_all("plain"), "extension, compact file": lambda: over_all("compact"),
        "normalised table": lambda: table.execute(
            "SELECT " + ", ".join(f"avg({name}_{month:02})" for name in ("eto", "rain")
                                  for month in range(1, 13)) + " FROM climate").fetchone()}, points)


def python(bench, files, count):
    import thirstline
    drawn = np.random.default_rng(32)
    west, south, east, north = CONTIGUOUS_US
    lat, lon = drawn.uniform(south, north, count).round(5), drawn.uniform(west, east, count).round(5)
    table = bench.folder / "million.csv"
    with open(table, "w", encoding="utf-8") as file:
        file.write("lat,lon\n")
        file.writelines(f"{a:.5f},{b:.5f}\n" for a, b in zip(lat, lon))
    for code, path in files.items():
        baseline = thirstline.Baseline(path)
        one_by_one = min(count, 20_000)

        def loop():
            found = 0
            for a, b in zip(lat[:one_by_one].tolist(), lon[:one_by_one].tolist()):
                try:
                    found += baseline.site(a, b).peak_month is not None
                except thirstline.NoDataError:
                    pass
            return found

        def in_millimetres():
            arrays = baseline.many(lat, lon)
            return [arrays.eto_mm, arrays.rain_mm, arrays.eto_se_mm, arrays.rain_se_mm, arrays.tmax_c, arrays.tmin_c]
        print(f"\n-- Python: {count} random sites, {code} file")
        rows = {"batch, from CSV to CSV": [], "many, exact integers": [], "many, all six values as doubles": []}
        for _ in range(RUNS):
            run = Measured([bench.lookup, "batch", "--db", path, "--input", table, "--allow-missing"],
                           output=bench.folder / "out.csv")
            rows["batch, from CSV to CSV"].append((run.seconds, run.cpu_seconds))
            rows["many, exact integers"].append(timed(lambda: baseline.many(lat, lon))[:2])
            rows["many, all six values as doubles"].append(timed(in_millimetres)[:2])
        least = {name: [min(values) for values in zip(*runs)] for name, runs in rows.items()}
        reference = least["batch, from CSV to CSV"]
        for name, (seconds, processor) in least.items():
            print(f"{name:52} {seconds:9.3f} s  {processor:9.3f} s of processor  {seconds / reference[0]:5.2f} "
                  f"times batch ({processor / reference[1]:.2f} of processor)", flush=True)
        seconds, processor, _ = timed(loop)
        print(f"{f'a loop over site, of {one_by_one}':52} {seconds:9.3f} s  {1e6 * seconds / one_by_one:.1f} us each, "
              f"{count / one_by_one * seconds / least['many, exact integers'][0]:.0f} times many", flush=True)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("build", type=Path)
    parser.add_argument("--data", type=Path, default=os.environ.get("THIRSTLINE_OPEN_DATA", PROJECT / "../shared/data"))
    parser.add_argument("--spacing-arcsec", type=int, default=300)
    parser.add_argument("--million", type=int, default=1_000_000, help="sites of the comparison with batch")
    options = parser.parse_args()
    build = options.build.resolve()
    os.environ["THIRSTLINE_LIBRARY"] = str(build / "lookup/library/libthirstline.so")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        bench = Bench(build, Path(options.data).resolve(), folder)
        files = {code: bench.built(code, options.spacing_arcsec, CONTIGUOUS_US, code=code)[0]
                 for code in ("plain", "compact")}
        sql(build, files, folder)
        python(bench, files, options.million)


if __name__ == "__main__":
    main()
