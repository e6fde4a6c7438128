"""Reads samples of published normals without the builder: an independent reading for its tests.

    read_source_samples.py FOLDER

prints a line for each source, station and variable: source, station, variable, latitude, longitude,
elevation and twelve values, in the builder's units of computation, separated by tabs. A missing
value is "nan". Lines of postal codes begin with "postal": country, code, place, latitude and
longitude. FOLDER is that of the samples in the open data.
"""
import csv
import math
import re
import sys
from pathlib import Path

NAN = float("nan")
# FAO-56, equation 47, for an anemometer at 10 m.
WIND_AT_2_M = 4.87 / math.log(67.8 * 10 - 5.42)


def show(source, station, variable, place, values):
    print(source, station, variable, *(repr(float(x)) for x in [*place, *values]), sep="\t")


def ncei_1981(folder):
    """Tenths of a degree Fahrenheit and hundredths of an inch without a point; -7777 is zero."""
    for path in sorted(folder.glob("ncei-normals-csv/monthly_1981-2010_*.csv")):
        rows = list(csv.DictReader(path.open(encoding="utf-8")))
        place = [rows[0][key] for key in ("LATITUDE", "LONGITUDE", "ELEVATION")]
        for variable, column in (("tmax", "MLY-TMAX-NORMAL"), ("tmin", "MLY-TMIN-NORMAL"),
                                 ("rain", "MLY-PRCP-NORMAL")):
            numbers = [0 if row[column] == "-7777" else int(row[column]) for row in rows]
            values = [n / 100 * 25.4 if variable == "rain" else (n / 10 - 32) / 1.8
                      for n in numbers]
            show("ncei-1981", rows[0]["NAME"], variable, place, values)


def ncei_1991(folder):
    path = folder / "ncei-normals-csv/monthly_1991-2020_USW00094765.csv"
    rows = list(csv.DictReader(path.open(encoding="utf-8")))
    place = [rows[0][key] for key in ("LATITUDE", "LONGITUDE", "ELEVATION")]
    for variable, column in (("tmax", "MLY-TMAX-NORMAL"), ("tmin", "MLY-TMIN-NORMAL"),
                             ("rain", "MLY-PRCP-NORMAL")):
        values = [float(row[column]) * 25.4 if variable == "rain"
                  else (float(row[column]) - 32) / 1.8 for row in rows]
        show("ncei-1991", rows[0]["NAME"], variable, place, values)


def eccc_1991(folder):
    """The positions are those of the test's inventory."""
    places = {"BANFF": (51.19, -115.55, 1396.9), "BRETON": (53.08, -114.42, 847)}
    elements = {"Daily Maximum (°C)": "tmax", "Daily Minimum (°C)": "tmin",
                "Daily Average (°C)": "tmean", "Precipitation (mm)": "rain",
                "Average Vapour Pressure (kPa)": "vapour_pressure"}
    path = next(folder.glob("eccc-normals-1991-2020/*.csv"))
    for line in path.read_text(encoding="utf-8-sig").splitlines()[1:]:
        fields = line[1:-1].split('","')
        if fields[2] == "Normal" and fields[4] in elements:
            values = [float(v) if v.strip() else NAN for v in fields[5:17]]
            show("eccc-1991", fields[0], elements[fields[4]], places[fields[0]], values)


def degrees(text):
    d, m, s, side = re.match(r" *(\d+)°(\d+)'([\d.]+)\" ([NSEW])", text).groups()
    value = int(d) + int(m) / 60 + float(s) / 3600
    return -value if side in "SW" else value


def eccc_1981(folder):
    labels = {"Daily Maximum (°C)": "tmax", "Daily Minimum (°C)": "tmin",
              "Precipitation (mm)": "rain", "Speed (km/h)": "wind"}
    for path in sorted(folder.glob("eccc-normals-1981-2010/*-1981-2010.csv")):
        rows = list(csv.reader(path.open(encoding="utf-8-sig")))
        name, _, lat, lon, elevation = rows[3][:5] if rows[3][0] != "STATION_NAME" else rows[4][:5]
        rows = [row for row in rows if len(row) == 15]
        for label, variable in labels.items():
            found = [row for row in rows if row[0] == label][:1]
            for row in found:
                values = [float(v) / 3.6 * WIND_AT_2_M if variable == "wind" else float(v)
                          for v in row[1:13]]
                show("eccc-1981", name.lstrip("*"), variable,
                     (degrees(lat), degrees(lon), elevation.split()[0]), values)


def dwd(folder):
    """Days of summer, which the test reads as days of rain; positions of the test's list."""
    places = {"400": (52.6325, 13.5039, 60), "403": (52.4537, 13.3017, 51),
              "433": (52.4675, 13.4021, 48)}
    path = next(folder.glob("dwd-multi-annual/*.txt"))
    for line in path.read_bytes().decode("latin-1").split("\r\n")[1:]:
        fields = line.split(";")
        if len(fields) > 14:
            show("dwd", fields[0], "rain_days", places[fields[0]], fields[3:15])


def smn(folder):
    for path in sorted(folder.glob("smn-conagua-mexico/nor9120_*.txt")):
        text = path.read_text(encoding="utf-8")
        place = [re.search(label + r"[^:]*: *([-\d.]+)", text).group(1)
                 for label in ("LATITUD", "LONGITUD", "ALTITUD")]
        name = re.search(r"NOMBRE *: *(.*?) *\n", text).group(1)
        for heading, variable in (("TEMPERATURA MÁXIMA", "tmax"), ("TEMPERATURA MÍNIMA", "tmin"),
                                  ("PRECIPITACIÓN", "rain"),
                                  ("HUMEDAD RELATIVA", "relative_humidity")):
            found = re.search(heading + r"\n.*\nNORMAL\s+(.*)", text)
            if found:
                values = [NAN if v == "NULO" else float(v) for v in found.group(1).split()[:12]]
                show("smn", name, variable, place, values)


def power(folder):
    text = (folder / "nasa-power/climatology_ag_point.csv").read_text(encoding="utf-8")
    place = re.search(r"Latitude +(\S+) +Longitude +(\S+)", text).groups()
    elevation = re.search(r"([\d.]+) meters", text).group(1)
    values = re.search(r"\nT2M,(.*)", text).group(1).split(",")[:12]
    show("power", ",".join(place), "tmean", (*place, elevation), values)


def postal(folder):
    for path in folder.glob("geonames-postal/*.txt"):
        for line in path.read_text(encoding="utf-8").splitlines():
            fields = line.split("\t")
            print("postal", *fields[:3], *fields[9:11], sep="\t")


def main():
    folder = Path(sys.argv[1])
    postal(folder)
    for read in (ncei_1981, ncei_1991, eccc_1991, eccc_1981, dwd, smn, power):
        read(folder)


main()
