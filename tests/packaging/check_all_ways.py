"""Asks every way to read a file the same questions, and compares the answers with those of the C library.

    check_all_ways.py --build FOLDER [--points 500] [--codes 100] [--database FILE | --spacing-arcsec N]
        [--windows-program FILE.exe --wine-prefix FOLDER] [--playwright FOLDER]

The file is the sample's; or FILE; or, with --spacing-arcsec, the contiguous United States from the open data in
THIRSTLINE_OPEN_DATA (../shared/data by default). Random points lie over the lattice and a tenth beyond it, so that
some have no data; some codes are not in the file.

Of the exact integers (ETo, rain, their standard errors, temperatures; 12 each) every one must be equal in the C
library, Python, the SQL functions, the npm package in Node and in Chromium, and the embedded reader of an image.
`batch`, here and of the program for Windows in Wine, prints them rounded: its numbers must be the integers divided by
the layer's divisor (ETo times the days of the month), to one decimal, ties away from zero.

Then each way is asked for a latitude of 91, and gets damaged copies, with changed bits or truncated: it must say why it
refuses, or answer as from the whole file.
"""

import argparse
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import ways
from ways import DAYS, LAYERS, PROJECT, Question

sys.path.insert(0, str(PROJECT / "tests/external"))
import open_data  # noqa: E402

SKIPPED = 77
SEED = 33
QUESTIONS_OF_DAMAGED_FILES = 40
MISSING_CODES = ["00000", "99999", "ZZZ"]
BEYOND_THE_POLE = Question(910_000_000, -375_000_000)
LIBRARY_FOR_PYTHON = "libthirstline.so.0"
IMAGE_VARIABLES = "eto,rain,eto_se,rain_se,tmax,tmin,elevation"


def built_database(options, folder):
    if options.database:
        return options.database
    database = folder / "baseline.sqlite"
    recipe = PROJECT / "sample-inputs/merrow.toml"
    if options.spacing_arcsec:
        data = Path(os.environ.get("THIRSTLINE_OPEN_DATA", PROJECT.parent / "shared/data"))
        if not data.is_dir():
            print(f"skipped: there are no open data in {data}")
            sys.exit(SKIPPED)
        recipe = folder / "us.toml"
        recipe.write_text(open_data.conterminous_us(data, options.spacing_arcsec), encoding="utf-8")
    ways.output([options.build / "builder/thirstline-builder", "build", recipe, "-o", database])
    return database


def exported_image(options, database, folder):
    image = folder / "baseline.img"
    ways.output([options.build / "builder/thirstline-builder", "export", database, "--as", "image", "-o", image,
                 "--variables", IMAGE_VARIABLES])
    return image


def drawn_questions(database, points, codes):
    source = random.Random(SEED)
    with sqlite3.connect(f"file:{database}?mode=ro", uri=True) as connection:
        [(west, south, east, north)] = connection.execute(
            "SELECT min(west_arcsec), min(south_arcsec), max(west_arcsec + spacing_arcsec * (columns - 1)), "
            "max(south_arcsec + spacing_arcsec * (rows - 1)) FROM lattice")
        # image.h and the library's program are asked without a country.
        unique = [code for code, in connection.execute(
            "SELECT code FROM postal GROUP BY code HAVING count(*) = 1 ORDER BY code")]
    margin = (north - south) / 10

    def e7(low, high):
        return round(source.uniform(low, high) / 3600 * 1e7)
    asked = [Question(e7(south - margin, north + margin), e7(west - margin, east + margin)) for _ in range(points)]
    asked += [Question(code=code) for code in source.sample(unique, min(codes, len(unique)))]
    return asked + [Question(code=code) for code in MISSING_CODES]


def divisors(database):
    """Of the exact integers, which are hundredths of the stored ones."""
    with sqlite3.connect(f"file:{database}?mode=ro", uri=True) as connection:
        stored = dict(connection.execute("SELECT name, divisor FROM layer"))
    return [100 * stored[name] if name in stored else None for name in LAYERS]


def printed(answer, divisor_of):
    """As `batch` prints an answer."""
    if answer.values is None:
        return answer
    numbers = []
    for at, value in enumerate(answer.values):
        layer, month = divmod(at, 12)
        if value is not None:
            value = Decimal(value) * (DAYS[month] if layer in (0, 2) else 1) / divisor_of[layer]
            value = value.quantize(Decimal("0.1"), ROUND_HALF_UP)
        numbers.append(value)
    return answer._replace(values=tuple(numbers))


def ways_of(options, folder):
    """The reference first. What is not asked is named, with the reason."""
    build = options.build
    library = build / "lookup/library" / LIBRARY_FOR_PYTHON
    asked = [ways.CLibrary(folder, build / "tests/lookup/embedded/library_answers"),
             ways.Command(build / "lookup/thirstline-lookup"), ways.EmbeddedReader(folder, options.cc)]
    left_out = []
    try:
        import numpy  # noqa: F401
        asked.append(ways.PythonPackage(PROJECT / "lookup/python/source", library))
    except ImportError:
        left_out.append("Python: there is no NumPy")
    if hasattr(sqlite3.Connection, "enable_load_extension"):
        asked.append(ways.SqlExtension(build / "lookup/sql_extension/thirstline.so"))
    else:
        left_out.append("SQL: this Python's sqlite3 cannot load extensions")
    node, package = shutil.which("node") or shutil.which("nodejs"), build / "lookup/npm/package"
    if node and package.is_dir():
        asked.append(ways.NpmPackage(node, package))
    else:
        left_out.append("JavaScript, Node: there is no Node, or the package was not built")
    if options.playwright:
        asked.append(ways.NpmPackage(node, package, options.playwright))
    else:
        left_out.append("JavaScript, Chromium: no --playwright")
    if options.windows_program:
        asked.append(ways.Command(options.windows_program, options.wine_prefix.resolve()))
    else:
        left_out.append("Windows program, Wine: no --windows-program")
    return asked, left_out


def compare(way, path, questions, exact, rounded):
    """The number of answers that differ, of which the first are shown."""
    began = time.monotonic()
    expected = rounded if way.is_rounded else exact
    found = way.ask(path, questions)
    if len(found) != len(questions):
        raise SystemExit(f"{way.name}: {len(found)} answers to {len(questions)} questions")
    different = [number for number, pair in enumerate(zip(expected, found)) if pair[0] != pair[1]]
    for number in different[:3]:
        print(f"  {way.name}, {questions[number]}:\n    {found[number]}\n    and not\n    {expected[number]}")
    codes = sum(bool(one.code) for one in questions)
    values = sum(len(answer.values or ()) for answer in found)
    print(f"{way.name:24} {len(questions) - codes} points, {codes} codes, {values} "
          f"{'rounded numbers' if expected is rounded else 'integers'}: {len(different)} answers differ "
          f"({time.monotonic() - began:.1f} s)", flush=True)
    return len(different)


def check_latitude(way, path):
    """A status in the embedded reader, which has no texts; words in the others."""
    try:
        answers = way.ask(path, [BEYOND_THE_POLE])
    except ways.Refusal as refusal:
        if not isinstance(way, ways.Records) and "91" not in str(refusal):
            raise SystemExit(f"{way.name}: a latitude of 91 gives: {refusal}") from refusal
        return
    if answers != [ways.Answer()] or not isinstance(way, ways.EmbeddedReader):
        raise SystemExit(f"{way.name}: a latitude of 91 gives {answers}")


def damaged_copies(whole, path, count):
    """Writes one copy after the other: half of them truncated, the others with one changed bit or many."""
    source = random.Random(SEED)
    for number in range(count):
        content = bytearray(whole)
        if number % 2 == 0:
            del content[source.randrange(len(content)):]
        else:
            for _ in range(1 if number % 4 == 1 else max(3, len(content) // 2000)):
                content[source.randrange(len(content))] ^= 1 << source.randrange(8)
        path.unlink(missing_ok=True)
        path.write_bytes(content)
        yield path


def check_damage(way, path, questions, expected, folder):
    """Returns how many copies were refused, and of how many."""
    refused = 0
    for damaged in damaged_copies(path.read_bytes(), folder / f"damaged{path.suffix}", way.damaged_files):
        try:
            found = way.ask(damaged, questions)
        except ways.Refusal as refusal:
            if not str(refusal) or (way.of_file and damaged.name not in str(refusal)):
                raise SystemExit(f"{way.name}: a damaged file gives no reason, or does not name it: {refusal}"
                                 ) from refusal
            refused += 1
            continue
        if found != expected:
            raise SystemExit(f"{way.name}: a damaged file gives other numbers")
    if refused < way.damaged_files / 2:
        raise SystemExit(f"{way.name}: only {refused} of {way.damaged_files} damaged files were refused")
    return f"{refused} of {way.damaged_files}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", required=True, type=Path)
    parser.add_argument("--points", type=int, default=500)
    parser.add_argument("--codes", type=int, default=100)
    parser.add_argument("--database", type=Path)
    parser.add_argument("--spacing-arcsec", type=int)
    parser.add_argument("--cc", default="cc")
    parser.add_argument("--windows-program", type=Path)
    parser.add_argument("--wine-prefix", type=Path)
    parser.add_argument("--playwright", type=Path, help="the folder node_modules that has playwright-core")
    options = parser.parse_args()
    options.build = options.build.resolve(strict=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        database = built_database(options, folder)
        image = exported_image(options, database, folder)
        questions = drawn_questions(database, options.points, options.codes)
        asked, left_out = ways_of(options, folder)
        exact = asked[0].ask(database, questions)
        found = sum(answer.values is not None for answer in exact)
        if not len(questions) / 4 < found < len(questions) - len(MISSING_CODES) + 1:
            raise SystemExit(f"{found} of {len(questions)} questions have an answer: not a fair sample")
        print(f"a file of {database.stat().st_size} bytes, an image of {image.stat().st_size}: {found} of "
              f"{len(questions)} questions have an answer")
        divisor_of = divisors(database)
        rounded = [printed(answer, divisor_of) for answer in exact]
        few = slice(None, None, max(1, len(questions) // QUESTIONS_OF_DAMAGED_FILES))
        differences, refused = 0, {}
        try:
            for way in asked:
                path = database if way.of_file else image
                if way is not asked[0]:
                    differences += compare(way, path, questions, exact, rounded)
                check_latitude(way, path)
                refused[way.name] = check_damage(
                    way, path, questions[few], (rounded if way.is_rounded else exact)[few], folder)
        finally:
            if options.windows_program:
                subprocess.run([f"{ways.WINE.replace('wine64', 'wineserver64')}", "-k"], check=False,
                               env={**os.environ, "WINEPREFIX": str(options.wine_prefix.resolve())})
    for reason in left_out:
        print(f"not run: {reason}")
    print("each refuses a latitude of 91; damaged files that were refused, while the others gave the same answers: "
          + ", ".join(f"{way} {count}" for way, count in refused.items()))
    print(f"{len(asked) - 1} ways against the C library: {differences} answers differ")
    return 1 if differences else 0


if __name__ == "__main__":
    sys.exit(main())
