"""Holds the SQL functions of thirstline.so against thirstline-lookup, with Python's sqlite3.

    check_sql_extension.py --extension thirstline.so --lookup PROGRAM --builder PROGRAM

On the sample's file, plain and compact: the numbers of `batch` for thousands of random sites and every postal
code, and for every lattice point those of the plain file's own views, which are SQL alone. Then bad
arguments, damaged and changed files, what the extension exports, and the sqlite3 shell.
"""

import argparse
import math
import os
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import unittest
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "library"))
from installed_examples import COUNTRY, random_sites, run, sample_codes  # noqa: E402
from sample_answers import DAYS, MONTHLY, batch_rows, built, month_of_batch  # noqa: E402

RANDOM_SITES = 3000
DAMAGED_FILES = 150
FIXED = {"eto_mm": "eto_fixed", "rain_mm": "rain_fixed", "eto_se_mm": "eto_se_fixed",
         "rain_se_mm": "rain_se_fixed", "tmax_c": "tmax_fixed", "tmin_c": "tmin_fixed"}
UNITS = {"eto_mm": "eto_units_per_mm_per_day", "rain_mm": "rain_units_per_mm",
         "eto_se_mm": "eto_se_units_per_mm_per_day", "rain_se_mm": "rain_se_units_per_mm",
         "tmax_c": "tmax_units_per_degree", "tmin_c": "tmin_units_per_degree"}
VIEW_COLUMNS = ("tile_key, lattice_id, lat, lon, month, eto_mm, eto_mm_per_day, eto_se_mm, rain_mm, "
                "rain_se_mm, tmax_c, tmin_c, method_code")
PLACE = "44.603, -37.532"


def connected(extension, database=":memory:", uri=False):
    connection = sqlite3.connect(database, uri=uri)
    connection.enable_load_extension(True)
    connection.load_extension(str(extension))
    connection.enable_load_extension(False)
    return connection


class SqlExtension(unittest.TestCase):
    extension: Path
    lookup: Path
    files: dict
    folder: Path

    def setUp(self):
        self.connection = connected(self.extension)

    def tearDown(self):
        self.connection.close()

    def rows(self, sql, *values):
        return self.connection.execute(sql, values).fetchall()

    def compare_with_batch(self, database, header, sites, call, table_columns):
        """The SQL answers of all sites in one query, against the records of `batch`."""
        answers = batch_rows(self.lookup, database, header, sites)
        self.connection.execute("DROP TABLE IF EXISTS customer")
        self.connection.execute(f"CREATE TABLE customer(id INTEGER PRIMARY KEY, {table_columns})")
        marks = ", ".join("?" * (len(header) + 1))
        # An elevation too far from the terrain is a miss of `batch`, and an error here: tested apart.
        kept = [(number, *(value or None for value in site)) for number, site in enumerate(sites)
                if "terrain" not in answers[number]["reason"]]
        self.connection.executemany(f"INSERT INTO customer VALUES ({marks})", kept)
        columns = ", ".join(f"y.{name}" for name in [*MONTHLY, *FIXED.values()])
        found = {}
        for row in self.rows(
                f"SELECT customer.id, y.month, y.method, y.peak_month, y.distance_km, y.data_elevation_m, "
                f"{columns} FROM customer, {call} AS y", str(database)):
            found.setdefault(row[0], []).append(row[1:])
        self.assertEqual(sorted(found), [number for number, *_ in kept
                                         if answers[number]["found"] == "true"])
        [divisors] = self.rows(f"SELECT {', '.join(UNITS.values())} FROM thirstline_info(?)",
                               str(database))
        for number, months in found.items():
            answer = answers[number]
            self.assertEqual([month[0] for month in months], list(range(1, 13)))
            for month, method, peak, distance, elevation, *numbers in months:
                self.assertEqual(method, answer["method"])
                self.assertEqual(peak, int(answer["peak_month"]))
                self.assertEqual(Decimal(repr(distance)), Decimal(answer["distance_km"]))
                self.assertEqual(Decimal(repr(elevation)), Decimal(answer["elevation_m"]))
                expected = month_of_batch(answer, month)
                shown = [None if value is None else Decimal(repr(value)) for value in numbers[:6]]
                self.assertEqual(shown, expected, (number, month))
                exact = [None if value is None else Decimal(value) / divisor
                         * (DAYS[month - 1] if name.startswith("eto") else 1)
                         for name, value, divisor in zip(MONTHLY, numbers[6:], divisors)]
                self.assertEqual([None if value is None else
                                  value.quantize(Decimal("0.1"), ROUND_HALF_UP)
                                  for value in exact], expected, (number, month))
        return len(found)

    def test_sites_as_batch(self):
        sites = list(random_sites(RANDOM_SITES))
        for database in self.files.values():
            found = self.compare_with_batch(
                database, ["lat", "lon", "elevation_m"], sites,
                "thirstline_site(?, customer.lat, customer.lon, customer.elevation_m)",
                "lat REAL, lon REAL, elevation_m INTEGER")
            self.assertGreater(found, RANDOM_SITES / 4)

    def test_postal_codes_as_batch(self):
        codes = sample_codes()
        sites = [(code, country) for code in [*codes, "99999"] for country in ("", COUNTRY)]
        for database in self.files.values():
            found = self.compare_with_batch(
                database, ["postal", "country"], sites,
                "thirstline_postal(?, customer.postal, customer.country)", "postal TEXT, country TEXT")
            self.assertGreater(found, 1.5 * len(codes))

    def test_numbers_as_text(self):
        """As a table imported from CSV has them."""
        by_number = self.rows("SELECT month, eto_fixed, rain_fixed FROM thirstline_site(?, "
                              f"{PLACE}, 520)", str(self.files["plain"]))
        by_text = self.rows("SELECT month, eto_fixed, rain_fixed FROM thirstline_site(?, '44.603', "
                            "'-37.532', '520')", str(self.files["plain"]))
        self.assertEqual(len(by_number), 12)
        self.assertEqual(by_text, by_number)

    def test_points_as_plain_views(self):
        """The plain file's views are the reference: they decode tiles in SQL alone."""
        with sqlite3.connect(self.files["plain"]) as plain:
            expected = plain.execute(f"SELECT {VIEW_COLUMNS} FROM profile ORDER BY tile_key, lat, lon, "
                                     "month").fetchall()
            points = plain.execute("SELECT * FROM point ORDER BY tile_key, slot").fetchall()
            [(eto_divisor,)] = plain.execute("SELECT divisor FROM layer WHERE name = 'eto'")
        self.assertEqual(len(expected), 12 * 1423)
        # The compact file's tiles are larger: keys and slots differ.
        columns = VIEW_COLUMNS.replace("tile_key", "0")
        ties = 0
        for code, database in self.files.items():
            own = self.rows(f"SELECT {columns} FROM thirstline_points(?) ORDER BY lat, lon, month",
                            str(database))
            by_place = sorted(expected, key=lambda row: row[2:5])
            self.assertEqual(len(own), len(expected))
            for mine, theirs in zip(own, by_place):
                # SQLite's round() sees 154.65 as a little less; the programs round ties away from 0.
                for place in (5, 7):
                    if mine[place] != theirs[place]:
                        self.assertAlmostEqual(mine[place], theirs[place] + 0.1, places=9)
                        days = DAYS[mine[4] - 1]
                        if place == 5:
                            exact = round(mine[6] * eto_divisor) * days / eto_divisor * 10
                            self.assertEqual(exact % 1, Decimal("0.5"))
                        ties += 1
                self.assertEqual([value for place, value in enumerate(mine) if place not in (0, 5, 7)],
                                 [value for place, value in enumerate(theirs) if place not in (0, 5, 7)])
            if code == "plain":
                self.assertEqual(self.rows("SELECT tile_key, slot, lattice_id, lat, lon FROM "
                                           "thirstline_points(?) WHERE month = 1 ORDER BY tile_key, slot",
                                           str(database)), points)
        self.assertLess(ties, len(expected) / 10)

    def test_boxes_and_conditions_choose_points(self):
        path = str(self.files["compact"])
        everything = self.rows("SELECT lat, lon, month, eto_mm FROM thirstline_points(?)", path)

        def within(west, south, east, north):
            wraps = west > east
            return sorted(row for row in everything if south <= row[0] <= north and
                          (row[1] >= west or row[1] <= east if wraps else west <= row[1] <= east))
        boxes = [(-37.6, 44.5, -37.5, 44.7), (-37.5, 44, -38, 45.2), (-180, -90, 180, 90),
                 (170, 44.5, -37.6, 44.6), (-37.6, 44.5, 180, 44.7), (0, -90, 10, 90)]
        for box in boxes:
            rows = self.rows("SELECT lat, lon, month, eto_mm FROM thirstline_points(?, ?, ?, ?, ?)",
                             path, *box)
            self.assertEqual(sorted(rows), within(*box), box)
        self.assertTrue(within(*boxes[0]) and within(*boxes[1]) and not within(*boxes[5]))
        west, south, east, north = boxes[0]
        self.assertEqual(sorted(self.rows(
            "SELECT lat, lon, month, eto_mm FROM thirstline_points(?) WHERE lat BETWEEN ? AND ? AND "
            "lon >= ? AND lon <= ?", path, south, north, west, east)), within(*boxes[0]))
        lat, lon = everything[0][:2]
        self.assertEqual(self.rows("SELECT count(*) FROM thirstline_points(?) WHERE lat = ? AND lon = ?",
                                   path, lat, lon), [(12,)])
        self.assertEqual(self.rows("SELECT count(*) FROM thirstline_points(?) WHERE lat > ? AND lat < ?",
                                   path, lat, lat), [(0,)])
        [(key,)] = self.rows("SELECT max(tile_key) FROM thirstline_points(?)", path)
        self.assertEqual(
            self.rows("SELECT count(*), min(tile_key) FROM thirstline_points(?) WHERE tile_key = ?", path,
                      key),
            self.rows("SELECT count(*), max(tile_key) FROM thirstline_points(?) WHERE +tile_key = ?", path,
                      key))

    def test_views_of_the_opened_file(self):
        """The program has opened the file itself: its views show a compact one, too."""
        odd = self.folder / "Prüf 'ung.sqlite"
        shutil.copy(self.files["compact"], odd)
        for database, uri in ((str(self.files["compact"]), False), (str(odd), False),
                              (f"file:{self.files['plain']}?mode=ro", True)):
            connection = connected(self.extension, database, uri)
            self.assertEqual(connection.execute("SELECT count(*) FROM point").fetchall(), [(1423,)])
            self.assertEqual(connection.execute("SELECT count(*) FROM profile").fetchall(), [(12 * 1423,)])
            names = [column[0] for column in connection.execute("SELECT * FROM profile").description]
            self.assertEqual(", ".join(names), VIEW_COLUMNS)
            names = [column[0] for column in connection.execute("SELECT * FROM main.profile").description]
            self.assertEqual(", ".join(names), VIEW_COLUMNS)
            connection.close()
        with sqlite3.connect(self.files["compact"]) as without:
            self.assertEqual(without.execute("SELECT count(*) FROM point").fetchall(), [(0,)])

    def test_points_without_an_answer_have_no_row(self):
        path = str(self.files["plain"])
        for call in ("site(?, 0, 0)", f"site(?, NULL, {PLACE.split(',')[1]})", "postal(?, '99999')",
                     "postal(?, NULL)", "postal(?, NULL, 'XM')"):
            self.assertEqual(self.rows(f"SELECT * FROM thirstline_{call}", path), [], call)
        self.connection.execute("CREATE TABLE place(name, lat, lon)")
        self.connection.executemany("INSERT INTO place VALUES (?, ?, ?)",
                                    [("inside", 44.603, -37.532), ("outside", 0, 0)])
        self.assertEqual(self.rows(
            "SELECT name, count(y.month) FROM place LEFT JOIN thirstline_site(?, place.lat, place.lon) AS y "
            "ON true GROUP BY name ORDER BY name", path), [("inside", 12), ("outside", 0)])

    def assert_refused(self, sql, *parts, values=None):
        path = str(self.files["plain"])
        given = values if values is not None else [path] * sql.count("?")
        with self.assertRaises(sqlite3.OperationalError, msg=sql) as caught:
            self.rows(sql, *given)
        for part in parts:
            self.assertIn(part, str(caught.exception), sql)

    def test_bad_arguments(self):
        self.assert_refused("SELECT * FROM thirstline_site", "thirstline_site: the arguments must be file, lat")
        self.assert_refused("SELECT * FROM thirstline_site(?, 44.6)", "the arguments must be file, lat, lon")
        self.assert_refused("SELECT * FROM thirstline_site(?, 91, 0)", "thirstline_site: ", "91")
        self.assert_refused("SELECT * FROM thirstline_site(?, 44.6, 181)", "181")
        self.assert_refused("SELECT * FROM thirstline_site(?, 'here', -37)", 'lat must be a number, not "here"')
        self.assert_refused("SELECT * FROM thirstline_site(?, 'here', 'there')", "here")
        self.assert_refused("SELECT * FROM thirstline_site(?, x'00', 0)", "lat is a blob")
        self.assert_refused("SELECT * FROM thirstline_site(?, 9e999, 0)", "lat must be a number")
        self.assert_refused(f"SELECT * FROM thirstline_site(?, {PLACE}, 10001)", "10001")
        self.assert_refused(f"SELECT * FROM thirstline_site(?, {PLACE}, 9e99)", "elevation_m is")
        self.assert_refused(f"SELECT * FROM thirstline_site(?, {PLACE}, 'high')", "high")
        self.assert_refused(f"SELECT * FROM thirstline_site(?, {PLACE}, 5000)",
                            "above the terrain around the site", "the maximum adjustment is 1500 m")
        self.assert_refused("SELECT * FROM thirstline_postal(?, 4107)", "must be a text, not the number 4107",
                            "printf('%05d', code)")
        self.assert_refused("SELECT * FROM thirstline_postal(?, '')", "thirstline_postal: ")
        self.assert_refused("SELECT * FROM thirstline_postal(?, '04107', 'Merrow')", "Merrow")
        self.assert_refused("SELECT * FROM thirstline_postal(?, '04107', 7)", "must be two letters, not 7")
        for box in ("-38", "-38, 44, -37", "-38, 45, -37, 44", "-38, 44, -37, 91", "-181, 44, -37, 45",
                    "-38, 44, NULL, 45"):
            self.assert_refused(f"SELECT * FROM thirstline_points(?, {box})", "the box must be west, south")
        self.assert_refused("SELECT * FROM thirstline_points(?, -38, 44, 'x', 45)", 'east must be a number, not "x"')
        for function in ("site(?, 44.6, -37.5)", "postal(?, '04107')", "points(?)", "info(?)"):
            for value in (None, 7, "", "a\0b"):
                self.assert_refused(f"SELECT * FROM thirstline_{function}", "the file must be the path",
                                    values=[value])
        self.assert_refused("CREATE VIRTUAL TABLE t USING thirstline_site", "thirstline_site")

    def test_files_that_are_not_databases(self):
        text = self.folder / "text.sqlite"
        text.write_text("not a database\n" * 100)
        foreign = self.folder / "foreign.sqlite"
        foreign.unlink(missing_ok=True)
        with sqlite3.connect(foreign) as connection:
            connection.execute("CREATE TABLE tile(tile_key)")
        fifo = self.folder / "fifo"
        if not fifo.exists():
            os.mkfifo(fifo)
        for path, words in ((self.folder / "missing.sqlite", "missing.sqlite"),
                            (text, "is not a Thirstline database"),
                            (foreign, "not a Thirstline database"), (fifo, "is a pipe"), (self.folder, "is a folder")):
            for function in (f"site(?, {PLACE})", "postal(?, '04107')", "points(?)", "info(?)"):
                self.assert_refused(f"SELECT * FROM thirstline_{function}", path.name, words,
                                    values=[str(path)])

    def test_damaged_files_give_errors_or_the_same_numbers(self):
        drawn = random.Random(21)
        queries = [("SELECT month, eto_fixed, rain_fixed, tmax_fixed FROM thirstline_site(?, 44.9, -38.1)", ()),
                   ("SELECT month, eto_fixed, rain_fixed FROM thirstline_postal(?, '04107')", ()),
                   ("SELECT lat, lon, month, eto_mm, rain_mm, method_code, period FROM thirstline_points(?)", ())]
        refused = 0
        for code, database in self.files.items():
            whole = database.read_bytes()
            expected = [self.rows(sql, str(database)) for sql, _ in queries]
            damaged = self.folder / "damaged.sqlite"
            for _ in range(DAMAGED_FILES):
                content = bytearray(whole)
                for _ in range(drawn.randint(1, 3)):
                    content[drawn.randrange(len(content))] ^= 1 << drawn.randrange(8)
                if drawn.random() < 0.1:
                    del content[drawn.randrange(len(content)):]
                damaged.write_bytes(content)
                connection = connected(self.extension)
                for (sql, _), answer in zip(queries, expected):
                    try:
                        self.assertEqual(connection.execute(sql, (str(damaged),)).fetchall(), answer, code)
                    except sqlite3.OperationalError as error:
                        self.assertIn("damaged.sqlite", str(error))
                        refused += 1
                connection.close()
        self.assertGreater(refused, DAMAGED_FILES)

    @unittest.skipUnless(os.path.isdir("/proc/self/fd"), "there is no /proc, as in a new root folder")
    def test_files_are_opened_once(self):
        copy = self.folder / "once.sqlite"
        shutil.copy(self.files["plain"], copy)

        def descriptors():
            return sum(os.readlink(f"/proc/self/fd/{number}") == str(copy)
                       for number in os.listdir("/proc/self/fd")
                       if os.path.islink(f"/proc/self/fd/{number}"))
        for _ in range(5):
            self.rows(f"SELECT * FROM thirstline_site(?, {PLACE})", str(copy))
            self.rows("SELECT * FROM thirstline_points(?, -38, 44, -37.9, 44.1)", str(copy))
            self.rows("SELECT * FROM thirstline_info(?)", str(copy))
        self.assertEqual(descriptors(), 1)
        self.connection.close()
        self.assertEqual(descriptors(), 0)

    def test_changed_files(self):
        """A file that is overwritten gives an error, and the next query reads it again; one that is replaced
        by renaming is read as it was."""
        copy = self.folder / "changed.sqlite"
        query = f"SELECT month, eto_fixed FROM thirstline_site(?, {PLACE})"
        shutil.copy(self.files["plain"], copy)
        expected = self.rows(query, str(copy))
        other = self.folder / "other.sqlite"
        shutil.copy(self.files["compact"], other)
        os.replace(other, copy)
        self.assertEqual(self.rows(query, str(copy)), expected)
        self.connection.close()
        self.connection = connected(self.extension)
        self.assertEqual(self.rows(query, str(copy)), expected)
        copy.write_bytes(self.files["plain"].read_bytes())
        self.assert_refused(query, "changed", values=[str(copy)])
        self.assertEqual(self.rows(query, str(copy)), expected)

    def test_info(self):
        path = str(self.files["compact"])
        [(title, notice, units, sources)] = self.rows(
            "SELECT title, notice, eto_units_per_mm_per_day, json_array_length(info_json, '$.sources') "
            "FROM thirstline_info(?)", path)
        self.assertEqual(title, "Reference ET and rain of the Merrow valley")
        self.assertTrue(notice.startswith("A normal is not a forecast"))
        self.assertGreater(units, 0)
        printed = run(self.lookup, "info", "--db", path)
        self.assertEqual(sources, len(re.findall(r"^source \d", printed, re.MULTILINE)))

    def test_joins_in_either_order(self):
        """SQLite may put the function first only if its arguments are known."""
        path = str(self.files["plain"])
        self.connection.execute("CREATE TABLE customer(name, code, country, lat, lon, elevation_m, file)")
        self.connection.executemany("INSERT INTO customer(name, code) VALUES (?, ?)",
                                    [(f"customer {code}", code) for code in sample_codes()])
        forward = self.rows("SELECT name, y.annual_eto_mm FROM customer, thirstline_postal(?, code) AS y "
                            "WHERE month = 7 ORDER BY name", path)
        backward = self.rows("SELECT name, y.annual_eto_mm FROM thirstline_postal(?, code) AS y, customer "
                             "WHERE month = 7 ORDER BY name", path)
        self.assertGreater(len(forward), 5)
        self.assertEqual(forward, backward)

    def test_view_over_a_function(self):
        self.connection.execute(
            f"CREATE VIEW site AS SELECT month, eto_mm FROM thirstline_site('{self.files['plain']}', {PLACE})")
        self.assertEqual(len(self.rows("SELECT * FROM site")), 12)

    def test_only_the_entry_point_is_exported(self):
        names = [line.split()[2] for line in run("nm", "-D", "--defined-only", self.extension).splitlines()]
        self.assertEqual(names, ["sqlite3_thirstline_init"])
        needed = re.findall(r"\(NEEDED\).*\[(.+)\]", run("readelf", "--dynamic", self.extension))
        for name in needed:
            self.assertRegex(name, r"^(libsqlite3|libm|libgcc_s|libc|ld-linux[-\w]*)\.so\.\d+$")

    def test_shell(self):
        shell = shutil.which("sqlite3")
        if shell is None:
            self.skipTest("there is no sqlite3 shell")
        done = subprocess.run(
            [shell, ":memory:", "-cmd", f".load {self.extension}",
             f"SELECT month, eto_mm, rain_mm FROM thirstline_postal('{self.files['compact']}', '04107') "
             "WHERE month = 7"], capture_output=True, encoding="utf-8", check=True)
        [row] = self.rows("SELECT eto_mm, rain_mm FROM thirstline_postal(?, '04107') WHERE month = 7",
                          str(self.files["plain"]))
        self.assertEqual(done.stdout, f"7|{row[0]}|{row[1]}\n")
        self.assertTrue(math.isclose(row[0], 154.6))


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--extension", required=True, type=Path)
    parser.add_argument("--lookup", required=True, type=Path)
    parser.add_argument("--builder", required=True, type=Path)
    options, rest = parser.parse_known_args()
    if not hasattr(sqlite3.Connection, "enable_load_extension"):
        raise SystemExit("this Python's sqlite3 cannot load extensions")
    with tempfile.TemporaryDirectory() as name:
        SqlExtension.folder = Path(name)
        SqlExtension.extension = options.extension.resolve(strict=True)
        SqlExtension.lookup = options.lookup
        SqlExtension.files = {code: built(options.builder, Path(name), code) for code in ("plain", "compact")}
        program = unittest.main(argv=[sys.argv[0], *rest], exit=False)
    return 0 if program.result.wasSuccessful() else 1


if __name__ == "__main__":
    sys.exit(main())
