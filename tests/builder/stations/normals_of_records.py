"""Normals from the open samples of records, calculated without the builder's code.

Usage: normals_of_records.py SAMPLES

Prints, tab separated: source, station, variable, "normal", then the twelve months as value:years; and for each
void month source, station, variable, "void", year-month. Months are calculated by WMO-No. 1203: a mean with more
than 10 days missing or more than 4 in a row is void, and a sum with any. Here one year is enough for a normal.
"""
import calendar
import csv
import datetime
import math
import sys
from pathlib import Path

SUMS = {"rain"}


def fahrenheit(text):
    return (float(text) - 32) / 1.8


def saturation(celsius):
    return 0.6108 * math.exp(17.27 * celsius / (celsius + 237.3))


def wind_at_two_metres(speed, height):
    return speed * 4.87 / math.log(67.8 * height - 5.42)


def rows_of(path, **options):
    with open(path, encoding="utf-8-sig", newline="") as file:
        yield from csv.DictReader(file, **options)


def canada_daily(samples):
    for row in rows_of(samples / "eccc-monthly-daily-records/daily_51423_2014.csv"):
        day = datetime.date.fromisoformat(row["Date/Time"])
        values = {}
        for name, column in (("tmax", "Max Temp"), ("tmin", "Min Temp"), ("tmean", "Mean Temp")):
            if row[column + " (°C)"] and row[column + " Flag"] != "M":
                values[name] = float(row[column + " (°C)"])
        if row["Total Precip (mm)"] and row["Total Precip Flag"] != "M":
            values["rain"] = float(row["Total Precip (mm)"])
        yield "KAMLOOPS A", day, values


def milan(samples):
    for row in rows_of(samples / "ghcn-daily-monthly/by_year_1763-1764.head.csv"):
        if row["Q-FLAG"]:
            continue
        day = datetime.datetime.strptime(row["YEAR/MONTH/DAY"], "%Y%m%d").date()
        yield row["ID"], day, {row["ELEMENT"].lower(): float(row["DATA VALUE"]) / 10}


def colorado(samples):
    for row in rows_of(samples / "coagmet-daily/et_coagmet.txt"):
        tmax, tmin = float(row["tmax"]), float(row["tmin"])
        rh_max, rh_min = float(row["rhmax"]), float(row["rhmin"])
        values = {"tmax": tmax, "tmin": tmin, "radiation": float(row["solar"]) * 0.0864,
                  "wind": wind_at_two_metres(float(row["windrun"]) / 86.4, 2.0), "eto": float(row["et_asce0"])}
        if 0.01 <= rh_max <= 1.05 and 0.01 <= rh_min <= 1.05:
            rh_max, rh_min = min(rh_max, 1.0), min(rh_min, 1.0)
            values["vapour_pressure"] = (saturation(tmin) * rh_max + saturation(tmax) * rh_min) / 2
        yield row["name"], datetime.date.fromisoformat(row["date"]), values


def fallon(samples):
    for row in rows_of(samples / "agrimet-daily/FALN_Agrimet_daily_raw_2015.csv"):
        day = datetime.date(int(row["YEAR"]), int(row["MONTH"]), int(row["DAY"]))
        forms = {"tmax": ("MX", fahrenheit), "tmin": ("MN", fahrenheit),
                 "eto": ("ETOS", lambda t: float(t) * 25.4),
                 "radiation": ("SR", lambda t: float(t) * 0.04184),
                 "vapour_pressure": ("YM", lambda t: saturation(fahrenheit(t))),
                 "wind": ("UA", lambda t: wind_at_two_metres(float(t) * 0.44704, 2.0))}
        yield "Fallon", day, {name: form(row[column]) for name, (column, form) in forms.items()
                              if row[column] != "NO RECORD"}


def wongan_hills(samples):
    for row in rows_of(samples / "silo-australia/silo_get_patched_point_daily_values_0.csv"):
        yield row["station"], datetime.date.fromisoformat(row["YYYY-MM-DD"]), {
            "tmax": float(row["max_temp"]), "tmin": float(row["min_temp"]), "rain": float(row["daily_rain"]),
            "vapour_pressure": float(row["vp"]) / 10, "radiation": float(row["radiation"])}


def de_bilt(samples):
    lines = (samples / "knmi-daily/etmgeg_260.head.txt").read_text().splitlines()
    begin = next(i for i, line in enumerate(lines) if line.startswith("# STN,"))
    names = [name.strip() for name in lines[begin][2:].split(",")]
    for line in lines[begin + 1:]:
        if not line.strip():
            continue
        row = dict(zip(names, (field.strip() for field in line.split(","))))
        day = datetime.datetime.strptime(row["YYYYMMDD"], "%Y%m%d").date()
        yield row["STN"], day, {"tmax": int(row["TX"]) / 10, "tmin": int(row["TN"]) / 10}


def months_of_days(days):
    """By station, variable, year and month: the value, or None for a void month."""
    cells = {}
    for station, day, values in days:
        for name, value in values.items():
            cells.setdefault((station, name), {}).setdefault((day.year, day.month), {})[day.day] = value
    spans = {}
    for (station, _), months in cells.items():
        spans.setdefault(station, set()).update(months)
    found = {}
    for (station, name), months in cells.items():
        first, last = min(spans[station]), max(spans[station])
        for year in range(first[0], last[0] + 1):
            for month in range(1, 13):
                if first <= (year, month) <= last:
                    found[station, name, year, month] = value_of(name, year, month, months.get((year, month), {}))
    return found


def value_of(name, year, month, values):
    length = calendar.monthrange(year, month)[1]
    gap = longest = 0
    for day in range(1, length + 1):
        gap = 0 if day in values else gap + 1
        longest = max(longest, gap)
    missing = length - len(values)
    if name in SUMS:
        return None if missing else sum(values.values())
    if missing > 10 or longest > 4:
        return None
    return sum(values.values()) / len(values)


def magog(samples):
    """Months of 1951 to 1980, as published."""
    found = {}
    columns = {"tmax": "Mean Max Temp", "tmin": "Mean Min Temp", "rain": "Total Precip"}
    rows = [row for row in rows_of(samples / "eccc-monthly-daily-records/monthly_5401.csv")
            if 1951 <= int(row["Year"]) <= 1980]
    used = []
    for row in rows:
        for name, column in columns.items():
            unit = " (mm)" if name == "rain" else " (°C)"
            has = row[column + unit] and row[column + " Flag"] != "M"
            found["MAGOG", name, int(row["Year"]), int(row["Month"])] = float(row[column + unit]) if has else None
            if has:
                used.append((int(row["Year"]), int(row["Month"])))
    first, last = min(used), max(used)
    return {key: value for key, value in found.items() if first <= key[2:] <= last}


SOURCES = {"Canada daily": canada_daily, "Milan": milan, "Colorado": colorado, "Fallon": fallon,
           "Wongan Hills": wongan_hills, "De Bilt": de_bilt}


def show(source, months):
    series = {}
    for (station, name, year, month), value in months.items():
        if value is None:
            print(source, station, name, "void", f"{year:04}-{month:02}", sep="\t")
        else:
            series.setdefault((station, name), {}).setdefault(month, []).append(value)
    for (station, name), by_month in series.items():
        cells = [f"{sum(values) / len(values):.9g}:{len(values)}" if (values := by_month.get(month)) else "nan:0"
                 for month in range(1, 13)]
        print(source, station, name, "normal", *cells, sep="\t")


def main():
    samples = Path(sys.argv[1])
    for source, days in SOURCES.items():
        show(source, months_of_days(days(samples)))
    show("Canada monthly", magog(samples))


if __name__ == "__main__":
    main()
