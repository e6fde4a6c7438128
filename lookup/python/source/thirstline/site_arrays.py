"""Answers for many sites, as NumPy arrays."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from . import native, structs
from .records import DAYS_IN_MONTH

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]
    Integers = npt.NDArray[np.int32]
    Booleans = npt.NDArray[np.bool_]


class SiteArrays:
    """The years of many sites. `shape` is that of the coordinates that were asked for.

    Arrays of months have the shape (*shape, 12), January first; other arrays the shape of the coordinates. What
    is not known is NaN: where there is no answer, and values that the file lacks. Numbers are not rounded. Arrays
    of doubles are computed from the exact integers when they are first read, and kept.
    """

    def __init__(self, shape: tuple[int, ...], integers: dict[str, Integers], divisors: structs.Baseline) -> None:
        self.shape = shape
        self._integers = integers
        self._divisors = divisors

    def __len__(self) -> int:
        return self.shape[0] if self.shape else 1

    def _fixed(self, name: str) -> Integers:
        return self._integers[name]

    def _values(self, name: str, divisor: int, by_days: bool = False) -> Floats:
        import numpy as np
        fixed = self._integers[name]
        values = fixed.astype(np.float64)
        if by_days:
            values *= np.array(DAYS_IN_MONTH)
        # A layer that the file lacks is unknown everywhere, and its divisor 0.
        values /= divisor or 1
        values[fixed == structs.UNKNOWN] = np.nan
        return values

    @property
    def status(self) -> Integers:
        """0 for an answer, 1 where the file has no data, 2 for a position or elevation that is not valid.
        `Baseline.site` raises the reason.
        """
        return self._fixed("status")

    @property
    def found(self) -> Booleans:
        """Whether there is an answer."""
        found: Booleans = self.status == native.OK
        return found

    @property
    def eto_fixed(self) -> Integers:
        """Exact integers of ETo per day, (*shape, 12), -2**31 where not known; likewise the following ones. The
        divisors are in `Baseline.info`.
        """
        return self._fixed("eto_fixed")

    @property
    def eto_se_fixed(self) -> Integers:
        return self._fixed("eto_se_fixed")

    @property
    def rain_fixed(self) -> Integers:
        return self._fixed("rain_fixed")

    @property
    def rain_se_fixed(self) -> Integers:
        return self._fixed("rain_se_fixed")

    @property
    def tmax_fixed(self) -> Integers:
        return self._fixed("tmax_fixed")

    @property
    def tmin_fixed(self) -> Integers:
        return self._fixed("tmin_fixed")

    @property
    def method_codes(self) -> Integers:
        """How ETo was computed, (*shape, 12): a larger code is a less trusted method."""
        return self._fixed("method_codes")

    @cached_property
    def eto_mm(self) -> Floats:
        """Reference evapotranspiration, mm in the month, (*shape, 12)."""
        return self._values("eto_fixed", self._divisors.eto_units_per_mm_per_day, by_days=True)

    @cached_property
    def eto_mm_per_day(self) -> Floats:
        """Reference evapotranspiration, mm/day, (*shape, 12)."""
        return self._values("eto_fixed", self._divisors.eto_units_per_mm_per_day)

    @cached_property
    def eto_se_mm(self) -> Floats:
        """Standard error of eto_mm, mm in the month, (*shape, 12)."""
        return self._values("eto_se_fixed", self._divisors.eto_se_units_per_mm_per_day, by_days=True)

    @cached_property
    def rain_mm(self) -> Floats:
        """All precipitation, mm in the month, (*shape, 12)."""
        return self._values("rain_fixed", self._divisors.rain_units_per_mm)

    @cached_property
    def rain_se_mm(self) -> Floats:
        """Standard error of rain_mm, mm in the month, (*shape, 12)."""
        return self._values("rain_se_fixed", self._divisors.rain_se_units_per_mm)

    @cached_property
    def tmax_c(self) -> Floats:
        """Mean daily maximum air temperature, degrees C, (*shape, 12)."""
        return self._values("tmax_fixed", self._divisors.tmax_units_per_degree)

    @cached_property
    def tmin_c(self) -> Floats:
        """Mean daily minimum air temperature, degrees C, (*shape, 12)."""
        return self._values("tmin_fixed", self._divisors.tmin_units_per_degree)

    @cached_property
    def annual_eto_mm(self) -> Floats:
        """Sum of the months, mm, shape; NaN unless all are known."""
        return _sum_of_months(self.eto_mm)

    @cached_property
    def annual_rain_mm(self) -> Floats:
        """Sum of the months, mm, shape; NaN unless all are known."""
        return _sum_of_months(self.rain_mm)

    @cached_property
    def peak_month(self) -> Integers:
        """1 to 12, the month of the largest ETo per day, the first on a tie; 0 if there is none; shape."""
        import numpy as np
        months: Integers = (self.eto_fixed.argmax(axis=-1) + 1).astype(np.int32)
        return np.where(self.eto_fixed.max(axis=-1) > 0, months, np.int32(0))

    @cached_property
    def percent_of_peak(self) -> Floats:
        """ETo per day, percent of the peak month's, (*shape, 12)."""
        import numpy as np
        # A site without an answer has no peak: fmax gives NaN without a warning.
        peak = np.fmax.reduce(self.eto_mm_per_day, axis=-1, keepdims=True)
        peak[peak <= 0] = np.nan
        percent: Floats = self.eto_mm_per_day * 100.0 / peak
        return percent

    @cached_property
    def point_lat(self) -> Floats:
        """The site if interpolated, else the point that answers, degrees, shape."""
        return self._values("point_lat_e7", 10_000_000)

    @cached_property
    def point_lon(self) -> Floats:
        """As point_lat."""
        return self._values("point_lon_e7", 10_000_000)

    @cached_property
    def distance_km(self) -> Floats:
        """From the site to the point that answers, shape; 0 if interpolated."""
        return self._values("distance_m", 1000)

    @cached_property
    def data_elevation_m(self) -> Floats:
        """Elevation of the data, before values are adjusted to the site's own, shape."""
        return self._values("data_elevation_fixed", self._divisors.elevation_units_per_m)

    @cached_property
    def shifted_by_m(self) -> Floats:
        """The site's own elevation minus that of the data, shape."""
        return self._values("shifted_by_cm", 100)


def _sum_of_months(values: Floats) -> Floats:
    # In the order in which the programs add them, so that the last digit is theirs.
    total: Floats = values[..., 0].copy()
    for month in range(1, structs.MONTHS):
        total += values[..., month]
    return total
