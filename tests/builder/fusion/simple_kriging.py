"""Simple kriging written out with numpy, for one comparison.

Reads from standard input: a line of the model (short_range_km vertical_range_km relief_range
coast_range long_sill slope_sill nugget neighbours), a line of two counts, then a line for each station
(lat lon elevation_m above_cells_m relief_m land_share noise residual) and for each target (the first six).
Writes the estimate and the standard error for each target. Exit 77: numpy is not there.
"""

import sys

try:
    import numpy as np
except ImportError:
    sys.exit(77)

RADIUS_KM = 6371.0088


def chord_km(a, b):
    """Between every place of a and every place of b, from latitude and longitude alone."""
    lat_a, lat_b = np.radians(a[:, None, 0]), np.radians(b[None, :, 0])
    lon = np.radians(a[:, None, 1] - b[None, :, 1])
    half = np.sin((lat_a - lat_b) / 2) ** 2 + np.cos(lat_a) * np.cos(lat_b) * np.sin(lon / 2) ** 2
    return 2 * RADIUS_KM * np.sqrt(half)


def covariance(a, b, model):
    short, vertical, relief, coast, long_sill, slope = model
    d = chord_km(a, b)
    rise = np.abs(a[:, None, 2] - b[None, :, 2]) / 1000
    rho_a, rho_b = np.log(1 + a[:, 4] / 50), np.log(1 + b[:, 4] / 50)
    rough = np.abs(rho_a[:, None] - rho_b[None, :])
    shore = np.abs(a[:, None, 5] - b[None, :, 5])
    above = a[:, None, 3] * b[None, :, 3] / 1e6
    return np.exp(-d / short) * np.exp(-rise / vertical) * np.exp(-rough / relief) * np.exp(-shore / coast) + (
        long_sill + slope * above
    ) * np.exp(-d / 1000)


def main():
    lines = [list(map(float, line.split())) for line in sys.stdin]
    *model, nugget, neighbours = lines[0]
    count = int(lines[1][0])
    stations = np.array(lines[2 : 2 + count])
    targets = np.array(lines[2 + count :])
    for target in targets[:, None, :]:
        near = stations[np.argsort(chord_km(target, stations)[0])[: int(neighbours)]]
        matrix = covariance(near, near, model) + nugget * np.diag(near[:, 6])
        to_target = covariance(near, target, model)[:, 0]
        weights = np.linalg.solve(matrix, to_target)
        variance = covariance(target, target, model)[0, 0] - weights @ to_target + nugget
        print(repr(float(weights @ near[:, 7])), repr(float(np.sqrt(variance))))


if __name__ == "__main__":
    main()
