"""Monthly grass reference evapotranspiration by FAO-56 Penman-Monteith.

Written from the equations of FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith
1998) with numpy only, so that it shares no code with the program that it checks. Every array has
the twelve months on its first axis, January first; the other axes are free. Temperatures in degC,
vapour pressure in kPa, wind in m/s, radiation in MJ m-2 day-1, elevation in m, latitude in degrees.
"""

import numpy as np

DAYS_OF_COMMON_YEAR = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

SOLAR_CONSTANT_MJ_PER_M2_MIN = 0.0820
STEFAN_BOLTZMANN_MJ_PER_K4_M2_DAY = 4.903e-9
ALBEDO_OF_GRASS = 0.23
LATENT_HEAT_MJ_PER_KG = 2.45
LEAST_WIND_M_PER_S = 0.5  # chapter 3: below this the air moves by its own buoyancy
# The equation says nothing of Rs/Rso in a month without sun. For nights chapter 4 takes 0.4 to 0.6
# in humid and 0.7 to 0.8 in arid climates (from memory); this is the middle of all that.
CLOUDINESS_OF_POLAR_NIGHT = 0.6


def extraterrestrial_radiation_of_day(day_of_year, latitude_deg):
    """Equations 21 to 25, with the sunset angle held where the sun never sets or never rises."""
    latitude = np.radians(latitude_deg)
    year_angle = 2 * np.pi * day_of_year / 365
    inverse_distance = 1 + 0.033 * np.cos(year_angle)
    declination = 0.409 * np.sin(year_angle - 1.39)
    sunset = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1, 1))
    return (24 * 60 / np.pi * SOLAR_CONSTANT_MJ_PER_M2_MIN * inverse_distance
            * (sunset * np.sin(latitude) * np.sin(declination)
               + np.cos(latitude) * np.cos(declination) * np.sin(sunset)))


def extraterrestrial_radiation_by_month(latitude_deg):
    """The mean over all days of each month, which mid-month alone misses at high latitude."""
    months = []
    first = 1
    for days in DAYS_OF_COMMON_YEAR:
        months.append(np.mean([extraterrestrial_radiation_of_day(day, latitude_deg)
                               for day in range(first, first + days)], axis=0))
        first += days
    return np.array(months)


def saturation_vapour_pressure(temperature):
    """Equation 11."""
    return 0.6108 * np.exp(17.27 * temperature / (temperature + 237.3))


def slope_of_saturation_curve(temperature):
    """Equation 13."""
    return 4098 * saturation_vapour_pressure(temperature) / (temperature + 237.3) ** 2


def psychrometric_constant(elevation):
    """Equations 7 and 8."""
    pressure = 101.3 * ((293 - 0.0065 * elevation) / 293) ** 5.26
    return 0.665e-3 * pressure


def wind_at_2_m(wind, height_m):
    """Equation 47."""
    return wind * 4.87 / np.log(67.8 * height_m - 5.42)


def net_longwave_radiation(tmax, tmin, vapour_pressure, radiation, clear_sky_radiation):
    """Equation 39, with Rs/Rso held to 0.3 to 1."""
    cloudiness = np.divide(radiation, clear_sky_radiation,
                           out=np.full(radiation.shape, CLOUDINESS_OF_POLAR_NIGHT),
                           where=clear_sky_radiation > 0)
    return (STEFAN_BOLTZMANN_MJ_PER_K4_M2_DAY * ((tmax + 273.16) ** 4 + (tmin + 273.16) ** 4) / 2
            * (0.34 - 0.14 * np.sqrt(vapour_pressure))
            * (1.35 * np.clip(cloudiness, 0.3, 1) - 0.35))


def soil_heat_flux(tmean):
    """Equation 43, in a year that closes on itself."""
    return 0.07 * (np.roll(tmean, -1, axis=0) - np.roll(tmean, 1, axis=0))


def no_soil_heat_flux(tmean):
    """Equation 42: nothing over a day, so nothing in a sum of days."""
    return np.zeros_like(tmean)


def reference_et(tmax, tmin, vapour_pressure, wind_2m, radiation, latitude_deg, elevation,
                 soil_heat=no_soil_heat_flux):
    """Equation 6, in mm/day, never negative."""
    tmean = (tmax + tmin) / 2
    saturation = (saturation_vapour_pressure(tmax) + saturation_vapour_pressure(tmin)) / 2
    slope = slope_of_saturation_curve(tmean)
    gamma = psychrometric_constant(elevation)
    wind = np.maximum(wind_2m, LEAST_WIND_M_PER_S)
    clear_sky = ((0.75 + 2e-5 * elevation)
                 * extraterrestrial_radiation_by_month(latitude_deg))  # equation 37
    net_radiation = ((1 - ALBEDO_OF_GRASS) * radiation
                     - net_longwave_radiation(tmax, tmin, vapour_pressure, radiation, clear_sky))
    available = (net_radiation - soil_heat(tmean)) / LATENT_HEAT_MJ_PER_KG
    return np.maximum(0, (slope * available
                          + gamma * 900 / (tmean + 273) * wind * (saturation - vapour_pressure))
                      / (slope + gamma * (1 + 0.34 * wind)))
