"""Answers for one site, as immutable values. Numbers that the file does not have are None."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Optional

from . import structs
from .native import text

DAYS_IN_MONTH = (31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)
_DEGREE = 1e7


@dataclass(frozen=True)
class Source:
    """A source of the numbers. Show the attribution, and comply with the licence.

    `values_used` counts the months of points that use the source's value.
    """

    name: str
    variable: str
    period: str
    licence: str
    attribution: str
    url: str
    values_used: int


@dataclass(frozen=True)
class BaselineInfo:
    """What a file says of itself. Show the notice with every answer.

    `reference` is the reference surface of ETo, "short" or "tall"; `site_correction` "reference" or "none". The
    `..._units_per_...` are the divisors of the exact integers of `SiteArrays`; 0 if the file lacks the layer.
    """

    title: str
    region: str
    publisher: str
    period: str
    reference: str
    site_correction: str
    notice: str
    builder_version: str
    content_sha256: str
    has_temperature: bool
    has_standard_errors: bool
    eto_units_per_mm_per_day: int
    eto_se_units_per_mm_per_day: int
    rain_units_per_mm: int
    rain_se_units_per_mm: int
    tmax_units_per_degree: int
    tmin_units_per_degree: int
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class Month:
    """The normal of a month, not rounded: `thirstline.rounded` gives the digits that thirstline-lookup prints.

    Attributes:
        month: 1 to 12.
        days: Days of an average year's month.
        eto_mm, eto_mm_per_day: Reference evapotranspiration, mm in the month and mm/day.
        eto_se_mm, rain_se_mm: Standard errors of the normal, mm in the month.
        rain_mm: All precipitation, mm in the month.
        tmax_c, tmin_c: Mean daily maximum and minimum air temperature, degrees C.
        percent_of_peak: ETo per day, percent of the peak month's.
    """

    month: int
    days: float
    eto_mm: Optional[float]
    eto_mm_per_day: Optional[float]
    eto_se_mm: Optional[float]
    rain_mm: Optional[float]
    rain_se_mm: Optional[float]
    tmax_c: Optional[float]
    tmin_c: Optional[float]
    percent_of_peak: Optional[float]


@dataclass(frozen=True)
class Site:
    """The year of a site.

    Attributes:
        lat, lon: The site, degrees; of a postal code, its centroid.
        elevation_m: The site's own elevation, as given, or None.
        postal, country, place: The postal code as stored, its country and place; empty if not asked for.
        interpolated: From the grid points around the site; else from the nearest point.
        point_lat, point_lon: The site if interpolated, else the point that answers, degrees.
        distance_km: From the site to that point; 0 if interpolated.
        data_elevation_m: Elevation of the data, before values are adjusted to elevation_m.
        shifted_by_m: elevation_m minus data_elevation_m; 0 if not given.
        method, method_note, site_correction: How ETo was computed, and what was estimated.
        period: Years of the normals, such as "1991-2020".
        months: Twelve, January first.
        annual_eto_mm, annual_rain_mm: Sums of the months, not rounded.
        peak_month: 1 to 12, by ETo per day; None if ETo is not known.
        notice: Of the file: show it with the answer.
    """

    lat: float
    lon: float
    elevation_m: Optional[int]
    postal: str
    country: str
    place: str
    interpolated: bool
    point_lat: float
    point_lon: float
    distance_km: float
    data_elevation_m: Optional[float]
    shifted_by_m: float
    method: str
    method_note: str
    site_correction: str
    period: str
    months: tuple[Month, ...]
    annual_eto_mm: Optional[float]
    annual_rain_mm: Optional[float]
    peak_month: Optional[int]
    notice: str


@dataclass(frozen=True)
class Station:
    """A station used for a site.

    Attributes:
        lat, lon, elevation_m: Where it is, degrees and metres.
        source, period, variables: Its sources, their years, and such as "tmax, tmin, rain".
        distance_km: From the site.
        elevation_difference_m: Station minus site; None if the site's is not known.
        weight: The weights of the listed stations add up to 1.
    """

    name: str
    country: str
    source: str
    period: str
    variables: str
    lat: float
    lon: float
    elevation_m: int
    distance_km: float
    elevation_difference_m: Optional[float]
    weight: float


def _known(value: float) -> Optional[float]:
    return None if math.isnan(value) else value


def _month(plain: structs.Site, index: int) -> Month:
    return Month(
        month=index + 1, days=DAYS_IN_MONTH[index], eto_mm=_known(plain.eto_mm[index]),
        eto_mm_per_day=_known(plain.eto_mm_per_day[index]), eto_se_mm=_known(plain.eto_se_mm[index]),
        rain_mm=_known(plain.rain_mm[index]), rain_se_mm=_known(plain.rain_se_mm[index]),
        tmax_c=_known(plain.tmax_c[index]), tmin_c=_known(plain.tmin_c[index]),
        percent_of_peak=_known(plain.percent_of_peak[index]))


def site_of(plain: structs.Site, notice: str) -> Site:
    return Site(
        lat=plain.lat_e7 / _DEGREE, lon=plain.lon_e7 / _DEGREE,
        elevation_m=None if plain.elevation_m == structs.UNKNOWN else plain.elevation_m,
        postal=text(plain.postal), country=text(plain.country), place=text(plain.place),
        interpolated=plain.interpolated != 0, point_lat=plain.point_lat_e7 / _DEGREE,
        point_lon=plain.point_lon_e7 / _DEGREE, distance_km=plain.distance_m / 1000,
        data_elevation_m=_known(plain.data_elevation_m), shifted_by_m=plain.shifted_by_cm / 100,
        method=text(plain.method), method_note=text(plain.method_note),
        site_correction=text(plain.site_correction), period=text(plain.period),
        months=tuple(_month(plain, index) for index in range(structs.MONTHS)),
        annual_eto_mm=_known(plain.annual_eto_mm), annual_rain_mm=_known(plain.annual_rain_mm),
        peak_month=plain.peak_month or None, notice=notice)


def source_of(plain: structs.Source) -> Source:
    return Source(text(plain.name), text(plain.variable), text(plain.period), text(plain.licence),
                  text(plain.attribution), text(plain.url), plain.values_used)


def info_of(plain: structs.Baseline, sources: tuple[Source, ...]) -> BaselineInfo:
    return BaselineInfo(
        title=text(plain.title), region=text(plain.region), publisher=text(plain.publisher),
        period=text(plain.period), reference=text(plain.reference), site_correction=text(plain.site_correction),
        notice=text(plain.notice), builder_version=text(plain.builder_version),
        content_sha256=text(plain.content_sha256), has_temperature=plain.has_temperature != 0,
        has_standard_errors=plain.has_standard_errors != 0,
        eto_units_per_mm_per_day=plain.eto_units_per_mm_per_day,
        eto_se_units_per_mm_per_day=plain.eto_se_units_per_mm_per_day, rain_units_per_mm=plain.rain_units_per_mm,
        rain_se_units_per_mm=plain.rain_se_units_per_mm, tmax_units_per_degree=plain.tmax_units_per_degree,
        tmin_units_per_degree=plain.tmin_units_per_degree, sources=sources)


def station_of(plain: structs.Station) -> Station:
    return Station(
        name=text(plain.name), country=text(plain.country), source=text(plain.source), period=text(plain.period),
        variables=text(plain.variables), lat=plain.lat_e7 / _DEGREE, lon=plain.lon_e7 / _DEGREE,
        elevation_m=plain.elevation_m, distance_km=plain.distance_km,
        elevation_difference_m=_known(plain.elevation_difference_m), weight=plain.weight)
