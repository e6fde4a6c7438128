#!/usr/bin/env python3
"""Counts the pages of 4,096 bytes that differ between images when one tile of the database has changed.

    python3 tests/benchmarks/image_pages.py BUILD_FOLDER PLAIN_DATABASE

In a random tile, ETo of eight points is changed by up to six units in each month; eight times, each time from the
database as it is.
"""

import argparse
import random
import shutil
import sqlite3
import struct
import subprocess
import tempfile
import zlib
from pathlib import Path

PAGE = 4096
TILES = 8
SLOTS = 64  # of a plain tile; ETo is its first layer, after a bit for each slot (FORMAT.md, section 5)
POINTS = 8
GREATEST_CHANGE = 6


def image_of(build, database, page_bytes, path):
    words = ["--page-bytes", str(page_bytes)] if page_bytes else []
    subprocess.run([build / "builder/thirstline-builder", "export", database, "--as", "image", "-o", path, "--overwrite",
                    *words], check=True, capture_output=True)
    return path.read_bytes()


def change_a_tile(database, source):
    connection = sqlite3.connect(database)
    keys = [key for key, in connection.execute("SELECT tile_key FROM tile WHERE codec = 0 ORDER BY tile_key")]
    slots = []
    while not slots:
        key = source.choice(keys)
        gap, stored = connection.execute("SELECT gap, data FROM tile WHERE tile_key = ?", (key,)).fetchone()
        slots = [slot for slot in range(SLOTS) if stored[slot // 8] >> slot % 8 & 1]
    data = bytearray(stored)
    for slot in source.sample(slots, min(len(slots), POINTS)):
        for month in range(12):
            at = SLOTS // 8 + 2 * (12 * slot + month)
            [eto] = struct.unpack_from("<H", data, at)
            struct.pack_into("<H", data, at, max(0, eto + source.randint(-GREATEST_CHANGE, GREATEST_CHANGE)))
    crc = zlib.crc32(struct.pack("<qqB", key, gap, 0) + bytes(data))
    connection.execute("UPDATE tile SET data = ?, crc32 = ? WHERE tile_key = ?", (bytes(data), crc, key))
    connection.commit()
    connection.close()


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("build", type=Path)
    parser.add_argument("database", type=Path)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for page_bytes in (0, 2048, 4096):
            source = random.Random(5)
            before = image_of(options.build, options.database, page_bytes, folder / "before.img")
            changed = []
            for _ in range(TILES):
                shutil.copy(options.database, folder / "changed.sqlite")
                change_a_tile(folder / "changed.sqlite", source)
                after = image_of(options.build, folder / "changed.sqlite", page_bytes, folder / "after.img")
                changed.append(sum(before[at:at + PAGE] != after[at:at + PAGE]
                                   for at in range(0, max(len(before), len(after)), PAGE)))
            print(f"--page-bytes {page_bytes or 'not given'}: {len(before)} bytes, {-(-len(before) // PAGE)} pages; changed: "
                  f"{', '.join(map(str, sorted(changed)))}", flush=True)


if __name__ == "__main__":
    main()
