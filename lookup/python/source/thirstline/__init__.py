"""Monthly reference evapotranspiration (ETo) and rain for any site, offline.

    with thirstline.Baseline("merrow.sqlite") as baseline:
        site = baseline.site(44.603, -37.532)
        sites = baseline.many(lat, lon)         # NumPy arrays

Units: millimetres (mm) per month or per day, degrees Celsius, metres, kilometres; WGS 84 degrees, latitude
first. February has 28.25 days. Rain is all precipitation, including snow water equivalent. Standard errors are
those of the normal, not of single years: its 90% interval is +-1.645 standard errors.

A normal is not a forecast, and reference ET is not a watering time. Local watering rules and codes come first.
Show the notice of the baseline and the attribution of its sources with your answers.
"""

from .baseline import Baseline
from .errors import (AmbiguousPostalCodeError, BadFileError, FileAccessError, LibraryError, NoDataError,
                     QuestionError, ThirstlineError)
from .native import library_version, rounded
from .records import DAYS_IN_MONTH, BaselineInfo, Month, Site, Source, Station
from .site_arrays import SiteArrays

__all__ = [
    "DAYS_IN_MONTH", "AmbiguousPostalCodeError", "BadFileError", "Baseline", "BaselineInfo", "FileAccessError",
    "LibraryError", "Month", "NoDataError", "QuestionError", "Site", "SiteArrays", "Source", "Station",
    "ThirstlineError", "library_version", "rounded",
]
