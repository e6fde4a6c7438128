"""The same equation with the FAO-56 functions of NCL (Debian: ncl-ncarg and
libncarg-data), a general library of the atmospheric sciences: a second independent computation."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np

CELLS = 500
LEAST_WIND_M_PER_S = 0.5
NCL_ROOT = os.environ.get("NCARG_ROOT", "/usr")


def is_installed():
    functions = Path(NCL_ROOT) / "lib" / "ncarg" / "nclscripts" / "csm" / "crop.ncl"
    return shutil.which("ncl") is not None and functions.exists()


def reference_et_of_some(tmax, tmin, vapour_pressure, wind_2m, radiation, latitude_deg, elevation,
                         soil_heat_flux="none"):
    """Indices of cells spread evenly over those given, and their ETo in mm/day, 12 x cells, not a
    number in months with frost, which NCL's vapour pressure does not know."""
    without_polar_night = np.nonzero(abs(latitude_deg) < 60)[0]
    chosen = without_polar_night[np.linspace(0, without_polar_night.size - 1, CELLS).astype(int)]
    table = np.concatenate([tmax, tmin, vapour_pressure, np.maximum(wind_2m, LEAST_WIND_M_PER_S),
                            radiation, latitude_deg[None, :], elevation[None, :]])[:, chosen]
    with tempfile.TemporaryDirectory() as folder:
        np.savetxt(Path(folder) / "in.txt", table, fmt="%.9g")
        environment = dict(os.environ, FOLDER=folder, CELLS=str(CELLS), NCARG_ROOT=NCL_ROOT,
                           SOIL_HEAT=soil_heat_flux)
        ran = subprocess.run(["ncl", "-Q", "-n", str(Path(__file__).with_name("fao56.ncl"))],
                             env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                             text=True, check=False)
        written = Path(folder) / "out.txt"
        if not written.exists():
            raise RuntimeError("ncl gave no answer: " + ran.stdout)
        eto = np.loadtxt(written).reshape(12, CELLS)
    return chosen, np.where(eto < 0, np.nan, eto)
