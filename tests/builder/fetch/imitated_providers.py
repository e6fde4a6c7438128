"""Files of real providers, in their layouts, of an invented climate over a small box.

The layouts: PRISM's zips of a GeoTIFF in NAD83; TerraClimate's packed netCDF; NCEI's archive of a table for each
station, of which each has only the columns that it measures; GeoNames' zip of a table without a header; one
GeoTIFF of elevation. What is special in each is in the notes of builder/catalogue/sources.toml.
"""
import io
import math
import tarfile
import tempfile
import zipfile
from pathlib import Path

import netCDF4
import numpy
from osgeo import gdal, osr

gdal.UseExceptions()

CELL = 1 / 24  # of PRISM and TerraClimate, in degrees
NODATA = -9999.0


class Climate:
    """Smooth fields over a box (west, south, east, north), by month 0 … 11."""

    def __init__(self, box):
        self.west, self.south, self.east, self.north = box

    def elevation(self, lat, lon):
        return 250 + 200 * numpy.sin(3 * numpy.asarray(lat)) * numpy.cos(2 * numpy.asarray(lon))

    def value(self, name, lat, lon, month):
        season = -math.cos(2 * math.pi * (month - 0.5) / 12)
        high = self.elevation(lat, lon)
        tmean = 12 + 9 * season - 0.0065 * high
        spread = 5 + 2 * season
        if name == "elevation":
            return high
        return {"tmax": tmean + spread, "tmin": tmean - spread, "tmean": tmean,
                "dew_point": tmean - spread + 0.5,
                "rain": 70 - 50 * season + 0.05 * high, "radiation": 14 + 9 * season + 0 * high,
                "wind": 3 - 0.4 * season + 0 * high,
                "vapour_pressure": 0.6108 * numpy.exp(17.27 * (tmean - spread) / (tmean - spread + 237.3)),
                }[name]

    def cells(self):
        lons = self.west - CELL / 2 + CELL * numpy.arange(round((self.east - self.west) / CELL) + 2)
        lats = self.north + CELL / 2 - CELL * numpy.arange(round((self.north - self.south) / CELL) + 2)
        return lats, lons

    def grid(self, name, month):
        lats, lons = self.cells()
        return self.value(name, lats[:, None], lons[None, :], month) + 0 * lats[:, None] * lons[None, :]


def geotiff(climate, name, month, epsg):
    values = climate.grid(name, month).astype("float32")
    lats, lons = climate.cells()
    path = f"/vsimem/{name}.tif"
    raster = gdal.GetDriverByName("GTiff").Create(path, len(lons), len(lats), 1, gdal.GDT_Float32)
    raster.SetGeoTransform((lons[0] - CELL / 2, CELL, 0, lats[0] + CELL / 2, 0, -CELL))
    system = osr.SpatialReference()
    system.ImportFromEPSG(epsg)
    raster.SetProjection(system.ExportToWkt())
    raster.GetRasterBand(1).SetNoDataValue(NODATA)
    raster.GetRasterBand(1).WriteArray(values)
    raster = None
    content = gdal.VSIFOpenL(path, "rb")
    size = gdal.VSIStatL(path).size
    data = bytes(gdal.VSIFReadL(1, size, content))
    gdal.VSIFCloseL(content)
    gdal.Unlink(path)
    return data


def zipped(**files):
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return content.getvalue()


def prism(climate):
    names = {"tmax": "tmax", "tmin": "tmin", "tdmean": "dew_point", "ppt": "rain", "soltotal": "radiation"}
    for theirs, ours in names.items():
        for month in range(12):
            stem = f"prism_{theirs}_us_25m_2020{month + 1:02}_avg_30y"
            yield f"{stem}.zip", zipped(**{f"{stem}.tif": geotiff(climate, ours, month, 4269)})


def terraclimate(climate):
    scaled = {"tmax": ("tmax", "deg C", 0.1, -73), "tmin": ("tmin", "deg C", 0.1, -73),
              "vap": ("vapour_pressure", "kPa", 0.1, 0), "srad": ("radiation", "W/m2", 0.1, 0),
              "ws": ("wind", "m/s", 0.1, 0), "ppt": ("rain", "mm", 0.1, 0)}
    lats, lons = climate.cells()
    for theirs, (ours, unit, scale, offset) in scaled.items():
        name = f"TerraClimate19912020_{theirs}.nc"
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / name
            with netCDF4.Dataset(path, "w") as file:
                for axis, size in (("lat", len(lats)), ("lon", len(lons)), ("time", 12), ("crs", 1)):
                    file.createDimension(axis, size)
                for axis, values, units in (("lat", lats, "degrees_north"), ("lon", lons, "degrees_east"),
                                            ("time", range(1, 13), "months")):
                    variable = file.createVariable(axis, "f8", (axis,))
                    variable.units = units
                    variable[:] = list(values)
                file["time"].calendar = "months"
                file["lat"].standard_name = "latitude"
                file["lon"].standard_name = "longitude"
                crs = file.createVariable("crs", "i2", ("crs",))
                crs.grid_mapping_name = "latitude_longitude"
                crs.semi_major_axis = 6378137.0
                crs.inverse_flattening = 298.257223563
                data = file.createVariable(theirs, "i2", ("time", "lat", "lon"), fill_value=-32768)
                data.units = unit
                data.grid_mapping = "crs"
                data.scale_factor = scale
                data.add_offset = offset
                to_unit = 1 / 0.0864 if theirs == "srad" else 1  # MJ/m2/day to W/m2
                for month in range(12):
                    data[month] = climate.grid(ours, month) * to_unit
            yield name, path.read_bytes()


def ncei_table(climate, number, lat, lon):
    """The twelve rows of a station. Every third has no temperature, and every fifth no rain."""
    measured = []
    if number % 3:
        measured += [("MLY-TMAX-NORMAL", "tmax"), ("MLY-TMIN-NORMAL", "tmin")]
    if number % 5 or not measured:
        measured += [("MLY-PRCP-NORMAL", "rain")]
    header = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME", "month", "day", "hour"]
    for column, _ in measured:
        header += [column, f"meas_flag_{column}", f"comp_flag_{column}", f"years_{column}"]
    lines = [",".join(f'"{name}"' for name in header)]
    for month in range(12):
        row = [f"USC{number:08}", f"{month + 1:02}", f"{lat:.5f}", f"{lon:.5f}",
               f"{float(climate.elevation(lat, lon)):.1f}", f"UPLAND {number}, OR US", f"{month + 1:02}", " ", " "]
        for _, ours in measured:
            value = float(climate.value(ours, lat, lon, month))
            value = value / 25.4 if ours == "rain" else value * 1.8 + 32
            row += [f"{value:7.2f}" if ours == "rain" else f"{value:7.1f}", " ", "S", " 30"]
        lines.append(",".join(f'"{text}"' for text in row))
    return "\n".join(lines) + "\n"


def ncei(climate):
    content = io.BytesIO()
    with tarfile.open(fileobj=content, mode="w:gz") as archive:
        for number in range(1, 61):
            across, up = (number * 0.618034) % 1, (number * 0.414214) % 1
            lat = climate.south + up * (climate.north - climate.south)
            lon = climate.west + across * (climate.east - climate.west)
            data = ncei_table(climate, number, lat, lon).encode()
            entry = tarfile.TarInfo(f"USC{number:08}.csv")
            entry.size = len(data)
            archive.addfile(entry, io.BytesIO(data))
    name = "us-climate-normals_1991-2020_v1.0.1_monthly_multivariate_by-station_c20230404.tar.gz"
    yield name, content.getvalue()


def eccc_places(climate):
    """Name, latitude, longitude of each."""
    for number in range(1, 9):
        across, up = (number * 0.732051) % 1, (number * 0.236068) % 1
        yield (f"UPLAND {number}", climate.south + up * (climate.north - climate.south),
               climate.west + across * (climate.east - climate.west))


def eccc(climate):
    """A row for each place and element, without positions; the name as the recipe gives it to the download."""
    elements = {"Daily Maximum (°C)": "tmax", "Daily Minimum (°C)": "tmin",
                "Daily Average (°C)": "tmean", "Precipitation (mm)": "rain",
                "Average Vapour Pressure (kPa)": "vapour_pressure"}
    header = ["LOCATION_NAME", "PROVINCE_OR_TERRITORY", "PERIOD_OF_RECORD", "ELEMENT_GROUP", "NORMALS_ELEMENT",
              *"Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(), "Year", "Code"]
    rows = [header]
    for place, lat, lon in eccc_places(climate):
        for element, ours in elements.items():
            months = [f"{float(climate.value(ours, lat, lon, month)):.1f}" for month in range(12)]
            rows.append([place, "BC", "Normal", "Some", element, *months, "", "A"])
        rows.append([place, "BC", "Long-Term", "Some", "Extreme Maximum (°C)", *["35.0"] * 12, "", ""])
    text = "\n".join(",".join(f'"{field}"' for field in row) for row in rows) + "\n"
    name = "1991-2020_Canadian_Climate_Normals_CANADA_Data.csv"
    yield "1991_e.html", zipped(**{name: "\ufeff" + text})


def eccc_inventory(climate):
    lines = ["COMPOSITE_STATION_NAME,LATITUDE,LONGITUDE,ELEVATION(m)"]
    for place, lat, lon in eccc_places(climate):
        lines.append(f"{place},{lat:.4f},{lon:.4f},{float(climate.elevation(lat, lon)):.1f}")
    return "\n".join(lines) + "\n"


def geonames(country, code, place, lat, lon):
    row = [country, code, place, "", "", "", "", "", "", f"{lat:.4f}", f"{lon:.4f}", "4"]
    yield f"{country}.zip", zipped(**{f"{country}.txt": "\t".join(row) + "\n", "readme.txt": "CC BY 4.0\n"})


def elevation(climate):
    return geotiff(climate, "elevation", 0, 4326)
