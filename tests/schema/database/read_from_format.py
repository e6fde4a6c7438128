"""A reader of Thirstline databases, written from schema/FORMAT.md only, with the standard library.

Usage: read_from_format.py FILE < positions
Each input line is "lat_e7 lon_e7 elevation" ("-" for no elevation); each output line is the lattice
(0: no data), the metres to the nearest point, period, methods, and then every layer's integers by
ascending id, "x" where missing. (head_crc32 is left to content_hash_from_format.py.)
"""
import math
import sqlite3
import struct
import sys
import zlib

METHOD, PERIOD, ELEVATION = 7, 8, 9
ETO, RAIN = 1, 2
SHIFTED = {1: 10, 2: 11, 5: 12, 6: 13}  # layer: its gradient
ERRORS = {1: (3, 10, 10), 2: (4, 30, 15)}  # layer: its error, the per cent a km added up, and down
GREATEST = 2147483647


def rounded(a, b):
    return (abs(a) + b // 2) // b * (1 if a >= 0 else -1)


def sine(a):
    if a < 0:
        return -sine(-a)
    if a > 1800000000:
        return -sine(a - 1800000000)
    a = min(a, 1800000000 - a)
    x = (a << 30) // 900000000
    x2, s = (x * x) >> 30, -3864
    for c in (172272, -5026995, 85569306, -693598668, 1686629713):
        s = c + ((s * x2) >> 30)
    return min((s * x) >> 30, 1 << 30)


def vector(lat, lon):
    cos_lat = sine(lat + 900000000)
    return (cos_lat * sine(lon + 900000000)) >> 30, (cos_lat * sine(lon)) >> 30, sine(lat)


class Reader:
    hidden = frozenset()  # layers that are used, but not printed

    def __init__(self, path):
        with open(path, "rb") as file:
            header = file.read(100)
        version, application = struct.unpack(">60xI4xI28x", header)
        assert header[:16] == b"SQLite format 3\0" and application == 0x54684C69
        assert version // 1000 == 1
        self.db = sqlite3.connect(f"file:{path}?mode=ro&immutable=1", uri=True)
        self.layers = self.db.execute("SELECT layer_id, shape, divisor, width_bytes, is_signed "
                                      "FROM layer ORDER BY layer_id").fetchall()
        self.divisor = {layer[0]: layer[2] for layer in self.layers}
        self.lattices = self.db.execute(
            "SELECT lattice_id, west_arcsec, south_arcsec, spacing_arcsec, columns, rows, tile_edge,"
            " reach_m FROM lattice ORDER BY rank DESC, lattice_id").fetchall()
        self.last = int(self.db.execute(
            "SELECT value FROM metadata WHERE key = 'last_tile_key'").fetchone()[0])
        self.is_bounded = self.db.execute("SELECT count(*) FROM metadata WHERE key = "
                                          "'elevation_adjustment' AND value <> ''").fetchone()[0] > 0
        self.cache = {}

    def tile(self, key, edge):
        if key not in self.cache:
            row = self.db.execute("SELECT tile_key, gap, codec, crc32, data FROM tile WHERE tile_key "
                                  ">= ? ORDER BY tile_key LIMIT 1", (key,)).fetchone()
            if row is None:
                assert key > self.last
                self.cache[key] = None
            else:
                found, gap, codec, crc, data = row
                assert zlib.crc32(struct.pack("<qqB", found, gap, codec) + data) == crc
                assert found == key or found > key > found - gap
                self.cache[key] = self.decoded(codec, data, edge) if found == key else None
        return self.cache[key]

    def decoded(self, codec, data, edge):
        assert codec == 0
        slots, at, values = edge * edge, (edge * edge + 7) // 8, {}
        for layer, shape, _, width, signed in self.layers:
            count = {"point_month": 12 * slots, "point": slots, "tile_month": 12}[shape]
            form = {(1, 0): "B", (1, 1): "b", (2, 0): "H", (2, 1): "h"}[width, signed]
            none = -(1 << 8 * width - 1) if signed else (1 << 8 * width) - 1
            numbers = struct.unpack_from(f"<{count}{form}", data, at)
            values[layer] = [None if number == none else number for number in numbers]
            at += count * width
        assert at == len(data)
        return data, values

    def point(self, lattice, row, column):
        """The tile and slot of a point that lies within the lattice and holds data."""
        ident, west, south, spacing, columns, rows, edge, _ = lattice
        if columns * spacing == 1296000:
            column %= columns
        if not (0 <= row < rows and 0 <= column < columns):
            return None
        r, c = (south + 324000) // spacing + row, (west + 648000) // spacing + column
        tile = self.tile(ident << 40 | r // edge << 20 | c // edge, edge)
        slot = r % edge * edge + c % edge
        return (tile, slot) if tile and tile[0][slot // 8] >> slot % 8 & 1 else None

    def corners(self, lattice, lat, lon):
        _, west, south, spacing, columns, _, _, _ = lattice
        cell, circle = spacing * 25000, 1296000 * 25000
        north = lat * 9 - south * 25000
        east = 0 if abs(lat) == 900000000 else (lon * 9 - west * 25000) % circle
        row, fn = north // cell, north % cell * 32768 // cell
        column, fe = east // cell, east % cell * 32768 // cell
        if column >= columns and east >= circle - cell:
            column, fe = -1, (east - (circle - cell)) * 32768 // cell
        for r, wr in ((row, 32768 - fn), (row + 1, fn)):
            for c, wc in ((column, 32768 - fe), (column + 1, fe)):
                point = self.point(lattice, r, c) if wr * wc else None
                if point:
                    yield point[0], point[1], wr * wc

    def nearest(self, lattice, lat, lon):
        _, west, south, spacing, columns, rows, _, reach = lattice
        here, best = vector(lat, lon), None
        for row in range(rows):
            for column in range(columns):
                point = self.point(lattice, row, column)
                if point:
                    at = (rounded((south + row * spacing) * 25000, 9),
                          (rounded((west + column * spacing) * 25000, 9) + 1800000000)
                          % 3600000000 - 1800000000)
                    chord2 = sum((a - b) ** 2 for a, b in zip(here, vector(*at)))
                    if best is None or chord2 < best[0]:
                        best = chord2, (*point, 1)
        metres = math.isqrt(best[0]) * 6371009 >> 30 if best else reach + 1
        return (best[1], metres) if metres <= reach else None

    def answer(self, lat, lon, elevation):
        for lattice in self.lattices:
            corners = list(self.corners(lattice, lat, lon))
            if corners:
                return self.values(lattice[0], 0, corners, elevation)
        for lattice in self.lattices:
            found = self.nearest(lattice, lat, lon)
            if found:
                return self.values(lattice[0], found[1], [found[0]], elevation)
        return "0"

    def values(self, lattice_id, metres, corners, elevation):
        answer, method, period = {}, [0] * 12, 0
        for layer, shape, _, _, _ in self.layers:
            def stored(corner, month):
                (_, values), slot, _ = corner
                return values[layer][{"point_month": slot * 12 + month, "point": slot,
                                      "tile_month": month}[shape]]
            months = range(1 if shape == "point" else 12)
            if layer == METHOD:
                method = [max(stored(c, m) or 0 for c in corners) for m in months]
            elif layer == PERIOD:
                period = stored(max(corners, key=lambda c: c[2]), 0) or 0
            else:
                answer[layer] = []
                for m in months:
                    held = [(c[2], stored(c, m)) for c in corners if stored(c, m) is not None]
                    weight = sum(w for w, _ in held)
                    answer[layer].append(
                        rounded(sum(w * v for w, v in held) * 100, weight) if held else None)
        if elevation is not None and answer.get(ELEVATION, [None])[0] is not None:
            self.shift(answer, elevation)
        texts = [str(n) for n in [lattice_id, metres, period, *method]]
        for layer in sorted(answer.keys() - self.hidden):
            texts += ["x" if value is None else str(value) for value in answer[layer]]
        return " ".join(texts)

    def shift(self, answer, elevation):
        own, own_divisor = answer[ELEVATION][0] * 100, self.divisor[ELEVATION] * 100
        d = elevation * 100 - (abs(own) // own_divisor) * (1 if own >= 0 else -1)
        if self.is_bounded:
            d = max(-150000, min(150000, d))
        for layer, gradient_layer in SHIFTED.items():
            if layer not in answer or gradient_layer not in answer:
                continue
            big_d, big_g = self.divisor[layer], self.divisor[gradient_layer]
            for m, (value, gradient) in enumerate(zip(answer[layer], answer[gradient_layer])):
                if value is None or gradient is None:
                    continue
                growth = ONE
                if layer == RAIN and not self.is_bounded:
                    share = rounded(gradient * d, 100000)
                    moved = held(value + rounded(value * share, big_g * 100))
                elif layer == RAIN:
                    growth = growth_of(rounded(gradient * d, 100000), big_g * 100)
                    moved = held(rounded(value * growth, ONE))
                else:
                    moved = held(value + rounded(gradient * d * big_d, big_g * 100000))
                if layer == ETO and self.is_bounded:
                    bounds = sorted((rounded(value, 2), value * 2))
                    moved = held(max(bounds[0], min(bounds[1], moved)))
                answer[layer][m] = max(moved, 0) if layer in ERRORS else moved
                if layer in ERRORS and self.is_bounded:
                    self.grow_error(answer, layer, m, growth, d)

    def grow_error(self, answer, layer, m, growth, d):
        error_layer, up, down = ERRORS[layer]
        percent = up if d > 0 else down
        if error_layer not in answer or answer[error_layer][m] is None:
            return
        error = held(rounded(answer[error_layer][m] * growth, ONE))
        more = held(rounded(rounded(answer[layer][m] * percent * abs(d), 10000000)
                            * self.divisor[error_layer], self.divisor[layer]))
        answer[error_layer][m] = held(math.isqrt(error * error + more * more))


ONE = 1 << 28


def held(value):
    return max(-GREATEST, min(GREATEST, value))


def growth_of(share, divisor):
    most = rounded(divisor * 1386294, 1000000)
    x = rounded(max(-most, min(most, share)) * ONE, divisor * 16)
    square = rounded(x * x, ONE)
    growth = ONE + x + rounded(square, 2) + rounded(square * x, 6 * ONE)
    for _ in range(4):
        growth = rounded(growth * growth, ONE)
    return growth


def main():
    reader = Reader(sys.argv[1])
    for line in sys.stdin:
        lat, lon, elevation = line.split()
        print(reader.answer(int(lat), int(lon), None if elevation == "-" else int(elevation)))


if __name__ == "__main__":
    main()
