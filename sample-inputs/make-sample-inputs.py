#!/usr/bin/python3
"""Makes the sample inputs of the upland valley of the Merrow river, which does not exist.

There is no network, no clock and no input but merrow_valley.py: two runs write the same bytes.

    make-sample-inputs.py [OUTPUT_FOLDER]      (default: the folder of this file)

Needs Debian's python3-gdal, which brings numpy.
"""

import csv
import random
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from osgeo import gdal, osr

from merrow_valley import (
    DAYS_IN_MONTH,
    EAST,
    MONTHS,
    NORTH,
    SEED,
    SOUTH,
    WEST,
    climate_at,
    east_km,
    elevation_m,
    inland_km,
    north_km,
)

MARGIN = 0.1  # degrees by which every grid reaches beyond the box
WGS84, UTM_24N = 4326, 32624  # EPSG codes
SUBSAMPLES = 5  # a grid cell's height is the mean of 5 x 5 points within it
NODATA_INT16, NODATA_FLOAT = -32768, -9999.0


# --- grids ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Grid:
    """A north-up grid of square cells in the units of its coordinate reference system."""

    epsg: int
    west: float
    north: float
    cell: float
    columns: int
    rows: int

    def geotransform(self):
        return (self.west, self.cell, 0.0, self.north, 0.0, -self.cell)

    def crs(self):
        crs = osr.SpatialReference()
        crs.ImportFromEPSG(self.epsg)
        return crs

    def point_lat_lon(self, points_per_cell=1):
        """Latitudes and longitudes of points spread evenly through the cells, north row first."""
        step = self.cell / points_per_cell
        x = self.west + (np.arange(self.columns * points_per_cell) + 0.5) * step
        y = self.north - (np.arange(self.rows * points_per_cell) + 0.5) * step
        x, y = np.meshgrid(x, y)
        if self.epsg == WGS84:
            return y, x
        geographic = osr.SpatialReference()
        geographic.ImportFromEPSG(WGS84)
        transform = osr.CoordinateTransformation(self.crs(), geographic)
        points = transform.TransformPoints(np.column_stack([x.ravel(), y.ravel()]))
        lat, lon = np.array(points)[:, :2].T
        return lat.reshape(x.shape), lon.reshape(x.shape)


def geographic_grid(cell_arcsec):
    cell = cell_arcsec / 3600.0
    columns = int(np.ceil((EAST - WEST + 2.0 * MARGIN) / cell - 1e-9))
    rows = int(np.ceil((NORTH - SOUTH + 2.0 * MARGIN) / cell - 1e-9))
    return Grid(WGS84, WEST - MARGIN, NORTH + MARGIN, cell, columns, rows)


def climate_on(grid):
    """The climate at each cell's mean land height, and which cells are mainly land.

    The island is left out on purpose: it is land for which no climate is known.
    """
    lat, lon = grid.point_lat_lon(SUBSAMPLES)
    east, north = east_km(lon), north_km(lat)
    blocks = (grid.rows, SUBSAMPLES, grid.columns, SUBSAMPLES)
    is_land = inland_km(east, north) > 0.0
    height = np.where(is_land, elevation_m(east, north), 0.0).reshape(blocks).sum(axis=(1, 3))
    land_points = is_land.reshape(blocks).sum(axis=(1, 3))
    height = height / np.maximum(land_points, 1)
    return climate_at(*grid.point_lat_lon(), height), land_points * 2 > SUBSAMPLES**2


def create_raster(driver, path, grid, bands, data_type, options=()):
    raster = gdal.GetDriverByName(driver).Create(
        str(path), grid.columns, grid.rows, bands, data_type, list(options)
    )
    raster.SetGeoTransform(grid.geotransform())
    raster.SetProjection(grid.crs().ExportToWkt())
    return raster


GEOTIFF_OPTIONS = ("COMPRESS=DEFLATE", "PREDICTOR=2", "INTERLEAVE=BAND")


def write_elevation(folder):
    """GeoTIFF of whole metres; the sea carries its depth, not nodata."""
    grid = geographic_grid(30)
    lat, lon = grid.point_lat_lon()
    raster = create_raster(
        "GTiff", folder / "elevation.tif", grid, 1, gdal.GDT_Int16, GEOTIFF_OPTIONS
    )
    band = raster.GetRasterBand(1)
    band.SetUnitType("m")
    band.SetNoDataValue(NODATA_INT16)
    band.WriteArray(np.rint(elevation_m(east_km(lon), north_km(lat))).astype(np.int16))


def write_temperatures(folder):
    """Two projected GeoTIFFs of twelve bands: degC = 0.1 x number + 10."""
    scale, offset = 0.1, 10.0
    grid = Grid(UTM_24N, 525_000.0, 5_022_000.0, 3_000.0, 51, 53)
    climate, is_land = climate_on(grid)
    for name, values in (("tmax", climate.tmax_c), ("tmin", climate.tmin_c)):
        raster = create_raster(
            "GTiff", folder / f"{name}.tif", grid, 12, gdal.GDT_Int16, GEOTIFF_OPTIONS
        )
        numbers = np.where(is_land, np.rint((values - offset) / scale), NODATA_INT16)
        for month in MONTHS:
            band = raster.GetRasterBand(month)
            band.SetScale(scale)
            band.SetOffset(offset)
            band.SetUnitType("degC")
            band.SetNoDataValue(NODATA_INT16)
            band.WriteArray(numbers[month - 1].astype(np.int16))


def write_vapour_pressure(folder):
    """Twelve GeoTIFFs of floating-point hPa."""
    grid = geographic_grid(120)
    climate, is_land = climate_on(grid)
    values = np.where(is_land, np.round(climate.vapour_pressure_hpa, 2), NODATA_FLOAT)
    options = ("COMPRESS=DEFLATE", "PREDICTOR=3")
    for month in MONTHS:
        path = folder / f"vapour-pressure_{month:02}.tif"
        raster = create_raster("GTiff", path, grid, 1, gdal.GDT_Float32, options)
        band = raster.GetRasterBand(1)
        band.SetUnitType("hPa")
        band.SetNoDataValue(NODATA_FLOAT)
        band.WriteArray(values[month - 1].astype(np.float32))


def write_text_attributes(target, attributes):
    for name, value in attributes.items():
        target.CreateAttribute(name, [], gdal.ExtendedDataType.CreateString()).Write(value)


def write_rain(folder):
    """CF netCDF: longitudes east of Greenwich from 0 to 360, latitudes from south to north."""
    scale = 0.1
    grid = geographic_grid(144)
    climate, is_land = climate_on(grid)
    numbers = np.where(is_land, np.rint(climate.rain_mm / scale), NODATA_INT16)
    lat, lon = grid.point_lat_lon()

    # GDAL completes the file when the last reference to the dataset is gone.
    dataset = gdal.GetDriverByName("netCDF").CreateMultiDimensional(str(folder / "rain.nc"))
    root = dataset.GetRootGroup()
    write_text_attributes(
        root, {"Conventions": "CF-1.8", "title": "Monthly rain of the Merrow region (invented)"}
    )
    real = gdal.ExtendedDataType.Create(gdal.GDT_Float64)

    def axis(name, kind, values, attributes):
        dimension = root.CreateDimension(name, kind, None, len(values))
        array = root.CreateMDArray(name, [dimension], real)
        write_text_attributes(array, attributes)
        array.Write(np.asarray(values, dtype=np.float64))
        return dimension

    month_ends = np.cumsum(DAYS_IN_MONTH)
    mid_month = month_ends - np.asarray(DAYS_IN_MONTH) / 2.0
    time = axis(
        "time",
        gdal.DIM_TYPE_TEMPORAL,
        mid_month,
        {
            "standard_name": "time",
            "units": "days since 1991-01-01 00:00:00",
            "calendar": "standard",
            "axis": "T",
        },
    )
    latitude = axis(
        "lat",
        gdal.DIM_TYPE_HORIZONTAL_Y,
        np.round(lat[::-1, 0], 6),
        {"standard_name": "latitude", "units": "degrees_north", "axis": "Y"},
    )
    longitude = axis(
        "lon",
        gdal.DIM_TYPE_HORIZONTAL_X,
        np.round(lon[0] % 360.0, 6),
        {"standard_name": "longitude", "units": "degrees_east", "axis": "X"},
    )
    rain = root.CreateMDArray(
        "rain",
        [time, latitude, longitude],
        gdal.ExtendedDataType.Create(gdal.GDT_Int16),
        ["COMPRESS=DEFLATE", "ZLEVEL=9"],
    )
    rain.SetNoDataValueDouble(NODATA_INT16)
    rain.SetScale(scale)
    rain.SetOffset(0.0)
    rain.SetUnit("mm")
    write_text_attributes(
        rain,
        {
            "standard_name": "lwe_thickness_of_precipitation_amount",
            "long_name": "mean monthly precipitation, 1991-2020",
            "cell_methods": "time: sum within years time: mean over years",
        },
    )
    rain.Write(numbers[:, ::-1, :].astype(np.int16))


def write_wind(folder):
    """Twelve Arc/Info ASCII grids, each with its projection file, in one ZIP archive."""
    grid = geographic_grid(144)
    climate, is_land = climate_on(grid)
    values = np.where(is_land, climate.wind_10m_ms, NODATA_FLOAT)
    crs = grid.crs()
    crs.MorphToESRI()
    header = (
        f"ncols {grid.columns}\nnrows {grid.rows}\nxllcorner {grid.west:.6f}\n"
        f"yllcorner {grid.north - grid.rows * grid.cell:.6f}\n"
        f"cellsize {grid.cell:.6f}\nNODATA_value {NODATA_FLOAT:.0f}\n"
    )
    with zipfile.ZipFile(folder / "wind.zip", "w") as archive:

        def add(name, text):
            # A fixed date, since the archive would otherwise carry the time of its making.
            entry = zipfile.ZipInfo(name, date_time=(2020, 12, 31, 0, 0, 0))
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, text, zipfile.ZIP_DEFLATED, 9)

        for month in MONTHS:
            rows = [
                " ".join("-9999" if v == NODATA_FLOAT else f"{v:.2f}" for v in row)
                for row in values[month - 1]
            ]
            add(f"wind_{month:02}.asc", header + "\n".join(rows) + "\n")
            add(f"wind_{month:02}.prj", crs.ExportToWkt() + "\n")


def write_radiation(folder):
    """A BIL file of twelve bands in kWh/m2/day, which says nothing about its unit."""
    grid = geographic_grid(180)
    climate, is_land = climate_on(grid)
    kwh = np.where(is_land, np.round(climate.radiation_mj_m2_day / 3.6, 3), NODATA_FLOAT)
    raster = create_raster("EHdr", folder / "radiation.bil", grid, 12, gdal.GDT_Float32)
    for month in MONTHS:
        band = raster.GetRasterBand(month)
        band.SetNoDataValue(NODATA_FLOAT)
        band.WriteArray(kwh[month - 1].astype(np.float32))


# --- places -----------------------------------------------------------------------------------

# Code, place, latitude, longitude. The island has no climate; Nether Pan lies below the sea.
POSTAL_CODES = (
    ("04101", "Merrowmouth", 44.1053, -38.2310),
    ("04102", "Thessle, Lower", 44.5214, -38.2015),
    ("04103", "Thessle, Upper", 44.7460, -38.0620),
    ("04104", "Pellimoor", 44.9205, -38.1432),
    ("04105", "Merrowhead", 45.1240, -37.5705),
    ("04106", "Wendlestow", 44.8640, -37.5610),
    ("04107", "Ostrey Bridge", 44.6030, -37.5320),
    ("04108", "Hask Mill", 44.4135, -37.5365),
    ("04109", "Orrëmere", 44.2190, -37.5980),
    ("04110", "Drystane Cross", 44.7815, -37.1460),
    ("04111", "Nether Pan", 44.2878, -37.2110),
    ("04112", "Farskerrin Isle", 44.2970, -38.5240),
)

# Station, name, latitude, longitude, and the instruments it lacks.
STATIONS = (
    ("M01", "Merrowmouth Quay", 44.1010, -38.2265, ()),
    ("M02", "Upper Thessle Moor", 44.7512, -38.0548, ("ghi_mj_m2_d",)),
    ("M03", "Greyfold Saddle", 44.7180, -37.8790, ("rain_mm",)),
    ("M04", "Ostrey Bridge Works", 44.6068, -37.5275, ()),
    ("M05", "Hask Mill Orchard", 44.4170, -37.5310, ("wind_ms", "ghi_mj_m2_d")),
    ("M06", "Nether Pan", 44.2930, -37.2045, ("ghi_mj_m2_d",)),
)
MISSING = -99.9
RECORD_STATION = ("M07", "Wether Ford", 44.5330, -37.4480)
RECORD_YEARS = range(1991, 2021)


def write_postal_codes(folder):
    with open(folder / "merrow-postal.csv", "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("code", "place", "lat", "lon"))
        for code, place, lat, lon in POSTAL_CODES:
            rows.writerow((code, place, f"{lat:.4f}", f"{lon:.4f}"))


def dew_point_c(vapour_pressure_hpa):
    logarithm = np.log(vapour_pressure_hpa / 6.108)
    return 237.3 * logarithm / (17.27 - logarithm)


def write_stations(folder):
    """A row a station and month. Each station strays from the grids as a real one would."""
    quantities = ("tmax_c", "tmin_c", "dewpoint_c", "wind_ms", "ghi_mj_m2_d", "rain_mm")
    random_source = random.Random(SEED + 2)
    with open(folder / "merrow-stations.csv", "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("station", "name", "country", "lat", "lon", "elevation_m", "month")
                      + quantities)
        for station, name, lat, lon, lacking in STATIONS:
            height_m = float(elevation_m(east_km(lon), north_km(lat)))
            climate = climate_at(lat, lon, height_m)
            stray = [random_source.uniform(-1.0, 1.0) for _ in quantities]
            normals = {
                "tmax_c": climate.tmax_c + 0.5 * stray[0],
                "tmin_c": climate.tmin_c + 0.7 * stray[1],
                "dewpoint_c": dew_point_c(climate.vapour_pressure_hpa) + 0.6 * stray[2],
                "wind_ms": climate.wind_10m_ms * (1.0 + 0.15 * stray[3]),
                "ghi_mj_m2_d": climate.radiation_mj_m2_day * (1.0 + 0.03 * stray[4]),
                "rain_mm": climate.rain_mm * (1.0 + 0.12 * stray[5]),
            }
            for month in MONTHS:
                values = [
                    MISSING if quantity in lacking else float(normals[quantity][month - 1])
                    for quantity in quantities
                ]
                rows.writerow(
                    (station, name, "XM", f"{lat:.4f}", f"{lon:.4f}", f"{height_m:.0f}", month)
                    + tuple(f"{value:.1f}" for value in values)
                )


def write_record(folder):
    """A row a month of single years: warmer or cooler years, wet and dry months, gaps, a flag for estimates."""
    random_source = random.Random(SEED + 3)
    station, name, lat, lon = RECORD_STATION
    height_m = float(elevation_m(east_km(lon), north_km(lat)))
    climate = climate_at(lat, lon, height_m)
    with open(folder / "merrow-record.csv", "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(("station", "name", "lat", "lon", "elevation_m", "month", "tmax_c", "tmin_c", "rain_mm",
                       "rain_flag"))
        for year in RECORD_YEARS:
            of_year = random_source.gauss(0.0, 0.5)
            for month in MONTHS:
                by = of_year + random_source.gauss(0.0, 1.2)
                rain = float(climate.rain_mm[month - 1]) * random_source.gammavariate(3.0, 1.0 / 3.0)
                is_lost = random_source.random() < 0.04
                values = (float(climate.tmax_c[month - 1]) + by, float(climate.tmin_c[month - 1]) + 0.7 * by, rain)
                fields = tuple(f"{MISSING if is_lost else value:.1f}" for value in values)
                flag = "" if random_source.random() > 0.02 else "S"
                rows.writerow((station, name, f"{lat:.4f}", f"{lon:.4f}", f"{height_m:.0f}", f"{year}-{month:02}")
                              + fields + (flag,))


def make_all(folder):
    gdal.UseExceptions()
    osr.UseExceptions()
    gdal.SetConfigOption("GDAL_PAM_ENABLED", "NO")  # no side files
    write_elevation(folder)
    write_temperatures(folder)
    write_vapour_pressure(folder)
    write_rain(folder)
    write_wind(folder)
    write_radiation(folder)
    write_postal_codes(folder)
    write_stations(folder)
    write_record(folder)


if __name__ == "__main__":
    if len(sys.argv) > 2 or (len(sys.argv) == 2 and sys.argv[1].startswith("-")):
        sys.exit("usage: make-sample-inputs.py [OUTPUT_FOLDER]")
    output_folder = Path(sys.argv[1]) if len(sys.argv) == 2 else Path(__file__).resolve().parent
    if not output_folder.is_dir():
        sys.exit(f"The output folder {output_folder} does not exist; make it first.")
    make_all(output_folder)
