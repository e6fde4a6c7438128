"""Every rule of section 10 of schema/FORMAT.md, with files that break it alone, plain and compact.

    check_reject_rules.py --lookup PROGRAM --builder PROGRAM

Checksums, the content hash and head_crc32 are made to fit again, unless they are what is broken. Two readers must
reject each file: the program, by the command that the rule concerns, with the status of a damaged file and never with
a number; and reject_from_format.py, written from the document alone, by that very rule.
"""
import argparse
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import reject_from_format as document

PROJECT = Path(__file__).resolve().parents[3]
SITE = ["site", "--at", "44.6,-37.5"]
POSTAL = ["site", "--postal", "04107"]
NEAR = ["near", "--at", "44.6,-37.5"]
OPEN = ["info"]
VERIFY = ["verify"]
DAMAGED = 4


def seal(db, rows=True):
    """All checksums again, and the content hash."""
    tables = document.own_tables(db) if rows else []
    if "tile" in tables:
        for key, *row in db.execute("SELECT tile_key, tile_key, gap, codec, data FROM tile").fetchall():
            db.execute("UPDATE tile SET crc32 = ? WHERE tile_key = ?", (document.tile_crc(row), key))
    if "postal" in tables:
        for row in db.execute("SELECT code, country, place, lat_e7, lon_e7 FROM postal").fetchall():
            db.execute("UPDATE postal SET crc32 = ? WHERE code = ? AND country = ?",
                       (document.postal_crc(row), *row[:2]))
    if "station" in tables:
        for number, *row in db.execute("SELECT station_id, name, country, source, period, variables, lat_e7, lon_e7,"
                                       " elevation_m FROM station").fetchall():
            db.execute("UPDATE station SET crc32 = ? WHERE station_id = ?", (document.station_crc(row), number))
    seal_head(db)


def seal_head(db):
    db.execute("UPDATE metadata SET value = ? WHERE key = 'content_sha256'", (document.content_hash(db),))
    db.execute("UPDATE metadata SET value = ? WHERE key = 'head_crc32'", (str(document.head_crc(db)),))


def sql(*statements, sealed=True, rows=True):
    def change(path):
        db = sqlite3.connect(path)
        db.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            db.execute(statement)
        if sealed:
            seal(db, rows)
        db.commit()
        db.close()
    return change


def schema(*statements):
    """Changes of the schema's own text, which SQLite would refuse as statements."""
    def change(path):
        db = sqlite3.connect(path)
        db.execute("PRAGMA writable_schema = ON")
        for statement in statements:
            db.execute(statement)
        db.commit()
        db.close()
        sql()(path)
    return change


def raw(at, replacement):
    def change(path):
        with open(path, "r+b") as file:
            file.seek(at)
            file.write(replacement)
    return change


def longer(path):
    with open(path, "ab") as file:
        file.write(bytes(512))


def first_tile(of_data):
    """The first tile's data changed by a function."""
    def change(path):
        db = sqlite3.connect(path)
        key, data = db.execute("SELECT tile_key, data FROM tile ORDER BY 1 LIMIT 1").fetchone()
        db.execute("UPDATE tile SET data = ? WHERE tile_key = ?", (of_data(data), key))
        seal(db)
        db.commit()
        db.close()
    return change


def drop_last_tile(path):
    sql("DELETE FROM tile WHERE tile_key = (SELECT max(tile_key) FROM tile)")(path)


def rebuilt(table, columns, constraint):
    """A table with other columns or keys, and the rows that fit."""
    def change(path):
        db = sqlite3.connect(path)
        db.execute("PRAGMA ignore_check_constraints = ON")
        names = ", ".join(re.findall(r"(?:^|, )(\w+)", columns))
        # The views would forbid the renaming.
        views = db.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'view'").fetchall()
        for name, _ in views:
            db.execute(f"DROP VIEW {name}")
        db.execute(f"CREATE TABLE other ({columns}{constraint}) STRICT")
        db.execute(f"INSERT INTO other SELECT {names} FROM {table}")
        db.execute(f"DROP TABLE {table}")
        db.execute(f"ALTER TABLE other RENAME TO {table}")
        for _, text in views:
            db.execute(text)
        seal(db)
        db.commit()
        db.close()
    return change


def without_metadata(key):
    return sql(f"DELETE FROM metadata WHERE key = '{key}'")


def unsealed_metadata(key, value):
    return sql(f"UPDATE metadata SET value = '{value}' WHERE key = '{key}'", sealed=False)


def sealed_last(key):
    def change(path):
        db = sqlite3.connect(path)
        db.execute("UPDATE metadata SET value = ? WHERE key = 'last_tile_key'", (key,))
        seal(db)
        db.commit()
        db.close()
    return change


def other_content_hash(path):
    db = sqlite3.connect(path)
    db.execute("UPDATE metadata SET value = ? WHERE key = 'content_sha256'", ("0" * 64,))
    db.execute("UPDATE metadata SET value = ? WHERE key = 'head_crc32'", (str(document.head_crc(db)),))
    db.commit()
    db.close()


GREATEST = "(SELECT max(tile_key) FROM tile)"
LEAST = "(SELECT min(tile_key) FROM tile)"
# The rule, what is broken, the change, and what must notice it (besides `verify`).
BREAKS = [
    ("1", "magic", raw(0, b"SQLite format 4\0"), OPEN),
    ("1", "application_id", sql("PRAGMA application_id = 1"), OPEN),
    ("1", "major version", sql("PRAGMA user_version = 2003"), OPEN),
    ("1", "length", longer, OPEN),
    ("2", "no table station", sql("DROP TABLE station"), OPEN),
    ("2", "a view in place of a table", sql("ALTER TABLE source_file RENAME TO moved",
                                            "CREATE VIEW source_file AS SELECT * FROM moved"), OPEN),
    ("2", "no column url", rebuilt("source", "source_id INTEGER NOT NULL PRIMARY KEY, name TEXT NOT NULL, "
                                   "variable TEXT NOT NULL, period TEXT NOT NULL, licence TEXT NOT NULL, "
                                   "attribution TEXT NOT NULL, values_used INTEGER NOT NULL", ""), OPEN),
    ("2", "another primary key", rebuilt("period", "period_id INTEGER NOT NULL, text TEXT NOT NULL PRIMARY KEY", ""),
     OPEN),
    ("2", "a trigger", sql("CREATE TRIGGER t AFTER INSERT ON postal BEGIN SELECT 1; END"), OPEN),
    ("2", "an index", sql("CREATE INDEX i ON postal (place)"), OPEN),
    ("2", "another view", sql("CREATE VIEW other AS SELECT 1 AS one"), OPEN),
    ("2", "a virtual table", sql("CREATE VIRTUAL TABLE v USING rtree(id, a, b)"), OPEN),
    ("2", "a computed column", sql("ALTER TABLE period ADD COLUMN twice TEXT AS (text || text)"), OPEN),
    ("2", "a table's name", sql('CREATE TABLE "Other" (a INTEGER NOT NULL PRIMARY KEY, b TEXT NOT NULL) STRICT'), OPEN),
    ("2", "a table that is not STRICT", sql("CREATE TABLE other (a INTEGER NOT NULL PRIMARY KEY, b TEXT NOT NULL)"),
     OPEN),
    ("2", "a table of one column", sql("CREATE TABLE other (a INTEGER NOT NULL PRIMARY KEY) STRICT"), OPEN),
    ("2", "too many entries", sql(*[f"CREATE TABLE t{i} (a INTEGER NOT NULL PRIMARY KEY, b TEXT NOT NULL) STRICT"
                                    for i in range(200)]), OPEN),
    ("3", "head_crc32", unsealed_metadata("title", "Another title"), OPEN),
    ("3", "no head_crc32", sql("DELETE FROM metadata WHERE key = 'head_crc32'", sealed=False), OPEN),
    ("3", "no last_tile_key", without_metadata("last_tile_key"), OPEN),
    ("3", "last_tile_key in hexadecimal", sealed_last("0x10"), OPEN),
    ("3", "small tables too long", sql("INSERT INTO source_file WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1"
                                       " FROM n LIMIT 5) SELECT 1, 1000 + i, hex(zeroblob(7000000)), hex(zeroblob(32))"
                                       " FROM n"), OPEN),
    ("4", "no lattice", sql("DELETE FROM lattice"), OPEN),
    ("4", "no layer 1", sql("DELETE FROM layer WHERE layer_id = 1"), OPEN),
    ("4", "west", sql("UPDATE lattice SET west_arcsec = 648000"), OPEN),
    ("4", "south", sql("UPDATE lattice SET south_arcsec = -324001"), OPEN),
    ("4", "spacing", sql("UPDATE lattice SET spacing_arcsec = 0"), OPEN),
    ("4", "columns", sql("UPDATE lattice SET columns = 0"), OPEN),
    ("4", "rows", sql("UPDATE lattice SET rows = -1"), OPEN),
    ("4", "past a circle", sql("UPDATE lattice SET columns = 1296000 / spacing_arcsec + 2"), OPEN),
    ("4", "past the pole", sql("UPDATE lattice SET rows = 1296000 / spacing_arcsec"), OPEN),
    ("4", "reach", sql("UPDATE lattice SET reach_m = 20000001"), OPEN),
    ("4", "tile edge", sql("UPDATE lattice SET tile_edge = 65"), OPEN),
    ("4", "lattice 4096", sql("UPDATE lattice SET lattice_id = 4096"), OPEN),
    ("4", "tile edges that differ", sql("INSERT INTO lattice SELECT 2, 'b', west_arcsec, south_arcsec, spacing_arcsec,"
                                        " columns, rows, rank, 2, reach_m FROM lattice"), OPEN),
    ("4", "divisor", sql("UPDATE layer SET divisor = 10001 WHERE layer_id = 2"), OPEN),
    ("4", "width", sql("UPDATE layer SET width_bytes = 3 WHERE layer_id = 2"), OPEN),
    ("4", "sign", sql("UPDATE layer SET is_signed = 2 WHERE layer_id = 2"), OPEN),
    ("4", "shape of a known layer", sql("UPDATE layer SET shape = 'point' WHERE layer_id = 2"), OPEN),
    ("4", "unknown shape", sql("UPDATE layer SET shape = 'tile' WHERE layer_id = 2"), OPEN),
    ("5", "a tile's checksum", sql("UPDATE tile SET crc32 = crc32 + 1", rows=False), SITE),
    ("5", "a tile's codec", sql("UPDATE tile SET codec = 9"), SITE),
    ("5", "a tile's length", first_tile(lambda data: data + b"\0"), VERIFY),
    ("5", "a tile cut short", sql("UPDATE tile SET data = substr(data, 1, length(data) / 8)"), SITE),
    ("5", "an empty tile", sql("UPDATE tile SET data = x''"), SITE),
    ("5", "a hidden tile", sql(f"DELETE FROM tile WHERE tile_key NOT IN ({LEAST}, {GREATEST})"), SITE),
    ("5", "a hidden last tile", drop_last_tile, VERIFY),
    ("6", "a code's checksum", sql("UPDATE postal SET place = place || 'x'", rows=False), POSTAL),
    ("6", "a code's latitude", sql("UPDATE postal SET lat_e7 = 900000001"), POSTAL),
    ("6", "a code's longitude", sql("UPDATE postal SET lon_e7 = 1800000000"), POSTAL),
    ("6", "a station's checksum", sql("UPDATE station SET name = name || 'x'", rows=False), NEAR),
    ("6", "a station's latitude", sql("UPDATE station SET lat_e7 = -900000001"), NEAR),
    ("6", "a station's longitude", sql("UPDATE station SET lon_e7 = -1800000001"), NEAR),
    ("verifier", "a tile of no lattice", sql("UPDATE lattice SET lattice_id = 7"), VERIFY),
    ("verifier", "a gap too great", sql(f"UPDATE tile SET gap = gap + 1 WHERE tile_key = {GREATEST}"), VERIFY),
    ("verifier", "a last_tile_key too small", sealed_last("1"), VERIFY),
    ("verifier", "points outside the lattice", sql("UPDATE lattice SET rows = rows - 1"), VERIFY),
    ("verifier", "a method without a row", sql("DELETE FROM method"), VERIFY),
    ("verifier", "a period without a row", sql("DELETE FROM period"), VERIFY),
    ("verifier", "a gap in the steps", sql("UPDATE history SET step = 2"), VERIFY),
    ("verifier", "an input from a later step", sql("UPDATE history SET inputs = '1'"), VERIFY),
    ("verifier", "a recipe of another hash", sql("UPDATE history SET recipe = recipe || ' '"), VERIFY),
    ("verifier", "other input files", sql("UPDATE history SET input_files_sha256 = hex(zeroblob(32))"), VERIFY),
    ("verifier", "a number of values below 0", sql("UPDATE source SET values_used = -1"), VERIFY),
    ("verifier", "no rejected values", sql("INSERT INTO source_rejection SELECT source_id, 'none', 0 FROM source"),
     VERIFY),
    ("verifier", "period 255", sql("INSERT INTO period VALUES (255, '1999')"), VERIFY),
    ("verifier", "method 65535", sql("INSERT INTO method VALUES (65535, '', '', '')"), VERIFY),
    ("verifier", "a station's elevation", sql("UPDATE station SET elevation_m = 10001"), VERIFY),
    ("verifier", "a station of number 0", sql("UPDATE station SET station_id = 0 WHERE station_id = 1"), VERIFY),
    ("verifier", "a country in small letters", sql("UPDATE postal SET country = 'xm'"), VERIFY),
    ("verifier", "a hash that is none", sql("UPDATE source_file SET sha256 = replace(hex(zeroblob(32)), '0', 'g')"),
     VERIFY),
    ("verifier", "the content hash", other_content_hash, VERIFY),
    ("verifier", "a lost postal code", sql("DELETE FROM postal WHERE code = '04107'", sealed=False), VERIFY),
]


def without_eto(data):
    """A tile of codec 0, of 8 × 8 slots, whose first point has no eto."""
    slot = next(i for i in range(64) if data[i // 8] >> i % 8 & 1)
    return data[:8 + 24 * slot] + b"\xff\xff" * 12 + data[8 + 24 * (slot + 1):]


def built(builder, folder, code):
    """The sample valley; its recipe names one source file and has stations, codes and history."""
    samples = folder / f"samples-{code}"
    shutil.copytree(PROJECT / "sample-inputs", samples)
    recipe = samples / "merrow.toml"
    recipe.write_text(recipe.read_text("utf-8").replace("[output]\n", f'[output]\ncode = "{code}"\n'), encoding="utf-8")
    path = folder / f"{code}.sqlite"
    subprocess.run([builder, "build", recipe, "-o", path, "--progress", "never"], check=True, capture_output=True)
    return path


def run(lookup, command, path):
    return subprocess.run([lookup, *command, "--db", path], capture_output=True, text=True, check=False)


def check(lookup, base, folder, tile_code):
    """The sentences of what is wrong."""
    wrong = []
    for command in (OPEN, SITE, POSTAL, NEAR, VERIFY):
        if run(lookup, command, base).returncode != 0:
            wrong.append(f"{base.name}: {command[0]} fails on the valid file")
    found = document.faults(base, tile_code)
    if found:
        wrong.append(f"{base.name}: the document's reader rejects the valid file by rule {found}")
    breaks = list(BREAKS)
    if base.stem == "plain":
        breaks.append(("verifier", "a point without eto", first_tile(without_eto), VERIFY))
    for rule, what, change, noticed in breaks:
        path = folder / "broken.sqlite"
        shutil.copyfile(base, path)
        change(path)
        named = f"{base.stem}, rule {rule}, {what}"
        for command in {tuple(noticed), tuple(VERIFY)}:
            done = run(lookup, list(command), path)
            if done.returncode != DAMAGED or done.stdout or not done.stderr:
                wrong.append(f"{named}: {' '.join(command)} ends with {done.returncode}: {done.stderr.strip()[:200]}")
        found = document.faults(path, tile_code)
        if found is None or found.rule != rule:
            wrong.append(f"{named}: by the document {found}")
    print(f"{base.stem}: {len(breaks)} files")
    return wrong


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--lookup", required=True)
    parser.add_argument("--builder", required=True)
    options = parser.parse_args()
    tile_code = (PROJECT / "schema" / "TILE_CODE.md").read_text("utf-8")
    wrong = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for code in ("plain", "compact"):
            wrong += check(options.lookup, built(options.builder, folder, code), folder, tile_code)
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
