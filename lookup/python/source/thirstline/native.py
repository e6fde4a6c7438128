"""Loads libthirstline, and makes its statuses exceptions."""

from __future__ import annotations

import ctypes
import functools
import os
from ctypes import POINTER, c_char_p, c_double, c_int32, c_size_t, c_void_p
from typing import Optional

from . import structs
from .errors import (AmbiguousPostalCodeError, BadFileError, FileAccessError, LibraryError, NoDataError,
                     QuestionError, ThirstlineError)

MAJOR_VERSION = 0
LIBRARY = f"libthirstline.so.{MAJOR_VERSION}"
LIBRARY_VARIABLE = "THIRSTLINE_LIBRARY"

OK, NO_DATA, USAGE, BAD_FILE, IO, AMBIGUOUS = 0, 1, 2, 4, 5, 100

_FILE = c_void_p
_ERROR = POINTER(structs.Error)
_ELEVATION = POINTER(c_int32)
_ARGUMENTS = {
    "thirstline_open": [c_char_p, POINTER(_FILE), _ERROR],
    "thirstline_open_memory": [c_void_p, c_size_t, POINTER(_FILE), _ERROR],
    "thirstline_verify": [_FILE, _ERROR],
    "thirstline_site_at": [_FILE, structs.LatLon, _ELEVATION, POINTER(structs.Site), _ERROR],
    "thirstline_site_of_postal_code": [_FILE, c_char_p, c_char_p, _ELEVATION, POINTER(structs.Site), _ERROR],
    "thirstline_sites_in_arrays": [_FILE, c_void_p, c_void_p, c_void_p, c_size_t, c_int32,
                                   POINTER(structs.Arrays), _ERROR],
    "thirstline_site_json": [_FILE, POINTER(structs.Query), POINTER(structs.JsonOptions), POINTER(c_char_p), _ERROR],
    "thirstline_demand_json": [_FILE, POINTER(structs.Query), c_char_p, POINTER(structs.JsonOptions),
                               POINTER(c_char_p), _ERROR],
    "thirstline_stations_near": [_FILE, structs.LatLon, _ELEVATION, POINTER(structs.Station), c_size_t,
                                 POINTER(c_size_t), _ERROR],
    "thirstline_get_baseline": [_FILE, POINTER(structs.Baseline), _ERROR],
    "thirstline_get_source": [_FILE, c_int32, POINTER(structs.Source), _ERROR],
}


@functools.lru_cache(maxsize=None)
def library() -> ctypes.CDLL:
    """libthirstline, loaded once: the file that THIRSTLINE_LIBRARY names, else the installed one."""
    name = os.environ.get(LIBRARY_VARIABLE) or LIBRARY
    try:
        loaded = ctypes.CDLL(name)
    except OSError as error:
        raise LibraryError(f"{name} cannot be loaded: {error}",
                           f"install libthirstline{MAJOR_VERSION}, or name the file in {LIBRARY_VARIABLE}") from error
    try:
        for function, arguments in _ARGUMENTS.items():
            getattr(loaded, function).argtypes = arguments
            getattr(loaded, function).restype = c_int32
        loaded.thirstline_close.argtypes = [_FILE]
        loaded.thirstline_close.restype = None
        loaded.thirstline_version.argtypes = []
        loaded.thirstline_version.restype = c_char_p
        loaded.thirstline_rounded.argtypes = [c_double, c_int32]
        loaded.thirstline_rounded.restype = c_double
    except AttributeError as error:
        raise LibraryError(f"{name} is too old for this package: {error}", "install the same version") from error
    return loaded


def library_version() -> str:
    """The version of libthirstline, such as "0.1.0"."""
    return text(library().thirstline_version())


def rounded(value: Optional[float], decimals: int) -> Optional[float]:
    """`value` rounded to 0 to 7 decimals as thirstline-lookup prints it: half away from zero, exact decimal ties
    included. It prints mm and degrees to 1 decimal, mm per day to 2. None stays None.
    """
    if value is None:
        return None
    return float(library().thirstline_rounded(value, decimals))


def text(value: Optional[bytes]) -> str:
    """Texts of a file can hold any bytes."""
    return (value or b"").decode("utf-8", errors="replace")


def exception_of(status: int, error: structs.Error) -> ThirstlineError:
    message, hint = text(error.message), text(error.hint)
    if status == NO_DATA:
        return NoDataError(message, hint)
    if status == AMBIGUOUS:
        return AmbiguousPostalCodeError(message, hint, tuple(text(error.countries).split()))
    if status == USAGE:
        return QuestionError(message, hint)
    if status == BAD_FILE:
        return BadFileError(message, hint)
    if status == IO:
        return FileAccessError(message, hint)
    return LibraryError(message or f"libthirstline returned the status {status}", hint)


def call(function: str, *arguments: object) -> None:
    """Calls a function that returns a status, with an error at the end. Raises the exception for the status."""
    error = structs.Error()
    status = getattr(library(), function)(*arguments, ctypes.byref(error))
    if status != OK:
        raise exception_of(status, error)
