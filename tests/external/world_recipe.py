"""Recipe of a world whose lattice points are at the centers of the climate's half-degree cells."""

import open_data


def recipe_of_cell_centres(data_folder, soil_heat_flux="none"):
    """Without the site correction: what is checked is the equation upon the data as they are."""
    return f'''[baseline]
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

{open_data.grids(data_folder)}'''
