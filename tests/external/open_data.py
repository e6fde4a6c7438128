"""The open data that recipes are made of, and their tables in a recipe."""

from pathlib import Path

WIND_HEIGHT_M = 10

CLIMATE_FOLDER = "cru-cl1-1961-1990"
ELEVATION_FILE = "elevation/etopo5.tif"
CLIMATE_FILES = {"tmax": "tmx.tif", "tmin": "tmn.tif", "vapour_pressure": "vap.nc",
                 "wind": "wnd.tif", "radiation": "rad.tif", "rain": "pre.nc"}
UNITS = {"tmax": "degC", "tmin": "degC", "vapour_pressure": "hPa", "wind": "m/s",
         "radiation": "W/m2", "rain": "mm/day"}
STATION_FOLDER = "wmo-normals-1991-2020"
STATION_FILES = {"tmax": ("TMAX.csv", "degC"), "tmin": ("TMIN.csv", "degC"), "rain": ("PRCP.csv", "mm")}
POSTAL_FILE = "postal/geonames_US.txt.gz"
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


def grids(data_folder):
    """[elevation] and the climate's [[grid]]."""
    folder = Path(data_folder).resolve()
    parts = [f'''[elevation]
path = "{folder / ELEVATION_FILE}"
unit = "m"
''']
    for variable, name in CLIMATE_FILES.items():
        height = f"height_m = {WIND_HEIGHT_M}\n" if variable == "wind" else ""
        parts.append(f'''
[[grid]]
name = "CRU CL 1.0 {variable}"
variable = "{variable}"
path = "{folder / CLIMATE_FOLDER / name}"
unit = "{UNITS[variable]}"
{height}period = "1961-1990"
licence = "see the source"
attribution = "New, Hulme & Jones (1999), J. Climate 12, 829"
''')
    return "".join(parts)


def stations(data_folder, changed=None):
    """[[stations]] of the WMO normals; `changed` has the paths of tables by variable that take their place."""
    folder = Path(data_folder).resolve() / STATION_FOLDER
    months = "".join(f', {month.lower()} = "{month}"' for month in MONTHS)
    return "".join(f'''
[[stations]]
name = "WMO normals {variable}"
layout = "wide"
variable = "{variable}"
path = "{(changed or {}).get(variable, folder / name)}"
unit = "{unit}"
missing = [-99.9, -876.5, -9999]
encoding = "latin1"
period = "1991-2020"
licence = "see the source"
attribution = "WMO climatological normals, NCEI accession 0253808"
columns = {{ station = "ID", name = "Station", country = "Country", lat = "Latitude", lon = "Longitude", \
elevation = "Elevation"{months} }}
''' for variable, (name, unit) in STATION_FILES.items())


def conterminous_us(data_folder, spacing_arcsec):
    """The recipe of a file with all layers of monthly values, and the ZIP codes."""
    return f'''[baseline]
title = "Conterminous United States"
period = "1991-2020"

[lattice]
spacing_arcsec = {spacing_arcsec}
bbox = [-125, 24, -66.5, 49.5]
reach_km = 25

{grids(data_folder)}{stations(data_folder)}
[[postal]]
country = "US"
path = "/vsigzip/{Path(data_folder).resolve() / POSTAL_FILE}"
layout = "geonames"
'''
