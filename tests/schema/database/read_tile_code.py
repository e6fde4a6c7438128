"""A reader of codec 1, written from schema/TILE_CODE.md only; it reads the tables from there.

Usage: read_tile_code.py TILE_CODE.md [--explain] < tiles
Each input line is one tile: "edge layers hex", where layers are like "ms,p,tu": m point_month, p point,
t tile_month, then s signed or u unsigned (`p` alone is unsigned). Each output line is the tile: "." or
"1" per slot, then each layer's values in the order of its shape, "x" where missing; or "rejected".
--explain prints the contents of the head instead.
"""
import re
import sys

MONTH_OF_STEP = (0, 6, 3, 9, 1, 2, 4, 5, 7, 8, 10, 11)
LEAST_STATE = 1 << 14


class Rejected(Exception):
    pass


def unfold(n):
    return n // 2 if n % 2 == 0 else -(n + 1) // 2


def s16(x):
    return (x + 32768) % 65536 - 32768


class Head:
    def __init__(self, data):
        self.data, self.at = data, 0

    def bits(self, count):
        value = 0
        for i in range(count):
            if self.at // 8 >= len(self.data):
                raise Rejected("the head ends early")
            value |= (self.data[self.at // 8] >> self.at % 8 & 1) << i
            self.at += 1
        return value

    def golomb(self, k):
        ones = 0
        while ones < 16 and self.bits(1):
            ones += 1
        return self.bits(17) if ones == 16 else ones * 2 ** k + self.bits(k)


class Block:
    def __init__(self, rows, columns):
        self.rows, self.columns = rows, columns  # of the tile
        self.present = []

    def slots(self):
        for r in range(len(self.rows)):
            for c in range(len(self.columns)):
                yield r, c

    # The stream of residuals: section 10.
    def start(self, stream, states):
        if min(states) < LEAST_STATE:
            raise Rejected("a first state is too small")
        self.stream, self.at, self.states, self.turn = stream, 0, states, 0

    def renormalise(self, x):
        while x < LEAST_STATE:
            if self.at == len(self.stream):
                raise Rejected("a stream ends early")
            x = 256 * x + self.stream[self.at]
            self.at += 1
        return x

    def stream_bits(self, m):
        x = self.states[self.turn]
        self.states[self.turn] = self.renormalise(x >> m)
        return x % 2 ** m

    def residual(self, below, klass):
        table, low = klass - 1, 0
        if klass > 14:
            table, low = 10 + (klass - 15) % 4, 1 + (klass - 15) // 4
        bounds, x = below[table], self.states[self.turn]
        at = x % 4096
        symbol = max(s for s in range(16) if bounds[s] <= at)
        share = bounds[symbol + 1] - bounds[symbol]
        self.states[self.turn] = self.renormalise(share * (x // 4096) + at - bounds[symbol])
        n = symbol
        if symbol == 15:
            e = self.stream_bits(5) % 16
            n = 14 + 2 ** e + self.stream_bits(min(e, 8))
            if e > 8:
                n += 256 * self.stream_bits(e - 8)
        if low > 8:
            n = 256 * n + self.stream_bits(8)
            low -= 8
        n = 2 ** low * n + self.stream_bits(low)
        self.turn = 1 - self.turn
        return unfold(n) % 65536

    def whole(self):
        return self.at == len(self.stream) and self.states == [LEAST_STATE, LEAST_STATE]


def predicted(plane, r, c, width, predictor):
    """Section 7."""
    if r == 0:
        return plane[r, c - 1]
    b = plane[r - 1, c]
    if c == 0:
        return b
    w, bw, be = plane[r, c - 1], plane[r - 1, c - 1], plane[r - 1, c + 1] if c + 1 < width else b
    mean = (w + (b + be + 1) // 2) // 2
    flat = (w + b - bw) % 65536
    detail = s16(flat - mean)
    if predictor == 0:
        return mean
    if predictor == 1:
        if bw >= max(w, b):
            return min(w, b)
        return max(w, b) if bw <= min(w, b) else flat
    if predictor == 2:
        return flat
    return (mean + detail // 2 if predictor == 3 else flat - detail // 4) % 65536


def predicted_corner(corners, month, corner_error, signed):
    """Section 6; `corners` by month."""
    if month == 0:
        return 32768 if signed else 0
    if month == 6:
        return corners[0]
    if month == 3:
        return (corners[0] + corners[6] + 1) // 2
    if month == 9:
        return (2 * corners[0] + corners[3] + corners[6] + 2) // 4
    h, n, o, b = (corners[(month // 3 + i) % 4 * 3] for i in range(4))
    if month % 3 == 1:
        return (52 * h + 24 * n - 4 * o - 8 * b + 32) // 64
    return (24 * h + 52 * n - 8 * o - 4 * b + 32) // 64 + (corner_error + 1) // 2


class Reader:
    def __init__(self, below, data, edge, tell):
        self.below, self.tell = below, tell
        self.head = Head(data)
        self.klass, self.predictor, self.januaries = 11, 0, []
        along = (edge + 7) // 8
        side = (edge + along - 1) // along
        self.blocks = []
        self.present = set()
        for i in range(along * along):
            rows = range(i // along * side, min(edge, (i // along + 1) * side))
            columns = range(i % along * side, min(edge, (i % along + 1) * side))
            block = Block(rows, columns)
            every = self.head.bits(1)
            none = 0 if every else self.head.bits(1)
            block.present = [at for at in block.slots()
                             if every or (not none and self.head.bits(1))]
            self.present |= {(rows[r], columns[c]) for r, c in block.present}
            if block.present:
                self.blocks.append(block)
        tell(f"presence {len(self.present)} points")
        if not self.blocks:
            return
        start = self.head.golomb(6)
        tell(f"head     {start} bytes of {len(data)}")
        lengths, states = [], []
        for block in self.blocks:
            lengths.append(self.head.golomb(8) if block is not self.blocks[-1] else None)
            states.append([self.head.bits(22), self.head.bits(22)])
        lengths[-1] = len(data) - start - sum(lengths[:-1])
        if start > len(data) or lengths[-1] < 0:
            raise Rejected("it is shorter than its parts")
        for block, length, pair in zip(self.blocks, lengths, states):
            tell(f"stream   {length} bytes, states {pair[0]} and {pair[1]}")
            block.start(data[start:start + length], pair)
            start += length

    def tile_months(self, signed):
        missing = self.head.bits(12) if self.head.bits(1) else 0
        k = self.head.bits(4)
        values, before = [], 0
        for month in range(12):
            if missing >> month & 1:
                values.append(None)
                continue
            before = before + unfold(self.head.golomb(k))
            values.append(s16(before) if signed else before % 65536)
        self.tell(f"layer    tile_month, missing {missing}, k {k}")
        return values

    def planes(self, shape, signed):
        """By month: {(row, column) of the tile: value} of those that are there."""
        form = self.head.golomb(0)
        if form > 3:
            raise Rejected("a form is unknown")
        if form == 2:
            self.tell("layer    form 2")
            return [{} for _ in range(12)]
        parameter = self.head.bits(4)
        self.tell(f"layer    form {form}, K {parameter}")
        for block in self.blocks:
            block.has_value = list(block.present)
            block.planes, block.corners, block.corner_error = {}, {}, 0
        by_month = [None] * 12
        for month in MONTH_OF_STEP[:1 if shape == "p" or form == 1 else 12]:
            by_month[month] = self.plane(month, form, parameter, signed)
        return [by_month[0] if values is None else values for values in by_month]

    def plane(self, month, form, parameter, signed):
        head = self.head
        if form == 3 and head.bits(1):
            for block in self.blocks:
                block.has_value = [at for at in block.present if not head.bits(1)]
        self.klass += unfold(head.golomb(2))
        if not 0 <= self.klass <= 62:
            raise Rejected("a class is unknown")
        if head.bits(1):
            other = head.bits(2)
            self.predictor = other if other < self.predictor else other + 1
        if month == 0:
            references = [self.januaries[i] for i in ((), (0,), (-1, 0))[min(2, len(self.januaries))]]
            usual = 0
        else:
            months = {6: [0], 3: [0, 6], 9: [0, 6]}.get(
                month, [month - 1, (month // 3 + 1) % 4 * 3])
            references = [[block.planes[m] for block in self.blocks] for m in months]
            usual = 4 if month == 6 else 2
        weights = [usual + unfold(head.golomb(1)) for _ in references]
        numbers = []
        for i in range(len(self.blocks)):
            first = i == 0 and month == 0
            k = 8 if first else parameter + {6: 4, 3: 1, 9: 1}.get(month, 0)
            number = head.golomb(k)
            numbers.append(number if first and not signed else unfold(number))
        self.tell(f"month {month:2} class {self.klass}, predictor {self.predictor}, "
                  f"weights {weights}, corners {numbers}")
        values = {}
        for i, block in enumerate(self.blocks):
            plane = self.block_plane(i, month, references, weights, numbers, signed)
            block.planes[month] = plane
            for r, c in block.has_value:
                stored = plane[r, c]
                values[block.rows[r], block.columns[c]] = stored - 32768 if signed else stored
        if month == 0:
            self.januaries.append([block.planes[0] for block in self.blocks])
        return values

    def block_plane(self, i, month, references, weights, numbers, signed):
        block = self.blocks[i]
        expected = predicted_corner(block.corners, month, block.corner_error, signed)
        block.corner_error = numbers[0] + (numbers[i] if i else 0)
        block.corners[month] = (expected + block.corner_error) % 65536
        residuals = dict.fromkeys(block.slots(), 0)
        written = [at for at in block.has_value if at != (0, 0)]
        edge = ([at for at in written if at[0] == 0] + [at for at in written if at[1] == 0])
        if self.klass:
            for at in edge:
                residuals[at] = block.residual(self.below, min(self.klass + 2, 62))
            for at in written:
                if at not in edge:
                    residuals[at] = block.residual(self.below, self.klass)
        plane, width = {(0, 0): block.corners[month]}, len(block.columns)
        for r, c in block.slots():
            if (r, c) == (0, 0):
                continue
            change = sum(weight * (other[i][r, c] - predicted(other[i], r, c, width, self.predictor))
                         for weight, other in zip(weights, references))
            plane[r, c] = (predicted(plane, r, c, width, self.predictor) + s16(change + 2) // 4
                           + residuals[r, c]) % 65536
        return plane


def text_of(values):
    return " ".join("x" if value is None else str(value) for value in values)


def line_of(reader, edge, layers):
    slots = [(slot // edge, slot % edge) for slot in range(edge * edge)]
    parts = ["".join("1" if at in reader.present else "." for at in slots)]
    for shape, *sign in layers:
        signed = sign == ["s"]
        if not reader.blocks:
            parts.append("x")
        elif shape == "t":
            parts.append(text_of(reader.tile_months(signed)))
        else:
            months = reader.planes(shape, signed)
            parts.append(text_of(months[m].get(at) for at in slots
                                 for m in range(12 if shape == "m" else 1)))
    if not all(block.whole() for block in reader.blocks):
        raise Rejected("a stream does not end where it should")
    return " ".join(parts)


def tables_of(document):
    """The tables of TILE_CODE.md, from its text."""
    rows = re.findall(r"^ ?\d+: (0 [\d ]+ 4096)$", document, re.MULTILINE)
    return [[int(number) for number in row.split()] for row in rows]


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        below = tables_of(file.read())
    explain = "--explain" in sys.argv
    for line in sys.stdin:
        edge, layers, data = (line.split() + [""])[:3]
        try:
            reader = Reader(below, bytes.fromhex(data), int(edge), print if explain else str)
            text = line_of(reader, int(edge), layers.split(","))
        except Rejected:
            text = "rejected"
        if not explain:
            print(text)


if __name__ == "__main__":
    main()
