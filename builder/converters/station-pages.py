#!/usr/bin/env python3
"""Turns pages of climate normals, one station a file, into one table for a recipe's [[stations]].

    station-pages.py FORMAT FILE… > table.csv

FORMAT names the layout of the pages:
    eccc    Canada's normals of 1981-2010 and earlier, CSV with headings, one file a station
    smn     Mexico's normals (Normales Climatológicas), text with sections, one file a station
    power   NASA POWER's climatology of a point, CSV with a header block, one file a point

The table has a row for each station and month (layout = "long"). Numbers are those of the pages, in
their units; a missing value is an empty field. In the columns of ECCC and SMN the unit is part of
the name; POWER's have the names of its parameters, whose units stand in the page.
"""
import csv
import io
import re
import sys

MONTHS = 12


class PageError(Exception):
    """A page that is not what its format says."""


class Station:
    """A station's place, and its columns: text by name and month."""

    def __init__(self, station, name, lat, lon, elevation_m):
        self.place = {"station": station, "name": name, "lat": lat, "lon": lon,
                      "elevation_m": elevation_m}
        self.columns = {}

    def add(self, column, values):
        """Twelve texts; of a label that occurs twice, the first is kept."""
        if len(values) == MONTHS:
            self.columns.setdefault(column, [value.strip() for value in values])


def text_of(data):
    """The mirror of Canada's files is Latin-1, everything else UTF-8."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def number_in(text, name):
    found = re.search(r"-?\d+(?:\.\d+)?", text)
    if found is None:
        raise PageError(f"{name} is not a number: \"{text.strip()}\"")
    return found.group()


# Block and label of the rows that are used, and the column they become. Labels repeat from block to
# block.
ECCC_ROWS = {
    ("Temperature", "Daily Maximum (°C)"): "tmax_c",
    ("Temperature", "Daily Minimum (°C)"): "tmin_c",
    ("Temperature", "Daily Average (°C)"): "tmean_c",
    ("Precipitation", "Precipitation (mm)"): "rain_mm",
    ("Wind", "Speed (km/h)"): "wind_km_h",
    ("Bright Sunshine", "Total Hours"): "sunshine_h",
    ("Humidity", "Average Vapour Pressure (kPa)"): "vapour_pressure_kpa",
}


def eccc_station(text):
    rows = list(csv.reader(io.StringIO(text)))
    heads = [i for i, row in enumerate(rows) if row[:1] == ["STATION_NAME"]]
    if not heads or heads[0] + 1 >= len(rows):
        raise PageError("it has no line STATION_NAME")
    place = dict(zip(rows[heads[0]], rows[heads[0] + 1]))
    # A star marks stations that meet the WMO's standards.
    station = Station(place["CLIMATE_ID"], place["STATION_NAME"].lstrip("*"),
                      place["LATITUDE"].strip(), place["LONGITUDE"].strip(),
                      number_in(place["ELEVATION"], "ELEVATION"))
    block = ""
    for row in rows:
        if len(row) == 1:
            block = row[0]
        column = ECCC_ROWS.get((block, row[0])) if len(row) == MONTHS + 3 else None
        if column:
            station.add(column, row[1:1 + MONTHS])
            station.add("flag_" + column, [row[-1]] * MONTHS)
    return station


SMN_SECTIONS = {
    "TEMPERATURA MÁXIMA": "tmax_c",
    "TEMPERATURA MÍNIMA": "tmin_c",
    "TEMPERATURA MEDIA": "tmean_c",
    "PRECIPITACIÓN": "rain_mm",
    "NÚMERO DE DÍAS CON LLUVIA": "rain_days",
    "HUMEDAD RELATIVA": "relative_humidity_percent",
}
SMN_MONTHS = "ENE FEB MAR ABR MAY JUN JUL AGO SEP OCT NOV DIC".split()


def smn_station(text):
    labels = dict(re.findall(r"^ *([A-ZÓ-]+) *: *(.*?) *$", text, re.MULTILINE))
    lacking = [label for label in ("ESTACIÓN", "LATITUD", "LONGITUD") if label not in labels]
    if lacking:
        raise PageError(f"it has no line {lacking[0]}")
    station = Station(labels["ESTACIÓN"], labels.get("NOMBRE", labels["ESTACIÓN"]),
                      number_in(labels["LATITUD"], "LATITUD"),
                      number_in(labels["LONGITUD"], "LONGITUD"),
                      number_in(labels["ALTITUD"], "ALTITUD") if "ALTITUD" in labels else "")
    column = None
    for line in text.splitlines():
        label, *values = [part.strip() for part in re.split("\t+", line.rstrip())]
        if not values:
            column = SMN_SECTIONS.get(label) if label else None
        elif label == "MESES" and values[:MONTHS] != SMN_MONTHS:
            raise PageError("its months are not ENE to DIC")
        elif column and label in ("NORMAL", "AÑOS CON DATOS"):
            kept = ["" if value == "NULO" else value for value in values[:MONTHS]]
            station.add(column if label == "NORMAL" else "years_" + column, kept)
    return station


def power_station(text):
    head, end, table = text.partition("-END HEADER-")
    place = re.search(r"Location: *Latitude +(\S+) +Longitude +(\S+)", head)
    if not end or place is None:
        raise PageError("it has no header block with a location")
    elevation = re.search(r"= *(\S+) *meters", head)
    missing = re.search(r"missing source data.*: *(\S+)", head)
    lat, lon = place.groups()
    name = f"{lat},{lon}"
    station = Station(name, name, lat, lon, elevation.group(1) if elevation else "")
    rows = list(csv.reader(io.StringIO(table.strip())))
    if not rows or [m.upper() for m in rows[0][1:4]] != ["JAN", "FEB", "MAR"]:
        raise PageError("it is not a climatology: its columns are not JAN to DEC")
    for parameter, *values in rows[1:]:
        station.add(parameter, ["" if missing and v == missing.group(1) else v
                                for v in values[:MONTHS]])
    return station


FORMATS = {"eccc": eccc_station, "smn": smn_station, "power": power_station}


def write_table(stations, out):
    columns = sorted({column for station in stations for column in station.columns})
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["station", "name", "lat", "lon", "elevation_m", "month", *columns])
    for station in stations:
        for month in range(MONTHS):
            writer.writerow([*station.place.values(), month + 1,
                             *(station.columns[c][month] if c in station.columns else ""
                               for c in columns)])


def main(arguments):
    if len(arguments) < 2 or arguments[0] not in FORMATS:
        print(__doc__.split("\n\n")[1].strip() + "\nFORMAT is " + ", ".join(FORMATS),
              file=sys.stderr)
        return 2
    stations = []
    for path in arguments[1:]:
        try:
            with open(path, "rb") as file:
                station = FORMATS[arguments[0]](text_of(file.read()))
            if not station.columns:
                raise PageError("it has none of the normals that are used")
        except (OSError, PageError, KeyError) as error:
            print(f"station-pages.py: {path} is not a page of {arguments[0]}: {error}",
                  file=sys.stderr)
            return 3
        stations.append(station)
    sys.stdout.reconfigure(encoding="utf-8")
    write_table(stations, sys.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
