"""The ways to read a file or an image, each as a class that answers the same questions.

`ask(path, questions)` gives an Answer for each question; it raises Refusal, with the way's own words, if the way
refuses the file or the whole call.
"""

import csv
import io
import json
import os
import sqlite3
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple, Optional

PROJECT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(PROJECT / "tests/lookup/embedded"))
import compare_machines  # noqa: E402

LAYERS = ["eto", "rain", "eto_se", "rain_se", "tmax", "tmin"]
PRINTED = [f"{name}_{'c' if name.startswith('t') else 'mm'}" for name in LAYERS]
DAYS = [Decimal(days) for days in "31 28.25 31 30 31 30 31 31 30 31 30 31".split()]
PARTS = 3  # of an image: two of the layers each
UNKNOWN = -2 ** 31
OK, NO_DATA, USAGE = 0, 1, 2
WINE = "/usr/lib/wine/wine64"


class Question(NamedTuple):
    """A position in 1e-7 degree, or a postal code."""

    lat_e7: int = 0
    lon_e7: int = 0
    code: str = ""

    @property
    def lat(self):
        return Decimal(self.lat_e7).scaleb(-7)

    @property
    def lon(self):
        return Decimal(self.lon_e7).scaleb(-7)


class Answer(NamedTuple):
    """`values`: twelve of each of LAYERS, None where not known. Without an answer both are None."""

    distance_m: Optional[int] = None
    values: Optional[tuple] = None


class Refusal(Exception):
    """What a way says instead of answers."""


def known(value):
    return None if value == UNKNOWN else value


def split(questions):
    """Numbers of the positions, and of the codes."""
    numbers = range(len(questions))
    return ([number for number in numbers if not questions[number].code],
            [number for number in numbers if questions[number].code])


def output(words, *, given=None, may_miss=False, **more):
    done = subprocess.run([str(word) for word in words], input=given, capture_output=True, encoding="utf-8",
                          check=False, **more)
    if done.returncode != 0 and not (may_miss and done.returncode == NO_DATA):
        raise Refusal(done.stderr.strip() or f"exit status {done.returncode}")
    return done.stdout


class Way:
    """of_file: reads the file, not its image. is_rounded: gives decimals, not integers. damaged_files: how many it is
    tested with."""

    of_file = True
    is_rounded = False
    damaged_files = 12


class Records(Way):
    """A program of tests/lookup/embedded that reads records of questions and writes records of answers."""

    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(exist_ok=True)

    def command(self, path):
        raise NotImplementedError

    def ask(self, path, questions):
        with (self.folder / "questions").open("wb") as file:
            for one in questions:
                for part in range(PARTS):
                    file.write(compare_machines.question(one.lat_e7, one.lon_e7, part, one.code))
        (self.folder / "answers").unlink(missing_ok=True)
        output(self.command(path), cwd=self.folder)
        found = compare_machines.records(self.folder / "answers")
        return [self.answer(found[at:at + PARTS]) for at in range(0, len(found), PARTS)]

    def answer(self, parts):
        statuses = {part[0] for part in parts}
        if len(statuses) > 1 or not statuses <= {0, 1, 2}:
            raise Refusal(f"statuses {sorted(statuses)}")
        if statuses != {OK}:
            return Answer()
        words = [word for part in parts for word in part[11:35]]
        return Answer(parts[0][2], tuple(known(word - 2 ** 32 if word >= 2 ** 31 else word) for word in words))


class CLibrary(Records):
    name = "C library"

    def __init__(self, folder, program):
        super().__init__(folder / "library")
        self.program = program

    def command(self, path):
        return [self.program, path, "questions", "answers"]


class EmbeddedReader(Records):
    name = "embedded image, image.h"
    of_file = False

    def __init__(self, folder, compiler):
        super().__init__(folder / "embedded")
        sources = PROJECT / "tests/lookup/embedded/firmware"
        output([compiler, "-std=gnu11", "-O2", "-DTHIRSTLINE_TEST_BUFFER=4096", "-I", PROJECT, "-I", sources,
                sources / "answers.c", sources / "semihosting.c", "-o", self.folder / "answers_of_it"])

    def command(self, path):
        # The program opens the file `image` of its folder.
        image = self.folder / "image"
        image.unlink(missing_ok=True)
        os.link(path, image)
        return ["./answers_of_it"]


class PythonPackage(Way):
    name = "Python"

    def __init__(self, package, library):
        sys.path.insert(0, str(package))
        os.environ["THIRSTLINE_LIBRARY"] = str(library)
        import thirstline
        self.thirstline = thirstline

    def ask(self, path, questions):
        try:
            with self.thirstline.Baseline(path) as baseline:
                return self.answers(baseline, questions)
        except self.thirstline.ThirstlineError as error:
            raise Refusal(str(error)) from error

    def answers(self, baseline, questions):
        positions, codes = split(questions)
        answers = [Answer()] * len(questions)
        arrays = baseline.many([float(questions[number].lat) for number in positions],
                               [float(questions[number].lon) for number in positions])
        if USAGE in arrays.status:
            one = questions[positions[arrays.status.tolist().index(USAGE)]]
            baseline.site(float(one.lat), float(one.lon))  # raises the reason
        layers = [getattr(arrays, f"{name}_fixed").tolist() for name in LAYERS]
        distances = arrays.distance_km.tolist()
        for at, number in enumerate(positions):
            if arrays.status[at] == OK:
                answers[number] = Answer(round(distances[at] * 1000), tuple(
                    known(value) for layer in layers for value in layer[at]))
        info = baseline.info
        divisors = [info.eto_units_per_mm_per_day, info.rain_units_per_mm, info.eto_se_units_per_mm_per_day,
                    info.rain_se_units_per_mm, info.tmax_units_per_degree, info.tmin_units_per_degree]
        for number in codes:
            try:
                answers[number] = self.of_site(baseline.postal(questions[number].code), divisors)
            except self.thirstline.NoDataError:
                pass
        return answers

    @staticmethod
    def of_site(site, divisors):
        """The doubles are integer / divisor, of ETo times days: the integer is exact again."""
        values = []
        for name, divisor in zip(PRINTED, divisors):
            for month in site.months:
                value = getattr(month, name)
                exact = None if value is None else value * divisor / (month.days if name.startswith("eto") else 1)
                values.append(exact if exact is None else round(exact))
                if exact is not None and abs(exact - round(exact)) > 1e-6:
                    raise AssertionError(f"{name} of {site} is not an exact integer: {exact}")
        return Answer(round(site.distance_km * 1000), tuple(values))


class SqlExtension(Way):
    name = "SQL"

    def __init__(self, extension):
        self.extension = str(extension)

    def ask(self, path, questions):
        connection = sqlite3.connect(":memory:")
        connection.enable_load_extension(True)
        connection.load_extension(self.extension)
        connection.execute("CREATE TABLE question(id INTEGER PRIMARY KEY, lat REAL, lon REAL, code TEXT)")
        connection.executemany("INSERT INTO question VALUES (?, ?, ?, ?)", [
            (number, None if one.code else float(one.lat), None if one.code else float(one.lon), one.code or None)
            for number, one in enumerate(questions)])
        columns = ", ".join(f"y.{name}_fixed" for name in LAYERS)
        months = {}
        try:
            for function, arguments in (("site", "lat, lon"), ("postal", "code")):
                for number, distance_km, *values in connection.execute(
                        f"SELECT id, y.distance_km, {columns} FROM question, thirstline_{function}(?, {arguments}) AS y "
                        "ORDER BY id, y.month", (str(path),)):
                    months.setdefault(number, []).append((distance_km, values))
        except sqlite3.OperationalError as error:
            raise Refusal(str(error)) from error
        finally:
            connection.close()
        answers = [Answer()] * len(questions)
        for number, rows in months.items():
            layers = zip(*(values for _, values in rows))
            answers[number] = Answer(round(rows[0][0] * 1000), tuple(value for layer in layers for value in layer))
        return answers


class NpmPackage(Way):
    """In Node, or in Chromium with `modules`, the folder of playwright-core."""

    of_file = False

    def __init__(self, node, package, modules=None):
        self.name = "JavaScript, Chromium" if modules else "JavaScript, Node"
        if modules:  # the same reader, and a browser takes seconds to start
            self.damaged_files = 2
        self.words = [node, PROJECT / "tests/lookup/npm/print_package_answers.mjs", "--package", package]
        self.words += ["--in", "chromium"] if modules else []
        self.environment = {**os.environ, **({"NODE_PATH": str(modules)} if modules else {})}

    def ask(self, path, questions):
        # A number of 1e-7 degree divided by 1e7 is the double nearest to the decimal.
        asked = [{"code": one.code} if one.code else {"lat": one.lat_e7 / 1e7, "lon": one.lon_e7 / 1e7}
                 for one in questions]
        found = json.loads(output([*self.words, "--image", path], given=json.dumps(asked), env=self.environment))
        return [Answer(one["distance_m"], tuple(value for name in LAYERS for value in one["layers"][name])) if one
                else Answer() for one in found]


class Command(Way):
    """`batch`, which prints numbers rounded to one decimal."""

    is_rounded = True

    def __init__(self, program, wine_prefix=None):
        self.name = "Windows program, Wine" if wine_prefix else "command"
        self.words = [WINE, program] if wine_prefix else [program]
        self.environment = {**os.environ, "LC_ALL": "C.UTF-8"}
        if wine_prefix:
            self.environment |= {"WINEPREFIX": str(wine_prefix), "WINEDEBUG": "-all",
                                 "WINEDLLOVERRIDES": "mscoree,mshtml="}
            self.environment.pop("DISPLAY", None)

    def ask(self, path, questions):
        table = io.StringIO()
        csv.writer(table, lineterminator="\n").writerows([["lat", "lon", "postal"], *(
            ["", "", one.code] if one.code else [one.lat, one.lon, ""] for one in questions)])
        return [self.answer(row) for row in csv.DictReader(io.StringIO(self.batch(path, table.getvalue())))]

    def batch(self, path, table, attempts=3):
        try:
            return output([*self.words, "batch", "--db", path, "--input", "-"], given=table, may_miss=True,
                          env=self.environment)
        except Refusal as refusal:
            # Processes of Wine beside the program share its errors.
            if attempts > 1 and str(refusal).startswith("wine: "):
                return self.batch(path, table, attempts - 1)
            raise

    @staticmethod
    def answer(row):
        if row["found"] != "true":
            if not row["reason"].startswith("the file has no "):  # not a miss: the question is not valid
                raise Refusal(row["reason"] or f"no reason in {row}")
            return Answer()
        return Answer(int(Decimal(row["distance_km"]) * 1000), tuple(
            Decimal(text) if (text := row[f"{name}_{month:02}"]) else None for name in PRINTED
            for month in range(1, 13)))
