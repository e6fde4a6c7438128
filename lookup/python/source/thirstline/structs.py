"""The structs of thirstline.h, member by member; a test compares them with the header."""

from __future__ import annotations

import ctypes
from ctypes import POINTER, c_char, c_char_p, c_double, c_int32, c_int64, c_size_t

UNKNOWN = -(2 ** 31)
MONTHS = 12

_Months = c_double * MONTHS
_Integers = c_int32 * MONTHS
_Array = POINTER(c_int32)


class Sized(ctypes.Structure):
    """A struct that begins with its own size."""

    struct_size: int

    def __init__(self) -> None:
        super().__init__()
        self.struct_size = ctypes.sizeof(type(self))


class LatLon(ctypes.Structure):
    _fields_ = [("lat_deg", c_double), ("lon_deg", c_double)]


class Error(Sized):
    _fields_ = [("struct_size", c_size_t), ("status", c_int32), ("message", c_char * 1024), ("hint", c_char * 512),
                ("countries", c_char * 1024)]


class Site(Sized):
    _fields_ = [
        ("struct_size", c_size_t), ("status", c_int32), ("reason", c_char * 256), ("hint", c_char * 256),
        ("lat_e7", c_int32), ("lon_e7", c_int32), ("postal", c_char * 24), ("country", c_char * 8),
        ("elevation_m", c_int32), ("place", c_char_p),
        ("point_lat_e7", c_int32), ("point_lon_e7", c_int32), ("interpolated", c_int32), ("distance_m", c_int32),
        ("shifted_by_cm", c_int32), ("data_elevation_fixed", c_int32), ("method_code", c_int32),
        ("peak_month", c_int32), ("data_elevation_m", c_double), ("method", c_char_p), ("method_note", c_char_p),
        ("site_correction", c_char_p), ("period", c_char_p), ("annual_eto_mm", c_double),
        ("annual_rain_mm", c_double),
        ("eto_mm_per_day", _Months), ("eto_mm", _Months), ("eto_se_mm", _Months), ("rain_mm", _Months),
        ("rain_se_mm", _Months), ("tmax_c", _Months), ("tmin_c", _Months), ("percent_of_peak", _Months),
        ("method_codes", _Integers),
        ("eto_fixed", _Integers), ("eto_se_fixed", _Integers), ("rain_fixed", _Integers),
        ("rain_se_fixed", _Integers), ("tmax_fixed", _Integers), ("tmin_fixed", _Integers),
    ]


class Query(Sized):
    _fields_ = [("struct_size", c_size_t), ("postal", c_char_p), ("country", c_char_p), ("lat_lon", LatLon),
                ("elevation_m", c_int32)]


class JsonOptions(Sized):
    _fields_ = [("struct_size", c_size_t), *((name, c_char_p) for name in ("own_record", "year", "step"))]


class Arrays(Sized):
    _fields_ = [("struct_size", c_size_t), *((name, _Array) for name in (
        "status", "point_lat_e7", "point_lon_e7", "distance_m", "shifted_by_cm", "data_elevation_fixed",
        "eto_fixed", "eto_se_fixed", "rain_fixed", "rain_se_fixed", "tmax_fixed", "tmin_fixed", "method_codes"))]


class Baseline(Sized):
    _fields_ = [
        ("struct_size", c_size_t),
        *((name, c_char_p) for name in ("title", "region", "publisher", "period", "reference", "site_correction",
                                        "notice", "builder_version", "content_sha256")),
        *((name, c_int32) for name in (
            "source_count", "has_temperature", "has_standard_errors", "eto_units_per_mm_per_day",
            "eto_se_units_per_mm_per_day", "rain_units_per_mm", "rain_se_units_per_mm", "tmax_units_per_degree",
            "tmin_units_per_degree", "elevation_units_per_m"))]


class Source(Sized):
    _fields_ = [
        ("struct_size", c_size_t),
        *((name, c_char_p) for name in ("name", "variable", "period", "licence", "attribution", "url")),
        ("values_used", c_int64)]


class Station(Sized):
    _fields_ = [
        ("struct_size", c_size_t),
        *((name, c_char_p) for name in ("name", "country", "source", "period", "variables")),
        ("lat_e7", c_int32), ("lon_e7", c_int32), ("elevation_m", c_int32), ("distance_km", c_double),
        ("elevation_difference_m", c_double), ("weight", c_double)]
