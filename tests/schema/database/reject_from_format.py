"""What a reader and a verifier must reject, written from section 10 of schema/FORMAT.md only.

`faults(path, tile_code)` gives for each broken rule "1" to "6", or "verifier", a sentence; nothing for a valid file.
`tile_code` is the text of schema/TILE_CODE.md. Section 9's hash and section 8's checksums are computed here again.
"""
import functools
import hashlib
import re
import sqlite3
import struct
import zlib

import read_tile_code

# Section 3: columns, and how many of the first are the primary key.
TABLES = {
    "metadata": ("key value", 1),
    "lattice": ("lattice_id name west_arcsec south_arcsec spacing_arcsec columns rows rank tile_edge reach_m", 1),
    "layer": ("layer_id name shape unit divisor width_bytes is_signed", 1),
    "period": ("period_id text", 1),
    "method": ("code name note site_correction", 1),
    "source": ("source_id name variable period licence attribution url values_used", 1),
    "source_rejection": ("source_id rule count", 2),
    "source_file": ("source_id position name sha256", 2),
    "tile": ("tile_key gap codec crc32 data", 1),
    "postal": ("code country place lat_e7 lon_e7 crc32", 2),
    "station": ("station_id name country lat_e7 lon_e7 elevation_m source period variables crc32", 1),
}
HISTORY = ("step action program title inputs note content_sha256 input_files_sha256 recipe_sha256 recipe", 1)
VIEWS = {"point", "profile", "plain_layer"}
LARGE = ("tile", "postal", "station")
SHAPES = {1: "point_month", 2: "point_month", 3: "point_month", 4: "point_month", 5: "point_month", 6: "point_month",
          7: "point_month", 8: "point", 9: "point", 10: "tile_month", 11: "tile_month", 12: "tile_month",
          13: "tile_month", 14: "point_month", 15: "point_month", 16: "point", 17: "point"}
ETO, METHOD, PERIOD = 1, 7, 8


class Broken(Exception):
    def __init__(self, rule, sentence):
        super().__init__(f"{rule}: {sentence}")
        self.rule = rule


def require(condition, rule, sentence):
    if not condition:
        raise Broken(rule, sentence)


def tile_crc(row):
    key, gap, codec, data = row
    return zlib.crc32(struct.pack("<qqB", key, gap, codec) + data)


def postal_crc(row):
    code, country, place, lat, lon = row
    texts = b"".join(text.encode() + b"\0" for text in (code, country, place))
    return zlib.crc32(texts + struct.pack("<ii", lat, lon))


def station_crc(row):
    *texts, lat, lon, elevation = row
    return zlib.crc32(b"".join(text.encode() + b"\0" for text in texts) + struct.pack("<iii", lat, lon, elevation))


def dump(db, table, without=()):
    yield b"table " + table.encode() + b"\n"
    keys = min(2, len(db.execute(f'SELECT * FROM "{table}"').description))
    for row in db.execute(f'SELECT * FROM "{table}" ORDER BY {", ".join("12"[:keys])}'):
        if table == "metadata" and row[0] in without:
            continue
        for value in row:
            if isinstance(value, int):
                yield b"i%d\n" % value
            else:
                raw = value.encode() if isinstance(value, str) else value
                yield b"%c%d:%s\n" % (b"t" if isinstance(value, str) else b"b", len(raw), raw)


def own_tables(db):
    return sorted(name for name, in db.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")
                  if not name.startswith("sqlite"))


def content_hash(db):
    digest = hashlib.sha256()
    for table in own_tables(db):
        for part in dump(db, table, ("content_sha256", "head_crc32")):
            digest.update(part)
    return digest.hexdigest()


def head_crc(db):
    crc = zlib.crc32(b"schema\n")
    for name, sql in sorted(db.execute("SELECT name, sql FROM sqlite_schema WHERE type IN ('table', 'view')")):
        if not name.startswith("sqlite"):
            crc = zlib.crc32(b"t%d:%s\n" % (len(sql.encode()), sql.encode()), crc)
    for table in own_tables(db):
        if table not in LARGE:
            for part in dump(db, table, ("head_crc32",)):
                crc = zlib.crc32(part, crc)
    return crc


def check_header(path):
    with open(path, "rb") as file:
        raw = file.read()
    require(raw[:16] == b"SQLite format 3\0", "1", "magic")
    require(raw[68:72] == b"ThLi", "1", "application_id")
    page, pages, version = struct.unpack(">H", raw[16:18])[0], *struct.unpack(">I28xI", raw[28:64])
    require(version // 1000 == 1, "1", "major version")
    require(len(raw) == (65536 if page == 1 else page) * pages, "1", "length")


def check_table(db, name, columns, keys):
    found = {column: (hidden, key) for _, column, _, _, _, key, hidden in db.execute(f"PRAGMA table_xinfo({name})")}
    require(all(hidden == 0 for hidden, _ in found.values()), "2", f"{name}: computed column")
    for place, column in enumerate(columns):
        require(column in found, "2", f"{name}.{column}")
        require(found[column][1] == (place + 1 if place < keys else 0), "2", f"{name}: primary key")


def check_schema(db):
    entries = db.execute("SELECT type, name, tbl_name FROM sqlite_schema").fetchall()
    require(len(entries) <= 200, "2", "entries")
    kinds = {name: (kind, strict) for _, name, kind, _, _, strict in db.execute("PRAGMA main.table_list")}
    for kind, name, table in entries:
        require(kind != "trigger", "2", "trigger")
        require(kind != "index" or name.startswith(f"sqlite_autoindex_{table}"), "2", "index")
        require(kind != "view" or name in VIEWS, "2", "view")
        if kind == "table" and not name.startswith("sqlite"):
            require(kinds[name] == ("table", 1), "2", f"{name}: virtual, or not STRICT")
            require(re.fullmatch("[a-z0-9_]+", name), "2", f"{name}: name")
            if name not in TABLES and name != "history":
                keys = [key for _, _, _, _, _, key, _ in db.execute(f"PRAGMA table_xinfo({name})")]
                require(keys[:2] in ([1, 0], [1, 2]) and not any(keys[2:]), "2", f"{name}: key")
                check_table(db, name, [], 0)
    for name, (columns, keys) in TABLES.items():
        require(name in kinds and kinds[name][0] == "table", "2", f"no table {name}")
        check_table(db, name, columns.split(), keys)
    if "history" in kinds:
        check_table(db, "history", HISTORY[0].split(), HISTORY[1])


def check_head(db):
    metadata = dict(db.execute("SELECT key, value FROM metadata"))
    require(sum(len(part) for table in own_tables(db) if table not in LARGE for part in dump(db, table)) <= 64 << 20,
            "3", "small tables")
    require(metadata.get("head_crc32") == str(head_crc(db)), "3", "head_crc32")
    require(re.fullmatch("0|[1-9][0-9]*", metadata.get("last_tile_key", "")), "3", "last_tile_key")
    return metadata


def check_lattices_and_layers(db):
    lattices = db.execute("SELECT lattice_id, west_arcsec, south_arcsec, spacing_arcsec, columns, rows, tile_edge,"
                          " reach_m FROM lattice").fetchall()
    require(lattices, "4", "no lattice")
    for ident, west, south, spacing, columns, rows, edge, reach in lattices:
        require(1 <= ident <= 4095 and -648000 <= west <= 647999 and -324000 <= south <= 324000, "4", "lattice")
        require(1 <= spacing <= 36000 and columns >= 1 and rows >= 1 and 0 <= reach <= 20000000, "4", "lattice")
        require((columns - 1) * spacing < 1296000 and south + (rows - 1) * spacing <= 324000, "4", "extent")
        require(2 <= edge <= 64 and edge == lattices[0][6], "4", "tile_edge")
        require(((west + 648000) // spacing + columns - 1) // edge < 1 << 20, "4", "tile column")
    layers = db.execute("SELECT layer_id, shape, divisor, width_bytes, is_signed FROM layer ORDER BY 1").fetchall()
    require(ETO in [layer[0] for layer in layers], "4", "no layer 1")
    for ident, shape, divisor, width, signed in layers:
        require(1 <= ident <= 255 and 1 <= divisor <= 10000 and width in (1, 2) and signed in (0, 1), "4", "layer")
        require(shape == SHAPES.get(ident, shape) and shape in SHAPES.values(), "4", "shape")
    return lattices, layers


@functools.lru_cache(maxsize=None)
def decoded(codec, data, edge, layers, document):
    """The slots with a point, and each layer's numbers, None where missing."""
    slots, values = edge * edge, {}
    counts = {"point_month": 12 * slots, "point": slots, "tile_month": 12}
    if codec == 1:
        marks = ",".join({"point_month": "m", "point": "p", "tile_month": "t"}[shape] + ("s" if signed else "u")
                         for _, shape, _, _, signed in layers)
        try:
            reader = read_tile_code.Reader(read_tile_code.tables_of(document), data, edge, str)
            present, *texts = read_tile_code.line_of(reader, edge, marks.split(",")).split(" ")
        except (read_tile_code.Rejected, IndexError) as error:
            raise Broken("5", "codec 1") from error
        numbers = [None if text == "x" else int(text) for text in texts]
        if "1" in present:
            for ident, shape, _, _, _ in layers:
                values[ident], numbers = numbers[:counts[shape]], numbers[counts[shape]:]
        return [i for i, mark in enumerate(present) if mark == "1"], values
    require(codec == 0, "5", "codec")
    at = (slots + 7) // 8
    present = [i for i in range(slots) if i // 8 < len(data) and data[i // 8] >> i % 8 & 1]
    require(len(data) == at + sum(counts[shape] * width for _, shape, _, width, _ in layers), "5", "length")
    for ident, shape, _, width, signed in layers:
        form = {(1, 0): "B", (1, 1): "b", (2, 0): "H", (2, 1): "h"}[width, signed]
        none = -(1 << 8 * width - 1) if signed else (1 << 8 * width) - 1
        values[ident] = [None if n == none else n for n in struct.unpack_from(f"<{counts[shape]}{form}", data, at)]
        at += counts[shape] * width
    return present, values


def check_points(db, key, lattice, present, values):
    ident, west, south, spacing, columns, rows, edge, _ = lattice
    row0, column0 = (south + 324000) // spacing, (west + 648000) // spacing
    methods = {code for code, in db.execute("SELECT code FROM method")}
    periods = {number for number, in db.execute("SELECT period_id FROM period")}
    for slot in present:
        row = (key >> 20 & 0xFFFFF) * edge + slot // edge - row0
        column = (key & 0xFFFFF) * edge + slot % edge - column0
        require(0 <= row < rows and 0 <= column < columns, "verifier", f"point outside lattice {ident}")
        require(None not in values[ETO][slot * 12:slot * 12 + 12], "verifier", "point without eto")
        require({m for m in values.get(METHOD, [])[slot * 12:slot * 12 + 12] if m is not None} <= methods,
                "verifier", "method without a row")
        if PERIOD in values and values[PERIOD][slot] is not None:
            require(values[PERIOD][slot] in periods, "verifier", "period without a row")


def check_tiles(db, metadata, lattices, layers, document):
    by_ident = {lattice[0]: lattice for lattice in lattices}
    before = 0
    for key, gap, codec, crc, data in db.execute("SELECT tile_key, gap, codec, crc32, data FROM tile ORDER BY 1"):
        require(tile_crc((key, gap, codec, data)) == crc, "5", "crc32")
        lattice = by_ident.get(key >> 40)
        present, values = decoded(codec, data, lattices[0][6], tuple(layers), document)
        # Not the gap alone: a key between two rows must be proved absent by the row above it.
        require(gap <= key - before, "verifier", "gap")
        require(gap == key - before, "5", "a tile is neither found nor proved absent")
        require(lattice is not None, "verifier", "tile of no lattice")
        check_points(db, key, lattice, present, values)
        before = key
    require(before <= int(metadata["last_tile_key"]), "verifier", "last_tile_key")
    require(before == int(metadata["last_tile_key"]), "5", "a tile after the last is not proved absent")


def check_places(db):
    for *row, crc in db.execute("SELECT code, country, place, lat_e7, lon_e7, crc32 FROM postal"):
        require(-2**31 <= min(row[3:]) and max(row[3:]) < 2**31 and postal_crc(row) == crc, "6", "postal crc32")
        require(abs(row[3]) <= 900000000 and -1800000000 <= row[4] <= 1799999999, "6", "postal position")
        require(re.fullmatch("[0-9A-Z -]{1,16}", row[0]), "verifier", "postal code")
        require(re.fullmatch("[A-Z][A-Z]", row[1]), "verifier", "country")
    for number, *row, crc in db.execute("SELECT station_id, name, country, source, period, variables, lat_e7, lon_e7,"
                                        " elevation_m, crc32 FROM station"):
        require(-2**31 <= min(row[5:]) and max(row[5:]) < 2**31 and station_crc(row) == crc, "6", "station crc32")
        require(abs(row[5]) <= 900000000 and -1800000000 <= row[6] <= 1799999999, "6", "station position")
        require(-1000 <= row[7] <= 10000 and number > 0, "verifier", "station out of range")


def check_history(db):
    if "history" not in own_tables(db):
        return
    steps = db.execute("SELECT * FROM history ORDER BY step").fetchall()
    for place, step in enumerate(steps, 1):
        require(step[0] == place, "verifier", "gap in step")
        require(all(0 < int(number) < place for number in step[4].split()), "verifier", "input not an earlier step")
        require(all(re.fullmatch("([0-9a-f]{64})?", text) for text in step[6:9]), "verifier", "hash")
        expected = hashlib.sha256(step[9].encode()).hexdigest() if step[8] or step[9] else ""
        require(step[8] == expected, "verifier", "recipe does not match its hash")
    if [step[1] for step in steps] == ["build"]:
        lines = {f"{sha}  {name}\n".encode() for name, sha in db.execute("SELECT name, sha256 FROM source_file")}
        others = db.execute("SELECT value FROM metadata WHERE key = 'other_input_files'").fetchone()
        lines |= set((others[0].encode() if others else b"").splitlines(keepends=True))
        require(hashlib.sha256(b"".join(sorted(lines))).hexdigest() == steps[0][7], "verifier", "input files")


def check_numbers(db):
    require(not db.execute("SELECT 1 FROM source WHERE values_used < 0 UNION ALL SELECT 1 FROM source_rejection"
                           " WHERE count <= 0 UNION ALL SELECT 1 FROM period WHERE period_id NOT BETWEEN 0 AND 254"
                           " UNION ALL SELECT 1 FROM method WHERE code NOT BETWEEN 0 AND 65534").fetchone(),
            "verifier", "number out of range")
    require(all(re.fullmatch("[0-9a-f]{64}", sha) for sha, in db.execute("SELECT sha256 FROM source_file")),
            "verifier", "sha256 of a source file")


def faults(path, tile_code):
    try:
        check_header(path)
        db = sqlite3.connect(f"file:{path}?mode=ro&immutable=1", uri=True)
        try:
            check_schema(db)
            metadata = check_head(db)
            lattices, layers = check_lattices_and_layers(db)
            check_tiles(db, metadata, lattices, layers, tile_code)
            check_places(db)
            check_history(db)
            check_numbers(db)
            require(content_hash(db) == metadata["content_sha256"], "verifier", "content hash")
            db.execute("PRAGMA ignore_check_constraints = ON")
            require(db.execute("PRAGMA integrity_check").fetchall() == [("ok",)], "verifier", "integrity_check")
        finally:
            db.close()
    except Broken as broken:
        return broken
    except sqlite3.DatabaseError as error:
        return Broken("verifier", f"SQLite: {error}")
    return None
