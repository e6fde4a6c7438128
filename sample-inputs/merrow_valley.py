"""The upland valley of the Merrow river, which does not exist: its terrain and its climate.

Both are formulas in position and height, so that whatever is sampled from them agrees. Positions
are given latitude first, in degrees; inside the terrain they are kilometres east and north of the
south-west corner. Fields may have any shape; monthly ones have the month as their first axis.
"""

import random
from dataclasses import dataclass

import numpy as np

SEED = 4107
WEST, SOUTH, EAST, NORTH = -38.6, 44.0, -37.0, 45.2  # open Atlantic: no land is really there
KM_PER_DEGREE = 111.2
KM_PER_DEGREE_EAST = KM_PER_DEGREE * np.cos(np.radians(44.6))
DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTHS = range(1, 13)


# --- terrain ----------------------------------------------------------------------------------


def east_km(lon):
    return (np.asarray(lon) - WEST) * KM_PER_DEGREE_EAST


def north_km(lat):
    return (np.asarray(lat) - SOUTH) * KM_PER_DEGREE


def inland_km(east, north):
    """Distance east of the coast; negative at sea. The coast swings back around a southern bay."""
    bay = 11.0 * np.exp(-(((north - 34.0) / 18.0) ** 2))
    coast = 24.0 + bay + 1.6 * np.sin(north / 6.1) + 0.9 * np.sin(north / 2.3 + 1.0)
    return east - coast


def waves(wavelength_km, count, random_source):
    """Wave numbers and phases of random plane waves around one wavelength."""
    made = []
    for _ in range(count):
        direction = 2.0 * np.pi * random_source.random()
        number = 2.0 * np.pi / (wavelength_km * (0.7 + 0.6 * random_source.random()))
        phase = 2.0 * np.pi * random_source.random()
        made.append((number * np.cos(direction), number * np.sin(direction), phase))
    return made


ROUGHNESS = waves(14.0, 24, random.Random(SEED)) + waves(5.5, 32, random.Random(SEED + 1))


def roughness(east, north):
    """Smooth noise about 0, mostly within -1 and 1."""
    total = sum(np.sin(a * east + b * north + phase) for a, b, phase in ROUGHNESS)
    return total / np.sqrt(2.0 * len(ROUGHNESS))


# The Merrow from its head to its mouth: km east, km north, height of the valley floor in m.
MERROW = (
    (80.0, 146.0, 640.0),
    (83.0, 118.0, 500.0),
    (82.0, 92.0, 440.0),
    (85.0, 66.0, 385.0),
    (84.0, 40.0, 330.0),
    (78.0, 23.0, 290.0),
    (64.0, 13.0, 170.0),
    (48.0, 12.0, 60.0),
    (22.0, 9.0, 3.0),
)


def merrow_valley(east, north):
    """Distance from the river in km, and the height of the valley floor at the nearest reach."""
    nearest_km = np.full(np.shape(east), np.inf)
    floor_m = np.zeros(np.shape(east))
    for (x0, y0, z0), (x1, y1, z1) in zip(MERROW, MERROW[1:]):
        along = ((east - x0) * (x1 - x0) + (north - y0) * (y1 - y0)) / (
            (x1 - x0) ** 2 + (y1 - y0) ** 2
        )
        along = np.clip(along, 0.0, 1.0)
        distance = np.hypot(east - x0 - along * (x1 - x0), north - y0 - along * (y1 - y0))
        floor_m = np.where(distance < nearest_km, z0 + along * (z1 - z0), floor_m)
        nearest_km = np.minimum(distance, nearest_km)
    return nearest_km, floor_m


def broad_elevation_m(east, north):
    """The large forms, without roughness, river and basin: what the westerly wind feels."""
    inland = np.maximum(inland_km(east, north), 0.0)
    shore_rise = 1.0 - np.exp(-inland / 7.0)
    plateau = 440.0 + 400.0 / (1.0 + np.exp((east - 62.0) / 5.0))
    crest = 520.0 + 790.0 * np.exp(-(((north - 80.0) / 52.0) ** 2))
    ridge = crest * np.exp(-(((east - 58.0 - 3.0 * np.sin(north / 24.0)) / 8.5) ** 2))
    east_hills = (330.0 + 2.8 * north) * np.exp(-(((east - 109.0) / 9.0) ** 2))
    return shore_rise * (plateau + ridge + east_hills)


BASIN_EAST_KM, BASIN_NORTH_KM, BASIN_FLOOR_M = 110.0, 32.0, -40.0
ISLAND_EAST_KM, ISLAND_NORTH_KM, ISLAND_RADIUS_KM = 6.0, 33.0, 2.2


def land_elevation_m(east, north):
    broad = broad_elevation_m(east, north)
    height = broad + (12.0 + 0.13 * broad) * roughness(east, north)
    river_km, floor_m = merrow_valley(east, north)
    height = floor_m + (height - floor_m) * (1.0 - np.exp(-((river_km / 7.5) ** 2)))
    height = np.maximum(height, 2.0)
    from_basin_km = np.hypot(east - BASIN_EAST_KM, north - BASIN_NORTH_KM)
    floor_m = BASIN_FLOOR_M + 2.0 * roughness(east, north)
    return floor_m + (height - floor_m) * (1.0 - np.exp(-((from_basin_km / 14.0) ** 4)))


def elevation_m(east, north):
    """Height above the sea; depths below it are negative, as in many global elevation models."""
    inland = inland_km(east, north)
    offshore = np.maximum(-inland, 0.0)
    sea_floor = -4.0 - 22.0 * offshore - 1.1 * offshore**2
    from_island_km = np.hypot(east - ISLAND_EAST_KM, north - ISLAND_NORTH_KM)
    island = 64.0 * (1.0 - (from_island_km / ISLAND_RADIUS_KM) ** 2)
    surface = np.where(inland > 0.0, land_elevation_m(east, north), sea_floor)
    return np.where(from_island_km < ISLAND_RADIUS_KM, island, surface)


# --- climate ----------------------------------------------------------------------------------


@dataclass
class Climate:
    """Monthly normals, the month as first axis."""

    tmax_c: np.ndarray
    tmin_c: np.ndarray
    vapour_pressure_hpa: np.ndarray
    rain_mm: np.ndarray
    wind_10m_ms: np.ndarray
    radiation_mj_m2_day: np.ndarray


def by_month(values, shape):
    """Twelve values as an array that broadcasts over fields of the given shape."""
    return np.asarray(values, dtype=float).reshape((12,) + (1,) * len(shape))


def yearly_wave(peak_month, shape):
    """Cosine through the year that is 1 in the middle of peak_month (1.0 = January)."""
    return by_month([np.cos(2.0 * np.pi * (m - peak_month) / 12.0) for m in MONTHS], shape)


def extraterrestrial_radiation_mj_m2_day(lat):
    """Ra averaged over the days of each month (FAO-56 eq. 21 to 25)."""
    phi = np.radians(lat)
    monthly, first_day = [], 1
    for days in DAYS_IN_MONTH:
        total = np.zeros(np.shape(lat))
        for day in range(first_day, first_day + days):
            angle = 2.0 * np.pi * day / 365.0
            distance = 1.0 + 0.033 * np.cos(angle)
            declination = 0.409 * np.sin(angle - 1.39)
            sunset = np.arccos(np.clip(-np.tan(phi) * np.tan(declination), -1.0, 1.0))
            total += distance * (
                sunset * np.sin(phi) * np.sin(declination)
                + np.cos(phi) * np.cos(declination) * np.sin(sunset)
            )
        monthly.append(24.0 * 60.0 / np.pi * 0.0820 * total / days)
        first_day += days
    return np.stack(monthly)


def continentality(east, north):
    """From 0 at the coast towards 1 far inland."""
    return 1.0 - np.exp(-np.maximum(inland_km(east, north), 0.0) / 45.0)


def rain_mm_per_month(east, north, height_m):
    """Rain grows with height and with the slope that the westerlies climb; it fades in the lee."""
    here = broad_elevation_m(east, north)
    slope_m_per_km = (
        broad_elevation_m(east + 3.0, north) - broad_elevation_m(east - 3.0, north)
    ) / 6.0
    shadow_m = np.zeros(np.shape(east))
    for distance_km in np.arange(2.0, 90.0, 2.0):
        barrier = broad_elevation_m(east - distance_km, north) - here
        shadow_m = np.maximum(shadow_m, barrier * np.exp(-distance_km / 130.0))
    continental = continentality(east, north)
    lifted = 1.0 + 0.006 * np.clip(slope_m_per_km, 0.0, 200.0) + 0.00045 * height_m
    annual = 1080.0 * lifted * np.exp(-shadow_m / 900.0 - 0.5 * continental)
    annual *= 1.0 + 0.04 * roughness(east / 2.5, north / 2.5)
    swing = 0.42 + 0.28 * (1.0 - np.exp(-shadow_m / 500.0))
    shape = np.shape(east)
    days = by_month(DAYS_IN_MONTH, shape)
    return annual * days / 365.0 * (1.0 + swing * yearly_wave(12.6, shape))


def climate_at(lat, lon, height_m):
    """The invented climate of places on land, at the height given."""
    east, north = east_km(lon), north_km(lat)
    shape = np.shape(east)
    continental = continentality(east, north)
    height_km = height_m / 1000.0

    rain = rain_mm_per_month(east, north, height_m)
    dryness = np.exp(-rain / 38.0)
    northing_c = -0.6 * (np.asarray(lat) - 44.6)
    sea_level_mean_c = 12.4 + northing_c + 1.2 * continental + (
        4.6 + 6.4 * continental
    ) * yearly_wave(7.3, shape)
    half_range_c = 3.8 + 4.4 * dryness
    tmax = sea_level_mean_c + half_range_c - 6.5 * height_km
    tmin = sea_level_mean_c - half_range_c - 4.5 * height_km

    dew_point = tmin - 0.3 - 4.2 * dryness
    vapour_pressure = 6.108 * np.exp(17.27 * dew_point / (dew_point + 237.3))

    ridge_m = np.maximum(height_m - 900.0, 0.0)
    sea_breeze = 1.3 * np.exp(-np.maximum(inland_km(east, north), 0.0) / 8.0)
    wind = (2.5 + sea_breeze + 0.0022 * ridge_m) * (1.0 + 0.14 * yearly_wave(1.8, shape))

    rain_a_day = rain / by_month(DAYS_IN_MONTH, shape)
    transmission = 0.26 + 0.36 * np.exp(-rain_a_day / 2.6) + 0.000015 * height_m
    radiation = transmission * extraterrestrial_radiation_mj_m2_day(np.asarray(lat))
    return Climate(tmax, tmin, vapour_pressure, rain, wind, radiation)
