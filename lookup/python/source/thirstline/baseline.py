"""An open Thirstline file."""

from __future__ import annotations

import ctypes
import json
import os
import threading
import weakref
from contextlib import contextmanager
from types import TracebackType
from typing import TYPE_CHECKING, Any, Iterator, Optional, Union

from . import structs
from .errors import QuestionError
from .native import call, library
from .records import BaselineInfo, Site, Source, Station, info_of, site_of, source_of, station_of
from .site_arrays import SiteArrays

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

_HIGHEST_ELEVATION_M = 10_000
_PER_SITE = ("status", "point_lat_e7", "point_lon_e7", "distance_m", "shifted_by_cm", "data_elevation_fixed")
_PER_MONTH = ("eto_fixed", "eto_se_fixed", "rain_fixed", "rain_se_fixed", "tmax_fixed", "tmin_fixed",
              "method_codes")


class Baseline:
    """A file made by thirstline-builder, opened for reading.

    May be used by several threads: calls wait for each other. `close` it, or use it in a `with` statement. To
    replace a file, write the new one under another name and rename it; an open Baseline reads the old one until
    it is closed. A file that is overwritten while it is open raises FileAccessError.

    Raises:
        FileAccessError: The file cannot be read, or is not a regular file.
        BadFileError: It is damaged, not a Thirstline file, or of an unsupported version.
    """

    def __init__(self, path: Union[str, "os.PathLike[str]"]) -> None:
        name = os.fsencode(path)
        if b"\0" in name:
            raise QuestionError("the path contains a zero byte")
        self._open("thirstline_open", name)

    @classmethod
    def from_bytes(cls, content: Union[bytes, bytearray, memoryview]) -> "Baseline":
        """A file whose bytes are in memory, such as a resource of a program. `bytes` are used as they are, others
        are copied.

        Raises:
            BadFileError: The bytes are damaged, not a Thirstline file, or of an unsupported version.
        """
        if not isinstance(content, (bytes, bytearray, memoryview)):
            raise QuestionError(f"the content of a file must be bytes, not {type(content).__name__}")
        baseline = cls.__new__(cls)
        kept = bytes(content)
        baseline._open("thirstline_open_memory", kept, len(kept))
        return baseline

    def _open(self, function: str, *source: object) -> None:
        self._lock = threading.Lock()
        handle = ctypes.c_void_p()
        call(function, *source, ctypes.byref(handle))
        # With the source: bytes must stay until the file is closed.
        self._close = weakref.finalize(self, _close_file, handle, source)
        self._handle: Optional[ctypes.c_void_p] = handle
        self._plain_info = structs.Baseline()
        with self._in_use() as file:
            call("thirstline_get_baseline", file, ctypes.byref(self._plain_info))
            sources = tuple(_source(file, index) for index in range(self._plain_info.source_count))
            self._info = info_of(self._plain_info, sources)

    def close(self) -> None:
        """Closes the file. Answers stay valid."""
        with self._lock:
            self._handle = None
            self._close()

    @contextmanager
    def _in_use(self) -> Iterator[ctypes.c_void_p]:
        """The open file, and no other thread in it: texts that it returns are valid until the end."""
        with self._lock:
            if self._handle is None:
                raise QuestionError("the baseline is closed")
            yield self._handle

    def __enter__(self) -> "Baseline":
        return self

    def __exit__(self, kind: Optional[type[BaseException]], value: Optional[BaseException],
                 trace: Optional[TracebackType]) -> None:
        self.close()

    @property
    def info(self) -> BaselineInfo:
        """What the file says of itself. Show its notice and its sources' attribution with every answer."""
        return self._info

    def verify(self) -> None:
        """Reads all tables of the file and checks them for damage. Answers check the data that they read even
        without it; use this for a file that has just been downloaded.
        """
        with self._in_use() as file:
            call("thirstline_verify", file)

    def site(self, lat: float, lon: float, elevation_m: Optional[float] = None) -> Site:
        """The normal year of a site; `site_report` has wet and dry years.

        Args:
            lat, lon: WGS 84 degrees, -90 to 90 and -180 to 180.
            elevation_m: The site's own elevation, -1000 to 10000, rounded to the whole metre; values are adjusted
                to it. Not valid more than 1500 m from the data's. None: the elevation of the file's points.

        Raises:
            NoDataError: The file has no point within reach.
            QuestionError: A position or elevation that is not valid.
        """
        place = structs.LatLon(_number(lat, "lat"), _number(lon, "lon"))
        elevation = _elevation(elevation_m)
        plain = structs.Site()
        with self._in_use() as file:
            call("thirstline_site_at", file, place, elevation, ctypes.byref(plain))
            return site_of(plain, self._info.notice)

    def postal(self, code: str, country: Optional[str] = None, elevation_m: Optional[float] = None) -> Site:
        """The year of a postal code's centroid. Codes are taken as people write them: "97401-1234", "k1a 0b1".

        Args:
            code: The postal code, as text: a number could have lost its leading zeros.
            country: Two letters; None: the country that has the code.
            elevation_m: As for `site`.

        Raises:
            NoDataError: The code is not in the file, or the file has no point near it.
            AmbiguousPostalCodeError: Several countries have the code.
            QuestionError: A text that is not a postal code, or not a country.
        """
        code_bytes = _text(code, "the postal code")
        country_bytes = None if country is None else _text(country, "the country")
        elevation = _elevation(elevation_m)
        plain = structs.Site()
        with self._in_use() as file:
            call("thirstline_site_of_postal_code", file, code_bytes, country_bytes, elevation,
                 ctypes.byref(plain))
            return site_of(plain, self._info.notice)

    def many(self, lat: Any, lon: Any = None, elevation_m: Any = None, *, jobs: int = 0) -> SiteArrays:
        """The years of many sites, with NumPy, on all cores.

        Args:
            lat, lon: Arrays of WGS 84 degrees, of one shape (scalars are broadcast). Or `lat` alone: a data
                frame, a mapping or a structured array with the columns lat and lon, and perhaps elevation_m.
            elevation_m: The sites' own elevations, rounded to the whole metre; NaN: not given.
            jobs: Threads, 1 to 256; 0: one per core.

        Returns:
            Arrays of the shape of the coordinates, those of months with 12 more columns. A site without an
            answer has NaN, and `found` false: it does not end the run.

        Raises:
            QuestionError: Arrays that are not numbers, or whose shapes do not fit.
            FileAccessError, BadFileError: The file cannot be read.
        """
        import numpy as np
        if lon is None:
            lat, lon, elevation_m = _columns(lat, elevation_m)
        shape, lats, lons, elevations = _questions(lat, lon, elevation_m)
        count = lats.size
        integers: dict[str, npt.NDArray[np.int32]] = {name: np.empty(count, np.int32) for name in _PER_SITE}
        integers.update((name, np.empty((count, structs.MONTHS), np.int32)) for name in _PER_MONTH)
        arrays = structs.Arrays()
        for name, array in integers.items():
            setattr(arrays, name, array.ctypes.data_as(ctypes.POINTER(ctypes.c_int32)))
        with self._in_use() as file:
            call("thirstline_sites_in_arrays", file, lats.ctypes.data, lons.ctypes.data,
                 None if elevations is None else elevations.ctypes.data, count, jobs, ctypes.byref(arrays))
        for name in _PER_SITE:
            integers[name] = integers[name].reshape(shape)
        for name in _PER_MONTH:
            integers[name] = integers[name].reshape((*shape, structs.MONTHS))
        return SiteArrays(shape, integers, self._plain_info)

    def site_report(self, lat: Optional[float] = None, lon: Optional[float] = None, *, postal: Optional[str] = None,
                    country: Optional[str] = None, elevation_m: Optional[float] = None, year: Union[str, float] = "mean",
                    step: str = "month", own_record: Optional[str] = None) -> dict[str, Any]:
        """What `thirstline-lookup site --format json` prints (schema/json/site.schema.json), as a dictionary: rounded
        and metric, with wet and dry years, weeks or days.

        Args:
            lat, lon: WGS 84 degrees; or give `postal`.
            postal, country, elevation_m: As for `postal`.
            year: "mean", "dry" (8 years of 10 need no more), "wet" (2 of 10), or a percentage such as 90.
            step: "month", "week" or "day".
            own_record: CSV with the columns month,eto_mm,rain_mm, used in place of the file's values.

        Raises:
            NoDataError: As for `site` and `postal`; or the file has only means, and another year was asked for.
            QuestionError: A position, code, year, step or record that is not valid.
        """
        query = _query(lat, lon, postal, country, elevation_m)
        return self._json("thirstline_site_json", query, _json_options(own_record, year, step))

    def demand(self, zones: str, lat: Optional[float] = None, lon: Optional[float] = None, *,
               postal: Optional[str] = None, country: Optional[str] = None, elevation_m: Optional[float] = None,
               year: Union[str, float] = "mean", own_record: Optional[str] = None) -> dict[str, Any]:
        """What `thirstline-lookup demand --format json` prints (schema/json/demand.schema.json), as a dictionary: need,
        run times, settings of the controller and cost of a site's zones. Show its cautions with the settings.

        Args:
            zones: The content of a zone file (TOML). The site is that of the other arguments.
            lat, lon, postal, country, elevation_m, year, own_record: As for `site_report`.

        Raises:
            NoDataError: As for `site_report`.
            QuestionError: As for `site_report`; or zones that are not valid, with their line: "zones:12: ...".
        """
        query = _query(lat, lon, postal, country, elevation_m)
        return self._json("thirstline_demand_json", query, _text(zones, "zones"), _json_options(own_record, year))

    def _json(self, function: str, query: structs.Query, *arguments: object) -> dict[str, Any]:
        answer = ctypes.c_char_p()
        with self._in_use() as file:
            call(function, file, ctypes.byref(query),
                 *(ctypes.byref(each) if isinstance(each, ctypes.Structure) else each for each in arguments),
                 ctypes.byref(answer))
            content: dict[str, Any] = json.loads(answer.value or b"{}")
        return content

    def stations(self, lat: float, lon: float, elevation_m: Optional[float] = None, *,
                 most: int = 10) -> list[Station]:
        """The stations used for a site, by decreasing weight: at most `most`. There are none in a file made from
        grids alone. Arguments and exceptions as for `site`.
        """
        if not 0 <= most <= 10_000:
            raise QuestionError(f"most is {most}, and must be 0 to 10000")
        found = (structs.Station * max(most, 1))()
        found[0].struct_size = ctypes.sizeof(structs.Station)
        place = structs.LatLon(_number(lat, "lat"), _number(lon, "lon"))
        elevation = _elevation(elevation_m)
        count = ctypes.c_size_t()
        with self._in_use() as file:
            call("thirstline_stations_near", file, place, elevation, found, most, ctypes.byref(count))
            return [station_of(found[index]) for index in range(count.value)]


def _close_file(handle: ctypes.c_void_p, _source_of_bytes: object) -> None:
    library().thirstline_close(handle)


def _source(file: ctypes.c_void_p, index: int) -> Source:
    plain = structs.Source()
    call("thirstline_get_source", file, index, ctypes.byref(plain))
    return source_of(plain)


def _number(value: float, name: str) -> float:
    try:
        return float(value)
    except (TypeError, ValueError) as error:
        raise QuestionError(f"{name} must be a number, not {value!r}") from error


def _text(value: str, name: str) -> bytes:
    if not isinstance(value, str) or "\0" in value:
        raise QuestionError(f"{name} must be a text without zero bytes, not {value!r}")
    return value.encode("utf-8", errors="replace")


def _query(lat: Optional[float], lon: Optional[float], postal: Optional[str], country: Optional[str],
           elevation_m: Optional[float]) -> structs.Query:
    query = structs.Query()
    if postal is not None:
        if lat is not None or lon is not None:
            raise QuestionError("give lat and lon, or a postal code, not both")
        query.postal = _text(postal, "the postal code")
        query.country = None if country is None else _text(country, "the country")
    elif lat is None or lon is None:
        raise QuestionError("give lat and lon, or a postal code")
    elif country is not None:
        raise QuestionError("a country belongs to a postal code")
    else:
        query.lat_lon = structs.LatLon(_number(lat, "lat"), _number(lon, "lon"))
    elevation = _elevation(elevation_m)
    query.elevation_m = structs.UNKNOWN if elevation is None else elevation.value
    return query


def _json_options(own_record: Optional[str], year: Union[str, float], step: str = "month") -> structs.JsonOptions:
    options = structs.JsonOptions()
    options.own_record = None if own_record is None else _text(own_record, "own_record")
    options.year = _text(year if isinstance(year, str) else f"{_number(year, 'year'):g}", "year")
    options.step = _text(step, "step")
    return options


def _elevation(value: Optional[float]) -> Optional[ctypes.c_int32]:
    if value is None:
        return None
    metres = _number(value, "elevation_m")
    # The library names the limits; more than an integer can hold is beyond them, too.
    if not abs(metres) <= 10 * _HIGHEST_ELEVATION_M:
        raise QuestionError(f"elevation_m is {value!r}, and must be -1000 to {_HIGHEST_ELEVATION_M}")
    return ctypes.c_int32(round(metres))


def _columns(frame: Any, elevation_m: Any) -> tuple[Any, Any, Any]:
    try:
        lat, lon = frame["lat"], frame["lon"]
    except (KeyError, IndexError, TypeError, ValueError) as error:
        raise QuestionError("give lat and lon, or a table with the columns lat and lon") from error
    if elevation_m is None:
        try:
            elevation_m = frame["elevation_m"]
        except (KeyError, IndexError, ValueError):
            elevation_m = None
    return lat, lon, elevation_m


def _questions(lat: Any, lon: Any, elevation_m: Any) -> tuple[
        tuple[int, ...], npt.NDArray[np.float64], npt.NDArray[np.float64], Optional[npt.NDArray[np.int32]]]:
    """The common shape, and contiguous arrays in one dimension."""
    import numpy as np
    given = [lat, lon] if elevation_m is None else [lat, lon, elevation_m]
    try:
        numbers = np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in given))
    except (TypeError, ValueError) as error:
        raise QuestionError(f"lat, lon and elevation_m must be arrays of numbers of one shape: {error}") from error
    lats, lons = (np.ascontiguousarray(array).reshape(-1) for array in numbers[:2])
    if elevation_m is None:
        return numbers[0].shape, lats, lons, None
    metres = np.clip(np.rint(np.ascontiguousarray(numbers[2]).reshape(-1)), -1e6, 1e6)
    elevations = np.where(np.isnan(metres), structs.UNKNOWN, metres).astype(np.int32)
    return numbers[0].shape, lats, lons, elevations
