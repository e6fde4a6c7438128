"""A reader of embedded images, written from schema/IMAGE.md. Where that refers to FORMAT.md and TILE_CODE.md,
it uses the readers written from these.

Usage: read_image.py IMAGE TILE_CODE.md < questions
A question is "lat_e7 lon_e7 elevation" ("-" for no elevation), answered as by read_from_format.py (lattices are counted
from 1), or "code TEXT", answered with each country and position, or "text".
"""
import os
import re
import struct
import sys
import zlib

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "..", "schema", "database"))
import read_from_format  # noqa: E402
import read_tile_code  # noqa: E402


class Image(read_from_format.Reader):
    hidden = frozenset(range(10, 14))
    is_bounded = True

    def __init__(self, data, below):
        self.data, self.below, self.cache = data, below, {}
        size, self.edge, lattices, layers, self.levels, self.step_bytes, flags = struct.unpack_from("<H6B", data, 16)
        (self.unit, self.codes, self.postal, self.blocks, self.leaves, self.text, self.text_bytes,
         self.notice) = struct.unpack_from("<8I", data, 24)
        assert data[:8] == b"ThLimg\r\n" and struct.unpack_from("<H2xI", data, 8) == (1, len(data))
        minor, = struct.unpack_from("<H", data, 10)
        assert struct.unpack_from("<I", data, size - 4)[0] == zlib.crc32(data[:size - 4])
        self.kept = [struct.unpack_from("<4BH", data, 64 + 8 * i) for i in range(layers)]
        self.layers = [(k[0], "point" if k[2] else "point_month", k[4], 2, k[3]) for k in self.kept]
        heads = [struct.unpack_from("<2i8I", data, 64 + 8 * layers + 40 * i) for i in range(lattices)]
        self.directories = [head[6:] for head in heads]
        self.lattices = [(i + 1, *head[:5], self.edge, head[5]) for i, head in enumerate(heads)]
        self.gradients, self.squares = [], []
        if minor >= 1 and flags & 1:
            section = self.text + 256 * ((self.text_bytes + 250) // 251)
            content = self.record(section, 16 + 8 * lattices + 4)
            pairs = [struct.unpack_from("<2H", content, 4 * i) for i in range(4)]
            self.gradients = [(layer, "point_month", divisor, 2, 1) for layer, divisor in pairs if layer]
            self.squares = [struct.unpack_from("<3BxI", content, 16 + 8 * i) for i in range(lattices)]
        self.divisor = {layer[0]: layer[2] for layer in self.layers + self.gradients}
        self.layers += self.gradients

    def gradients_at(self, number, row, column):
        """Of a point: for each layer twelve values, or None."""
        edge, south, west, offset = self.squares[number]
        columns = (west + self.lattices[number][4] - 1) // edge + 1
        size = 24 * len(self.gradients) + 4
        square = self.record(offset + ((south + row) // edge * columns + (west + column) // edge) * size, size)
        values = [None if value == -32768 else value for value in struct.unpack(f"<{12 * len(self.gradients)}h", square)]
        return [values[at:at + 12] for at in range(0, len(values), 12)]

    def record(self, at, size, of=None):
        content = self.data[at:at + size - 4]
        crc = zlib.crc32((struct.pack("<I", at) if of is None else of) + content)
        assert struct.unpack_from("<I", self.data, at + size - 4)[0] == crc
        return content

    def decoded_part(self, number, part, row, column):
        _, west, south, spacing, columns, *_ = self.lattices[number]
        r, c = row - (south + 324000) // spacing // self.edge, column - (west + 648000) // spacing // self.edge
        last = ((west + 648000) // spacing + columns - 1) // self.edge - (west + 648000) // spacing // self.edge
        group = self.record(self.directories[number][part] + (r * (last // 8 + 1) + c // 8) * 24, 24)
        sizes = struct.unpack_from("<8H", group, 4)
        if sizes[c % 8] == 0:
            return None
        code = self.record(struct.unpack_from("<I", group)[0] + sum(sizes[:c % 8]), sizes[c % 8],
                           struct.pack("<3I", number * 256 + part, r, c))
        reader = read_tile_code.Reader(self.below, code, self.edge, str)
        layers = [kept for kept in self.kept if kept[1] == part]
        return reader, {kept[0]: reader.planes("p" if kept[2] else "m", kept[3] == 1) for kept in layers}

    def tile(self, key, edge):
        if key not in self.cache:
            bits, values = bytearray((edge * edge + 7) // 8), {}
            for part in sorted({kept[1] for kept in self.kept}):
                found = self.decoded_part((key >> 40) - 1, part, key >> 20 & 0xFFFFF, key & 0xFFFFF)
                for at in range(edge * edge if found else 0):
                    if divmod(at, edge) in found[0].present:
                        bits[at // 8] |= 1 << at % 8
                for layer, months in found[1].items() if found else ():
                    count = 12 if ("point_month" in [k[1] for k in self.layers if k[0] == layer]) else 1
                    values[layer] = [months[m].get(divmod(at, edge)) for at in range(edge * edge) for m in range(count)]
            if values:
                self.add_gradients(bits, values, (key >> 40) - 1, key >> 20 & 0xFFFFF, key & 0xFFFFF)
            self.cache[key] = (bytes(bits), values) if values else None
        return self.cache[key]

    def add_gradients(self, bits, values, number, tile_row, tile_column):
        _, west, south, spacing, *_ = self.lattices[number]
        for layer, *_ in self.gradients:
            values[layer] = [None] * 12 * self.edge ** 2
        for slot in range(self.edge ** 2 if self.gradients else 0):
            if bits[slot // 8] >> slot % 8 & 1:
                row = tile_row * self.edge + slot // self.edge - (south + 324000) // spacing
                column = tile_column * self.edge + slot % self.edge - (west + 648000) // spacing
                for (layer, *_), months in zip(self.gradients, self.gradients_at(number, row, column)):
                    values[layer][12 * slot:12 * slot + 12] = months

    def entries(self, block, is_leaf):
        content, code, at = self.record(self.postal + 256 * block, 256), b"", 1 if is_leaf else 5
        for _ in range(content[0]):
            h = content[at]
            code = code[:h // 16 % 8] + content[at + 1:at + 1 + h % 16]
            at += 1 + h % 16
            if is_leaf and h >= 128:
                country, lat, lon = struct.unpack_from("<2s2i", content, at)
                at += 10
            elif is_leaf:
                steps = [int.from_bytes(content[i:i + self.step_bytes], "little", signed=True)
                         for i in (at, at + self.step_bytes)]
                lat, lon, at = lat + steps[0] * self.unit, lon + steps[1] * self.unit, at + 2 * self.step_bytes
            yield (code, country.decode(), lat, lon) if is_leaf else code

    def places(self, text):
        block = self.blocks - 1
        for _ in range(self.levels):
            child = struct.unpack_from("<I", self.record(self.postal + 256 * block, 256), 1)[0]
            block = child + max(0, sum(code < text for code in self.entries(block, False)) - 1)
        for leaf in range(block, self.leaves):
            for code, *place in self.entries(leaf, True):
                if code > text:
                    return
                if code == text:
                    yield place

    def whole_text(self):
        blocks = [self.record(self.text + 256 * i, 256) for i in range((self.text_bytes + 250) // 251)]
        return b"".join(block[1:1 + block[0]] for block in blocks).decode()


def main():
    with open(sys.argv[2], encoding="utf-8") as file:
        rows = re.findall(r"^ ?\d+: (0 [\d ]+ 4096)$", file.read(), re.MULTILINE)
    with open(sys.argv[1], "rb") as file:
        image = Image(file.read(), [[int(number) for number in row.split()] for row in rows])
    for line in sys.stdin:
        first, *rest = line.split()
        if first == "text":
            print(image.whole_text()[:image.notice])
        elif first == "code":
            print(" ".join(f"{c} {lat} {lon}" for c, lat, lon in image.places(rest[0].encode())) or "-")
        else:
            print(image.answer(int(first), int(rest[0]), None if rest[1] == "-" else int(rest[1])))


if __name__ == "__main__":
    main()
