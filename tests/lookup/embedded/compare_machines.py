#!/usr/bin/env python3
"""One image on several machines: an image made from a database must give the library's answers from the
database to the last digit, on this machine, on a big-endian one, and on Cortex-M0 and Cortex-M4 in an
emulator. So must a subset of the database, and the command must print these numbers rounded.

For the microcontrollers the code size, the stack with the buffer, the bytes read and the instructions are
printed. A missing compiler or emulator is reported and skipped.
"""

import argparse
import csv
import io
import os
import random
import shutil
import statistics
import struct
import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal

WORDS = 35
SPOKEN = [0, 1, 2, 3, 4] + list(range(11, WORDS))  # what all machines must agree on
DAYS = [Decimal(d) for d in ("31", "28.25", "31", "30", "31", "30", "31", "31", "30", "31", "30", "31")]
SMALL = ["-DTHIRSTLINE_SMALL", "-DTHIRSTLINE_ROW=6", "-DTHIRSTLINE_IMAGE_LATTICES=1"]
STRICT = ["-std=c99", "-pedantic", "-Wall", "-Wextra", "-Wconversion", "-Werror", "-ffreestanding"]
MISSING = 0x80000000
# The emulator runs an instruction a nanosecond; its timers tick at 16 and 25 MHz.
CORTEX = {"cortex-m0": ("microbit", 62.5), "cortex-m4": ("mps2-an386", 40.0)}


def run(*command, cwd=None, expect=0):
    done = subprocess.run([str(word) for word in command], cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == expect, f"{command} gave {done.returncode}: {done.stdout}{done.stderr}"
    return done.stdout


def question(lat_e7=0, lon_e7=0, part=0, code=""):
    return struct.pack("<iiI12s", lat_e7, lon_e7, part, code.encode())


def questions_of(database, lookup, points, codes, generator):
    """Random points over and beyond the data, then postal codes; a few that are not there."""
    west, south, east, north = (float(word) for word in database.bbox.split(","))
    margin = 0.1 * (north - south)
    asked = []
    for at in range(points):
        lat = generator.uniform(max(-90, south - margin), min(90, north + margin))
        lon = generator.uniform(west - margin, east + margin)
        lon = (lon + 180) % 360 - 180
        asked.append(question(round(lat * 1e7), round(lon * 1e7), at % 2))
    known = database.codes
    chosen = generator.sample(known, min(codes, len(known)))
    asked += [question(code=code, part=at % 2) for at, code in enumerate(chosen)]
    asked += [question(code=code) for code in ("00000", "99999x", "ZZZ")]
    return asked


class Database:
    def __init__(self, path, lookup):
        import sqlite3
        self.path = path
        connection = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
        metadata = dict(connection.execute("SELECT key, value FROM metadata"))
        self.codes = [code for code, in connection.execute("SELECT code FROM postal ORDER BY code")]
        lattices = connection.execute("SELECT west_arcsec, south_arcsec, spacing_arcsec, columns, rows "
                                      "FROM lattice").fetchall()
        self.bbox = metadata.get("bbox") or ",".join(str(edge / 3600) for edge in (
            min(west for west, *_ in lattices), min(south for _, south, *_ in lattices),
            max(west + spacing * (columns - 1) for west, _, spacing, columns, _ in lattices),
            max(south + spacing * (rows - 1) for _, south, spacing, _, rows in lattices)))
        connection.close()


def records(path):
    with open(path, "rb") as file:
        content = file.read()
    return [struct.unpack(f"<{WORDS}I", content[at:at + 4 * WORDS]) for at in range(0, len(content), 4 * WORDS)]


def spoken(record):
    """Of a record what every machine must say; without an answer only why."""
    return tuple(record[word] for word in SPOKEN) if record[0] == 0 else (record[0],)


def compare(name, expected, found):
    assert len(found) == len(expected), f"{name}: {len(found)} answers to {len(expected)} questions"
    for at, (one, other) in enumerate(zip(expected, found)):
        assert spoken(one) == spoken(other), f"{name}, question {at}: {spoken(other)} and not {spoken(one)}"
    print(f"  {name}: {len(found)} answers are equal")


def expected_text(value, scale, days, decimals=1):
    if value == MISSING:
        return ""
    number = Decimal(value) * days / scale
    return str(number.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP))


def compare_with_command(options, database, asked, expected):
    """What `batch` prints of means at the positions asked for."""
    table = "lat,lon\n"
    means = []
    for one, record in zip(asked, expected):
        lat, lon, part, code = struct.unpack("<iiI12s", one)
        if part != 0 or code[0] != 0 or record[0] != 0:
            continue
        table += f"{Decimal(lat) / 10**7},{Decimal(lon) / 10**7}\n"
        means.append(record)
    path = os.path.join(options.folder, "points.csv")
    with open(path, "w", encoding="ascii") as file:
        file.write(table)
    rows = list(csv.DictReader(io.StringIO(run(options.lookup, "batch", "--db", database.path, "--input", path))))
    assert len(rows) == len(means)
    for row, record in zip(rows, means):
        for month in range(12):
            eto = expected_text(record[11 + month], 10000, DAYS[month])
            rain = expected_text(record[23 + month], 100, 1)
            assert row[f"eto_mm_{month + 1:02}"] == eto, (row, eto)
            assert row[f"rain_mm_{month + 1:02}"] == rain, (row, rain)
    print(f"  the command: {len(rows)} rows are these numbers rounded")


class Machines:
    """Builds firmware/answers.c for a machine and runs it in a folder of its own."""

    def __init__(self, options, image, asked):
        self.options, self.image, self.asked = options, image, asked
        self.sources = os.path.join(options.source, "tests", "lookup", "embedded", "firmware")
        self.include = ["-I", options.source, "-I", self.sources]

    def folder(self, name):
        folder = os.path.join(self.options.folder, name.replace(" ", "_"))
        os.makedirs(folder, exist_ok=True)
        shutil.copy(self.image, os.path.join(folder, "image"))
        with open(os.path.join(folder, "questions"), "wb") as file:
            file.writelines(self.asked)
        return folder

    def hosted(self, name, compiler, flags=(), emulator=(), buffer=4096):
        folder = self.folder(name)
        run(compiler, "-std=gnu11", "-O2", f"-DTHIRSTLINE_TEST_BUFFER={buffer}", *flags, *self.include,
            os.path.join(self.sources, "answers.c"), os.path.join(self.sources, "semihosting.c"), "-o",
            os.path.join(folder, "answers_of_it"))
        run(*emulator, "./answers_of_it", cwd=folder)
        return records(os.path.join(folder, "answers"))

    def cortex(self, core, buffer):
        folder = self.folder(core)
        flags = ["-mthumb", f"-mcpu={core}", "-Os", "-ffunction-sections", "-fdata-sections", *SMALL]
        run("arm-none-eabi-gcc", "-std=gnu11", "-ffreestanding", "-nostdlib", "-Wl,--gc-sections", *flags,
            "-DTHIRSTLINE_ON_ARM", f"-DTHIRSTLINE_TEST_BUFFER={buffer}", *self.include,
            *(os.path.join(self.sources, name) for name in ("answers.c", "semihosting.c", "start.c")), "-lgcc",
            "-T", os.path.join(self.sources, "firmware.ld"), "-o", os.path.join(folder, "firmware.elf"))
        run("qemu-system-arm", "-machine", CORTEX[core][0], "-nographic", "-icount", "shift=0",
            "-semihosting-config", "enable=on,target=native", "-kernel", "firmware.elf", cwd=folder)
        return records(os.path.join(folder, "answers"))

    def code_bytes(self, compiler, size, flags, functions):
        """What the reader's functions take, as calls of them need it, without the compiler's library."""
        path = os.path.join(self.options.folder, "calls.o")
        run(compiler, *STRICT, "-Os", *flags, *SMALL, *(f"-D{name}" for name in functions), "-I",
            self.options.source, "-c", os.path.join(self.options.source, "tests", "lookup", "embedded", "image_calls.c"),
            "-o", path)
        return int(run(size, path).splitlines()[1].split()[0])


def spread(values):
    return f"{min(values)} / {statistics.median(values):g} / {max(values)}" if values else "-"


def tell_costs(core, found, asked, code, image_bytes):
    """Prints what answers took on a microcontroller, and holds what must hold of it."""
    kinds = {"a cell": [], "the nearest point": [], "no data": [], "a code's cell": []}
    for one, record in zip(asked, found):
        of_code = one[12] != 0
        if record[0] == 0 and record[1] == 1:
            kinds["a code's cell" if of_code else "a cell"].append(record)
        elif record[0] == 0 and not of_code:
            kinds["the nearest point"].append(record)
        elif record[0] == 1 and not of_code:
            kinds["no data"].append(record)
    print(f"  {core}: code {code['all']} bytes (positions alone {code['positions']}, with elevations "
          f"{code['elevations']}); a handle of {found[0][9]} and an answer of {found[0][10]} bytes beside the stack")
    nanoseconds = CORTEX[core][1]
    for kind, those in kinds.items():
        print(f"    {kind}: {len(those)}; least / median / most: reads {spread([r[7] for r in those])}, bytes "
              f"{spread([r[8] for r in those])}, stack with the buffer {spread([r[6] for r in those])}, thousand "
              f"instructions {spread([round(r[5] * nanoseconds / 1000) for r in those])}")
    cells, codes = ([r[7] for r in kinds[kind]] for kind in ("a cell", "a code's cell"))
    assert statistics.median(cells) <= 3 and max(cells) <= 8, "reads by coordinates"
    assert statistics.median(codes) <= 7 and max(codes) <= 12, "reads by postal code"


def means_buffer(image):
    """What the callback needs for the means with the small reader: section 2 of IMAGE.md."""
    with open(image, "rb") as file:
        head = file.read(64)
    return (max(256, *(part + 3 for part in struct.unpack("<4H", head[56:64]))) + 3) // 4 * 4, len(head)


def compare_all(options, path, points, codes):
    generator = random.Random(20261128)
    database = Database(path, options.lookup)
    asked = questions_of(database, options.lookup, points, codes, generator)
    image = os.path.join(options.folder, "baseline.img")
    run(options.builder, "export", path, "--as", "image", "-o", image, "--overwrite")
    print(f"{os.path.basename(path)}: an image of {os.path.getsize(image)} bytes, {len(database.codes)} postal "
          f"codes; {len(asked)} questions")
    machines = Machines(options, image, asked)
    folder = machines.folder("library")
    run(options.library_answers, path, "questions", "answers", cwd=folder)
    expected = records(os.path.join(folder, "answers"))
    answered = sum(record[0] == 0 for record in expected)
    assert answered > len(asked) / 3, f"only {answered} of {len(asked)} questions have an answer"
    compare_with_command(options, database, asked, expected)

    subset = os.path.join(options.folder, "subset.sqlite")
    run(options.builder, "export", path, "--as", "sqlite", "-o", subset, "--overwrite", "--bbox", database.bbox)
    inside = [one for one, record in zip(asked, expected)
              if struct.unpack("<i", one[:4])[0] != 0 and record[0] == 0 and record[1] == 1]
    folder = Machines(options, image, inside).folder("subset")
    run(options.library_answers, subset, "questions", "answers", cwd=folder)
    compare("a subset", [r for one, r in zip(asked, expected) if one in set(inside)],
            records(os.path.join(folder, "answers")))

    compare("memory", expected, machines.hosted(
        "memory", options.cc, [f"-DTHIRSTLINE_FROM_MEMORY={os.path.getsize(image)}"]))
    compare("callback", expected, machines.hosted("callback", options.cc))
    compare("callback, small", expected, machines.hosted("small", options.cc, SMALL))
    if shutil.which("s390x-linux-gnu-gcc") and shutil.which("qemu-s390x"):
        compare("big-endian (s390x)", expected, machines.hosted(
            "big-endian", "s390x-linux-gnu-gcc", ["-static"], ["qemu-s390x"]))
    else:
        print("  big-endian: left out, without s390x-linux-gnu-gcc or qemu-s390x")
    buffer, _ = means_buffer(image)
    if shutil.which("arm-none-eabi-gcc") and shutil.which("qemu-system-arm"):
        for core in CORTEX:
            found = machines.cortex(core, buffer)
            compare(f"{core}", expected, found)
            flags = ["-mthumb", f"-mcpu={core}"]
            code = {name: machines.code_bytes("arm-none-eabi-gcc", "arm-none-eabi-size", flags, functions)
                    for name, functions in (("all", ("WITH_CODES", "WITH_TEXTS")), ("positions", ()),
                                            ("elevations", ("WITH_CODES", "WITH_TEXTS", "WITH_ELEVATIONS")))}
            tell_costs(core, found, asked, code, os.path.getsize(image))
    else:
        print("  Cortex-M: left out, without arm-none-eabi-gcc or qemu-system-arm")
    if shutil.which("avr-gcc"):
        print("  AVR: compiles, code of", machines.code_bytes(
            "avr-gcc", "avr-size", ["-mmcu=atmega2560"], ("WITH_CODES", "WITH_TEXTS")), "bytes")
    else:
        print("  AVR: left out, without avr-gcc")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--source", required=True)
    parser.add_argument("--builder", required=True)
    parser.add_argument("--lookup", required=True)
    parser.add_argument("--library-answers", required=True)
    parser.add_argument("--cc", default="cc")
    parser.add_argument("--recipe", help="to build and compare")
    parser.add_argument("--database", help="one that is built, instead")
    parser.add_argument("--points", type=int, default=10000)
    parser.add_argument("--codes", type=int, default=1000)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        options.folder = folder
        path = options.database
        if path is None:
            path = os.path.join(folder, "built.sqlite")
            run(options.builder, "build", options.recipe, "-o", path)
        compare_all(options, os.path.abspath(path), options.points, options.codes)
    return 0


if __name__ == "__main__":
    sys.exit(main())
