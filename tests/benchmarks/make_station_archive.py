#!/usr/bin/env python3
"""Writes a synthetic archive in the layout of the U.S. normals of 1991-2020 by station.

    make_station_archive.py ARCHIVE.tar.gz [STATIONS]

By default 15,616 files, as many as the published archive has. Each has only the columns of what its
station measures, from 13 to some 400, all quoted and padded: rain everywhere, temperature at half of
them, and any of three dozen sets of other elements. The stations are invented: a lattice of places in
the open ocean. The same arguments give the same bytes.
"""
import gzip
import io
import math
import random
import sys
import tarfile

STATIONS = 15_616
SETS = 36
MOST_OTHER_COLUMNS = 97  # of four fields each


def fields_of(element):
    return [element, "meas_flag_" + element, "comp_flag_" + element, "years_" + element]


def quoted(fields):
    return ",".join(f'"{field}"' for field in fields)


def other_elements(rng, size):
    """The header's and twelve rows' text of elements that a build does not use."""
    names = [f"MLY-{rng.choice(['CLDD', 'GRDD', 'HTDD', 'PRCP', 'SNOW'])}-OTHER{i:02}" for i in range(size)]
    header = "".join("," + quoted(fields_of(name)) for name in names)
    rows = ["".join("," + quoted([f"{rng.uniform(-20, 90):8.1f}", " ", "S", "30"]) for _ in names)
            for _ in range(12)]
    return header, rows


def station_file(number, stations, others):
    columns = math.ceil(math.sqrt(2 * stations))
    row, column = divmod(number, columns)
    lat = 25.0 + 24.0 * row / columns
    lon = -40.0 + 24.0 * column / columns
    height = 10 + number % 900
    header, other_rows = others
    has_temperature = number % 2 == 0
    elements = ["MLY-PRCP-NORMAL"] + (["MLY-TMAX-NORMAL", "MLY-TMIN-NORMAL"] if has_temperature else [])
    lines = [quoted(["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME", "month", "day", "hour"])
             + "".join("," + quoted(fields_of(element)) for element in elements) + header]
    place = [f"{lat:8.4f}", f"{lon:9.4f}", f"{height:6.1f}", f"MERROW {number}, OPEN OCEAN"]
    for month in range(1, 13):
        season = -math.cos((month - 1) / 6 * math.pi)
        tmax = 60 + 20 * season - (lat - 25) - height / 150
        values = [f"{3.0 - season + number % 7 / 10:8.2f}"]
        if has_temperature:
            values += [f"{tmax:8.1f}", f"{tmax - 20:8.1f}"]
        lines.append(quoted([f"USM{number:08}", f"{month:02}", *place, f"{month:02}", "99", "99"])
                     + "".join("," + quoted([value, " ", "S", "30"]) for value in values)
                     + other_rows[month - 1])
    return ("\n".join(lines) + "\n").encode()


def main(arguments):
    path = arguments[0]
    stations = int(arguments[1]) if len(arguments) > 1 else STATIONS
    rng = random.Random(1991)
    sets = [other_elements(rng, round(MOST_OTHER_COLUMNS * i / (SETS - 1))) for i in range(SETS)]
    order = list(range(stations))
    rng.shuffle(order)  # an archive need not be sorted
    with open(path, "wb") as file, \
            gzip.GzipFile(fileobj=file, mode="wb", mtime=0, filename="", compresslevel=6) as packed, \
            tarfile.open(fileobj=packed, mode="w") as tar:
        for number in order:
            content = station_file(number, stations, sets[number * 7 % SETS])
            member = tarfile.TarInfo(f"USM{number:08}.csv")
            member.size = len(content)
            tar.addfile(member, io.BytesIO(content))


main(sys.argv[1:])
