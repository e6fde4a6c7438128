"""Content hash and head checksum of a Thirstline file, computed from the description in schema/FORMAT.md only.

Usage: content_hash_from_format.py FILE      prints the SHA-256 and the CRC-32, one per line.
"""
import hashlib
import sqlite3
import sys
import zlib

OWN_CHECKS = {"content_sha256", "head_crc32"}


def dump(database, table, keys_left_out):
    yield b"table " + table.encode() + b"\n"
    for row in database.execute(f"SELECT * FROM {table} ORDER BY 1, 2"):
        if table == "metadata" and row[0] in keys_left_out:
            continue
        for value in row:
            if isinstance(value, int):
                yield b"i%d\n" % value
            elif isinstance(value, str):
                yield b"t%d:%s\n" % (len(value.encode()), value.encode())
            else:
                yield b"b%d:%s\n" % (len(value), value)


def main():
    database = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro&immutable=1", uri=True)
    own = [(kind, name, sql) for kind, name, sql in
           database.execute("SELECT type, name, sql FROM sqlite_schema ORDER BY name")
           if not name.startswith("sqlite") and kind in ("table", "view")]
    tables = [name for kind, name, _ in own if kind == "table"]

    digest = hashlib.sha256()
    for table in tables:
        for part in dump(database, table, OWN_CHECKS):
            digest.update(part)

    crc = zlib.crc32(b"schema\n")
    for _, _, sql in own:
        crc = zlib.crc32(b"t%d:%s\n" % (len(sql.encode()), sql.encode()), crc)
    for table in tables:
        if table not in ("tile", "postal", "station"):
            for part in dump(database, table, {"head_crc32"}):
                crc = zlib.crc32(part, crc)
    print(digest.hexdigest())
    print(crc)


main()
