"""The world's half-degree climate (CRU CL 1.0) and 5-minute elevation (ETOPO5), unchanged."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from osgeo import gdal

from open_data import CLIMATE_FILES, CLIMATE_FOLDER, ELEVATION_FILE

gdal.UseExceptions()

DAYS_OF_MONTH = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])

ROWS, COLUMNS = 360, 720
STEPS_OF_A_CELL = 6  # of the elevation raster, whose pixels' centres stand on whole 5 minutes


@dataclass
class ClimateOfCells:
    """Arrays of 12 x 360 x 720, north first; not a number where the grid is empty."""

    tmax_c: np.ndarray
    tmin_c: np.ndarray
    vapour_pressure_kpa: np.ndarray
    wind_m_per_s: np.ndarray
    radiation_mj_per_m2_day: np.ndarray
    rain_mm: np.ndarray


@dataclass
class ReliefOfCells:
    """Arrays of 360 x 720, in m."""

    mean: np.ndarray
    centre: np.ndarray
    range: np.ndarray


def cell_centres():
    """Latitudes, 360 x 1, and longitudes, 1 x 720."""
    return ((90 - (np.arange(ROWS) + 0.5) / 2)[:, None],
            (-180 + (np.arange(COLUMNS) + 0.5) / 2)[None, :])


def _twelve_bands(path):
    raster = gdal.Open(str(path))
    assert (raster.RasterXSize, raster.RasterYSize, raster.RasterCount) == (COLUMNS, ROWS, 12), path
    months = []
    for index in range(1, 13):
        band = raster.GetRasterBand(index)
        stored = band.ReadAsArray().astype(float)
        values = stored * (band.GetScale() or 1.0) + (band.GetOffset() or 0.0)
        months.append(np.where(stored == band.GetNoDataValue(), np.nan, values))
    return np.array(months)


def read_climate(data_folder):
    grids = {variable: _twelve_bands(Path(data_folder) / CLIMATE_FOLDER / name)
             for variable, name in CLIMATE_FILES.items()}
    return ClimateOfCells(
        tmax_c=grids["tmax"],
        tmin_c=grids["tmin"],
        vapour_pressure_kpa=grids["vapour_pressure"] / 10,  # from hPa
        wind_m_per_s=grids["wind"],
        radiation_mj_per_m2_day=grids["radiation"] * 0.0864,  # from W/m2
        rain_mm=grids["rain"] * DAYS_OF_MONTH[:, None, None])  # from mm/day


def read_relief(data_folder):
    """Of each half-degree cell. A cell's edges run through pixels' centres, so the pixels there
    count by half, those in its corners by a quarter."""
    heights = gdal.Open(str(Path(data_folder) / ELEVATION_FILE)).ReadAsArray().astype(float)
    assert heights.shape == (ROWS * STEPS_OF_A_CELL + 1, COLUMNS * STEPS_OF_A_CELL)
    heights = np.concatenate([heights, heights[:, :1]], axis=1)  # 180 E is 180 W

    side = np.array([0.5, 1, 1, 1, 1, 1, 0.5]) / STEPS_OF_A_CELL
    total = np.zeros((ROWS, COLUMNS))
    least = np.full((ROWS, COLUMNS), np.inf)
    greatest = np.full((ROWS, COLUMNS), -np.inf)
    for down in range(STEPS_OF_A_CELL + 1):
        for right in range(STEPS_OF_A_CELL + 1):
            pixels = heights[down:down + ROWS * STEPS_OF_A_CELL:STEPS_OF_A_CELL,
                             right:right + COLUMNS * STEPS_OF_A_CELL:STEPS_OF_A_CELL]
            total += side[down] * side[right] * pixels
            least = np.minimum(least, pixels)
            greatest = np.maximum(greatest, pixels)
    middles = slice(STEPS_OF_A_CELL // 2, None, STEPS_OF_A_CELL)
    return ReliefOfCells(mean=total, centre=heights[middles, middles], range=greatest - least)
