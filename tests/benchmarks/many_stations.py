#!/usr/bin/python3
"""How the work of a build grows with the number of stations: processor time, memory and the exponent.

    python3 tests/benchmarks/many_stations.py BUILDER --data FOLDER [--counts 1000,4000,16000,64000] [--spacing 900]

Stations at random places in the contiguous United States, with temperatures, rain, dew point, wind and radiation.
Each value is an invented climate by latitude, season and elevation, with differences that are alike nearby and a
difference of the station's own. The grids are the open ones that the tests use; the first build has none of the
stations, and its time is taken off before the exponent is computed.
"""

import argparse
import csv
import math
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "external"))
import open_data  # noqa: E402

BBOX = (-125.0, 24.0, -66.5, 49.5)
COLUMNS = "id name lat lon elevation month tmax tmin rain dew_point wind radiation".split()


def smooth(draw, places, waves=24):
    """A sum of waves of 200 to 2,000 km, about 1 in size."""
    total = numpy.zeros(len(places))
    for _ in range(waves):
        direction = draw.uniform(0, 2 * math.pi)
        per_degree = 2 * math.pi / (draw.uniform(200, 2000) / 100)
        total += numpy.cos(per_degree * (places @ [math.cos(direction), math.sin(direction)]) + draw.uniform(0, 6.3))
    return total * math.sqrt(2 / waves)


def write_stations(path, count):
    draw = numpy.random.default_rng(22)
    places = numpy.column_stack([draw.uniform(BBOX[1], BBOX[3], count), draw.uniform(BBOX[0], BBOX[2], count)])
    elevation = numpy.round(numpy.clip(300 + 250 * smooth(draw, places), 0, None))
    fields = {name: smooth(draw, places) + 0.4 * draw.normal(size=count) for name in ("mean", "range", "rain", "dew",
                                                                                      "wind", "sun")}
    with open(path, "w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(COLUMNS)
        for i, (lat, lon) in enumerate(places):
            for month in range(12):
                warm = math.cos((month - 6.2) * math.pi / 6)
                mean = 27 - 0.62 * (lat - 24) + (4 + 0.4 * (lat - 24)) * warm - 0.006 * elevation[i] + fields["mean"][i]
                half = 6 + 0.6 * fields["range"][i]
                rain = max(70 * math.exp(0.3 * fields["rain"][i]) * (1 + 0.3 * warm), 1)
                sun = (15 + 8 * warm) * (1 + 0.04 * fields["sun"][i])
                wind = 3 * math.exp(0.15 * fields["wind"][i])
                rows.writerow([f"S{i:05}", f"Station {i:05}", f"{lat:.4f}", f"{lon:.4f}", f"{elevation[i]:.0f}",
                               month + 1, f"{mean + half:.1f}", f"{mean - half:.1f}", f"{rain:.0f}",
                               f"{mean - half - 1 + 0.8 * fields['dew'][i]:.1f}", f"{wind:.1f}", f"{sun:.1f}"])


def recipe(data, spacing, stations):
    text = f"""[baseline]
title = "Many stations"
region = "United States"
period = "1991-2020"
[lattice]
spacing_arcsec = {spacing}
bbox = {list(BBOX)}
reach_km = 25
{open_data.grids(data)}"""
    if stations:
        text += f"""[[stations]]
name = "invented stations"
layout = "long"
path = "{stations}"
period = "1991-2020"
licence = "CC0-1.0"
attribution = "invented"
height_m = 10
units = {{ tmax = "degC", tmin = "degC", rain = "mm", dew_point = "degC", wind = "m/s", radiation = "MJ/m2/day" }}
columns = {{ station = "id", name = "name", lat = "lat", lon = "lon", elevation = "elevation", month = "month", \
tmax = "tmax", tmin = "tmin", rain = "rain", dew_point = "dew_point", wind = "wind", radiation = "radiation" }}
"""
    return text


def build(builder, folder, text):
    """Processor seconds, seconds by the clock, and memory in MB of one build."""
    path = Path(folder) / "recipe.toml"
    path.write_text(text, encoding="utf-8")
    program = [builder, "build", path, "-o", Path(folder) / "out.sqlite", "--overwrite", "--progress", "never"]
    started = os.times()
    with subprocess.Popen(program, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        _, err = process.communicate()
    ended = os.times()
    if process.returncode != 0:
        raise SystemExit(err)
    return (ended.children_user + ended.children_system - started.children_user - started.children_system,
            ended.elapsed - started.elapsed, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("builder")
    parser.add_argument("--data", required=True)
    parser.add_argument("--counts", default="1000,4000,16000,64000")
    parser.add_argument("--spacing", type=int, default=900)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        without, _, _ = build(options.builder, folder, recipe(options.data, options.spacing, None))
        print(f"no stations: {without:.1f} s of processor time", flush=True)
        before = None
        for count in map(int, options.counts.split(",")):
            table = Path(folder) / "stations.csv"
            write_stations(table, count)
            work, clock, memory_mb = build(options.builder, folder, recipe(options.data, options.spacing, table))
            grown = "" if before is None else \
                f", exponent {math.log((work - without) / before[1]) / math.log(count / before[0]):.2f}"
            print(f"{count} stations: {work:.1f} s of processor time, {clock:.1f} s, {memory_mb:.0f} MB{grown}",
                  flush=True)
            before = count, work - without


if __name__ == "__main__":
    main()
