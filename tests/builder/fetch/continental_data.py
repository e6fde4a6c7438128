#!/usr/bin/env python3
"""Fills the data folder of a ready recipe without a network: with open data where they are at hand, and with files
in the layouts of the providers for all else, so that the recipe can be built as it is printed.

    continental_data.py FOLDER --open-data FOLDER [--box WEST SOUTH EAST NORTH]

Real: elevation (ETOPO5), the WMO's normals, TMY3 by month, GeoNames of the United States, one station of NCEI, two
places of Canada's normals and one page of Mexico's. In the layouts of others: TerraClimate and PRISM, on cells of
half a degree with the values of CRU CL 1.0 (1961-1990); NCEI and Canada's normals, with the values of the WMO's
stations in these countries; postal codes of Canada and Mexico, which are made up.
"""
import argparse
import csv
import gzip
import io
import json
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import netCDF4
import numpy
from osgeo import gdal, osr

gdal.UseExceptions()

CONVERTER = Path(__file__).resolve().parents[3] / "builder/converters/station-pages.py"
DAYS = numpy.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MONTH_NAMES = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
CONTERMINOUS_US = (-125.0, 24.0, -66.5, 49.5)
CELL = 0.5
NODATA = -9999


class Cru:
    """CRU CL 1.0 over a box, in the units of computation but radiation, W/m2: [month, row, column]."""

    def __init__(self, folder, box):
        west, south, east, north = box
        self.columns = slice(max(round((west + 180) / CELL) - 1, 0), round((east + 180) / CELL) + 1)
        self.rows = slice(max(round((90 - north) / CELL) - 1, 0), round((90 - south) / CELL) + 1)
        self.west, self.north = -180 + CELL * self.columns.start, 90 - CELL * self.rows.start
        self.values = {}
        for name, theirs in (("tmax", "tmx"), ("tmin", "tmn"), ("radiation", "rad"), ("wind", "wnd")):
            raster = gdal.Open(str(folder / f"{theirs}.tif"))
            scale = raster.GetRasterBand(1).GetScale() or 1
            self.keep(name, raster.ReadAsArray(), scale)
        for name, theirs, factor in (("rain", "pre", DAYS[:, None, None]), ("vapour_pressure", "vap", 0.1)):
            with netCDF4.Dataset(folder / f"{theirs}.nc") as file:
                file.set_auto_maskandscale(False)
                self.keep(name, file[theirs][:], file[theirs].scale_factor * factor)
        self.values["wind"][self.values["wind"] < 0] = numpy.nan

    def keep(self, name, stored, scale):
        stored = stored[:, self.rows, self.columns].astype(float)
        self.values[name] = numpy.where(stored == NODATA, numpy.nan, stored * scale)


def dew_point_c(vapour_pressure_kpa):
    logarithm = numpy.log(vapour_pressure_kpa / 0.6108)
    return 237.3 * logarithm / (17.27 - logarithm)


def write_terraclimate(folder, cru):
    rows, columns = cru.values["tmax"].shape[1:]
    for theirs, ours, unit, offset in (("tmax", "tmax", "deg C", -73), ("tmin", "tmin", "deg C", -73),
                                       ("vap", "vapour_pressure", "kPa", 0), ("srad", "radiation", "W/m2", 0),
                                       ("ws", "wind", "m/s", 0), ("ppt", "rain", "mm", 0)):
        with netCDF4.Dataset(folder / f"TerraClimate19912020_{theirs}.nc", "w") as file:
            for axis, values, units in (
                    ("lat", cru.north - CELL * (numpy.arange(rows) + 0.5), "degrees_north"),
                    ("lon", cru.west + CELL * (numpy.arange(columns) + 0.5), "degrees_east"),
                    ("time", numpy.arange(1, 13), "months")):
                file.createDimension(axis, len(values))
                variable = file.createVariable(axis, "f8", (axis,))
                variable.units = units
                variable[:] = values
            file["time"].calendar = "months"
            stored = file.createVariable(theirs, "i2", ("time", "lat", "lon"), fill_value=-32768, zlib=True)
            stored.set_auto_maskandscale(False)
            stored.setncatts({"units": unit, "scale_factor": 0.1, "add_offset": float(offset)})
            numbers = numpy.round((cru.values[ours] - offset) / 0.1)
            stored[:] = numpy.where(numpy.isnan(numbers), -32768, numbers).astype("i2")


def write_prism(folder, cru, box):
    west, south, east, north = (box[0], box[1], box[2], box[3])
    rows = slice(max(round((cru.north - min(north, CONTERMINOUS_US[3])) / CELL), 0),
                 round((cru.north - max(south, CONTERMINOUS_US[1])) / CELL))
    columns = slice(max(round((max(west, CONTERMINOUS_US[0]) - cru.west) / CELL), 0),
                    round((min(east, CONTERMINOUS_US[2]) - cru.west) / CELL))
    nad83 = osr.SpatialReference()
    nad83.ImportFromEPSG(4269)
    fields = {"tmax": cru.values["tmax"], "tmin": cru.values["tmin"], "ppt": cru.values["rain"],
              "tdmean": dew_point_c(cru.values["vapour_pressure"]), "soltotal": cru.values["radiation"] * 0.0864}
    for theirs, values in fields.items():
        for month in range(12):
            stem = f"prism_{theirs}_us_25m_2020{month + 1:02}_avg_30y"
            numbers = values[month, rows, columns]
            path = f"/vsimem/{stem}.tif"
            raster = gdal.GetDriverByName("GTiff").Create(path, numbers.shape[1], numbers.shape[0], 1,
                                                          gdal.GDT_Float32)
            raster.SetGeoTransform((cru.west + CELL * columns.start, CELL, 0, cru.north - CELL * rows.start, 0,
                                    -CELL))
            raster.SetProjection(nad83.ExportToWkt())
            band = raster.GetRasterBand(1)
            band.SetNoDataValue(NODATA)
            band.WriteArray(numpy.where(numpy.isnan(numbers), NODATA, numbers).astype("f4"))
            band = raster = None
            file = gdal.VSIFOpenL(path, "rb")
            content = bytes(gdal.VSIFReadL(1, gdal.VSIStatL(path).size, file))
            gdal.VSIFCloseL(file)
            gdal.Unlink(path)
            with zipfile.ZipFile(folder / f"{stem}.zip", "w", zipfile.ZIP_DEFLATED) as archive:
                archive.writestr(f"{stem}.tif", content)


def wmo_stations(folder, countries):
    """By identity: name, latitude, longitude, elevation and the texts of the months by variable."""
    stations = {}
    for theirs, ours in (("TMAX", "tmax"), ("TMIN", "tmin"), ("PRCP", "rain"), ("MNVP", "vapour_pressure")):
        with open(folder / f"{theirs}.csv", encoding="latin-1", newline="") as file:
            for row in list(csv.reader(file))[1:]:
                row = [field.strip() for field in row]
                if len(row) < 21 or row[7] not in countries or "-99.9" in row[9:21]:
                    continue
                key = tuple(row[2:7]) + (row[8],)
                stations.setdefault(key, {"name": row[8], "place": row[4:7]})[ours] = row[9:21]
    return list(stations.values())


def write_ncei(folder, stations, sample):
    name = "us-climate-normals_1991-2020_v1.0.1_monthly_multivariate_by-station_c20230404.tar.gz"
    with tarfile.open(folder / name, "w:gz", compresslevel=1) as archive:
        archive.add(sample, sample.name)
        for number, station in enumerate(stations, 1):
            measured = [(column, ours) for column, ours in (
                ("MLY-TMAX-NORMAL", "tmax"), ("MLY-TMIN-NORMAL", "tmin"), ("MLY-PRCP-NORMAL", "rain"))
                if ours in station]
            header = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME", "month", "day", "hour"]
            for column, _ in measured:
                header += [column, f"meas_flag_{column}", f"comp_flag_{column}", f"years_{column}"]
            text = io.StringIO()
            lines = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\n")
            lines.writerow(header)
            for month in range(12):
                row = [f"USX{number:08}", f"{month + 1:02}", *station["place"], station["name"], f"{month + 1:02}",
                       "99", "99"]
                for _, ours in measured:
                    value = float(station[ours][month])
                    value = value / 25.4 if ours == "rain" else value * 1.8 + 32
                    row += [f"{value:10.2f}", " ", "S", "30"]
                lines.writerow(row)
            content = text.getvalue().encode()
            entry = tarfile.TarInfo(f"USX{number:08}.csv")
            entry.size = len(content)
            archive.addfile(entry, io.BytesIO(content))
    return len(stations) + 1


def write_eccc(folder, stations, sample):
    """The sample's real rows, and the WMO's stations as further places; their positions in the inventory."""
    content = sample.read_text(encoding="utf-8")
    inventory = [["COMPOSITE_STATION_NAME", "LATITUDE", "LONGITUDE", "ELEVATION(m)"],
                 ["BANFF", "51.19", "-115.55", "1396.9"], ["BRETON", "53.08", "-114.42", "847"]]
    text = io.StringIO()
    lines = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\n")
    for number, station in enumerate(stations, 1):
        place = f"{station['name']} {number}"
        inventory.append([place, *station["place"]])
        for element, ours, factor in (("Daily Maximum (°C)", "tmax", 1), ("Daily Minimum (°C)", "tmin", 1),
                                      ("Precipitation (mm)", "rain", 1),
                                      ("Average Vapour Pressure (kPa)", "vapour_pressure", 0.1)):
            if ours in station:
                months = [f"{float(value) * factor:.1f}" for value in station[ours]]
                lines.writerow([place, "", "Normal", "", element, *months, "", "A"])
    if not content.endswith("\n"):
        content += "\n"
    with zipfile.ZipFile(folder / "eccc-normals-1991-2020.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("1991-2020_Canadian_Climate_Normals_CANADA_Data.csv", content + text.getvalue())
    with open(folder / "eccc-stations-1991.csv", "w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(inventory)
    return len(stations) + 2


def made_up_code(country, number):
    """Three characters in Canada, five digits in Mexico."""
    if country != "CA":
        return f"{number:05}"
    letters = "ABCEGHJKLMNPRSTVXY"
    tens, digit = divmod(number, 10)
    return letters[tens % len(letters)] + str(digit) + letters[tens // len(letters)]


def write_postal(folder, country, stations):
    rows = ["\t".join([country, made_up_code(country, number), station["name"], *[""] * 6, *station["place"][:2], "1"])
            for number, station in enumerate(stations, 1)]
    with zipfile.ZipFile(folder / f"{country}.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(f"{country}.txt", "\n".join(rows) + "\n")


def fill(folder, data, box):
    """What was written, by source."""
    folder.mkdir(parents=True, exist_ok=True)
    samples, wmo = data / "source-samples", data / "wmo-normals-1991-2020"
    cru = Cru(data / "cru-cl1-1961-1990", box)
    write_terraclimate(folder, cru)
    write_prism(folder, cru, box)
    united_states, canada, mexico = (wmo_stations(wmo, [name]) for name in ("United_States", "Canada", "Mexico"))
    ncei = write_ncei(folder, united_states, next(samples.glob("ncei-normals-csv/monthly_1991-2020_*.csv")))
    eccc = write_eccc(folder, canada, next(samples.glob("eccc-normals-1991-2020/*.csv")))
    for name in ("TMAX", "TMIN", "PRCP", "MNVP", "TSUN"):
        (folder / f"{name}.csv").write_bytes((wmo / f"{name}.csv").read_bytes())
    (folder / "elevation.tif").write_bytes((data / "elevation/etopo5.tif").read_bytes())
    (folder / "tmy3_monthly.csv").write_bytes(next(data.glob("tmy3-monthly/*.csv")).read_bytes())
    pages = sorted(map(str, samples.glob("smn-conagua-mexico/nor9120_0*.txt")))
    (folder / "smn-normals.csv").write_bytes(
        subprocess.run([sys.executable, "-B", str(CONVERTER), "smn", *pages], capture_output=True, check=True).stdout)
    with zipfile.ZipFile(folder / "US.zip", "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.writestr("US.txt", gzip.decompress((data / "postal/geonames_US.txt.gz").read_bytes()))
    write_postal(folder, "CA", canada)
    write_postal(folder, "MX", mexico)
    return {"ncei-monthly": ncei, "eccc": eccc, "postal codes of Canada": len(canada),
            "postal codes of Mexico": len(mexico)}


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--open-data", required=True, type=Path)
    parser.add_argument("--box", nargs=4, type=float, default=(-170.0, 14.0, -52.0, 72.0))
    options = parser.parse_args()
    print(json.dumps(fill(options.folder, options.open_data, options.box)))


if __name__ == "__main__":
    main()
