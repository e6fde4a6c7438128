"""Recipe of a world whose lattice points are at the centers of the climate's half-degree cells."""

from pathlib import Path

from world_grids import CLIMATE_FILES, CLIMATE_FOLDER, ELEVATION_FILE, WIND_HEIGHT_M

UNITS = {"tmax": "degC", "tmin": "degC", "vapour_pressure": "hPa", "wind": "m/s",
         "radiation": "W/m2", "rain": "mm/day"}


def recipe_of_cell_centres(data_folder, soil_heat_flux="none"):
    """Without the site correction: what is checked is the equation upon the data as they are."""
    folder = Path(data_folder).resolve()
    parts = [f'''[baseline]
title = "World 1961-1990, in the middle of the climate's cells"
region = "world"
reference = "short"
site_correction = "none"
soil_heat_flux = "{soil_heat_flux}"
period = "1961-1990"

[lattice]
spacing_arcsec = 1800
bbox = [-179.75, -89.75, 179.75, 89.75]
reach_km = 1

[elevation]
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
