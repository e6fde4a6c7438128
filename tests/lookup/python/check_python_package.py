"""Holds the Python package against thirstline-lookup, as a program uses it.

    check_python_package.py --package FOLDER --library libthirstline.so.0 --lookup PROGRAM --builder PROGRAM
        [--distributions FOLDER]

FOLDER contains the package thirstline, from the source tree or installed. On the sample's file, plain and compact:
the numbers of `batch` for thousands of random sites and every postal code, one by one and in arrays, and the JSON of
`site` and `demand` (json_reports.py). Then bad questions, damaged files, threads, the structs against the header,
README's program, the example, and with --distributions the wheel and the source distribution.
"""

import argparse
import ctypes
import math
import os
import random
import re
import subprocess
import sys
import tarfile
import tempfile
import threading
import unittest
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[2]
sys.path.insert(0, str(HERE.parent / "library"))
from installed_examples import COUNTRY, random_sites, run, sample_codes  # noqa: E402
from json_reports import PLACE, ZONES, JsonReports  # noqa: E402
from sample_answers import MONTHLY, batch_rows, built, month_of_batch  # noqa: E402

try:
    import numpy as np
except ImportError:
    np = None

RANDOM_SITES = 4000
SITES_ONE_BY_ONE = 500
DAMAGED_FILES = 150
CHUNKS = 70_000  # sites that need several chunks of work


def as_printed(value):
    """To one decimal, ties of the exact decimal away from zero: doubles here have fewer than 12 decimals."""
    if value is None or math.isnan(value):
        return None
    return Decimal(f"{value:.9f}").quantize(Decimal("0.1"), ROUND_HALF_UP) + Decimal(0)


def or_nan(value):
    return math.nan if value is None else value


class PythonPackage(JsonReports, unittest.TestCase):
    options: argparse.Namespace
    folder: Path
    files: dict

    def setUp(self):
        self.baseline = thirstline.Baseline(self.files["plain"])

    def tearDown(self):
        self.baseline.close()

    def test_structs_as_the_header(self):
        """Names and kinds of every member, in order."""
        header = (PROJECT / "lookup/include/thirstline/thirstline.h").read_text(encoding="utf-8")
        header = re.sub(r"/\*.*?\*/", "", header, flags=re.DOTALL)
        kinds = {"size_t": ctypes.c_size_t, "int32_t": ctypes.c_int32, "int64_t": ctypes.c_int64,
                 "double": ctypes.c_double, "const char*": ctypes.c_char_p, "char": ctypes.c_char,
                 "int32_t*": ctypes.POINTER(ctypes.c_int32)}
        from thirstline import structs
        kinds["thirstline_lat_lon"] = structs.LatLon
        ours = {"thirstline_error": structs.Error, "thirstline_lat_lon": structs.LatLon,
                "thirstline_site": structs.Site, "thirstline_query": structs.Query,
                "thirstline_json_options": structs.JsonOptions, "thirstline_site_arrays": structs.Arrays,
                "thirstline_baseline": structs.Baseline, "thirstline_source": structs.Source,
                "thirstline_station": structs.Station}
        for name, struct in ours.items():
            body = re.search(rf"typedef struct {name} {{(.*?)}} {name};", header, re.DOTALL)[1]
            expected = []
            for kind, member, length in re.findall(r"((?:const )?\w+\*?) (\w+)(?:\[(\d+)\])?;", body):
                expected.append((member, kinds[kind] * int(length) if length else kinds[kind]))
            self.assertEqual(list(struct._fields_), expected, name)

    def test_library_name(self):
        from thirstline import native
        soname = re.search(r"\(SONAME\).*\[(.+)\]", run("readelf", "--dynamic", self.options.library))[1]
        self.assertEqual(native.LIBRARY, soname)
        version = re.search(r"project\(thirstline VERSION (\S+)",
                            (PROJECT / "CMakeLists.txt").read_text(encoding="utf-8"))
        self.assertEqual(thirstline.library_version(), version[1])

    def assert_site(self, site, answer):
        self.assertEqual(site.method, answer["method"])
        self.assertEqual(site.peak_month, int(answer["peak_month"]))
        self.assertEqual(Decimal(repr(site.distance_km)), Decimal(answer["distance_km"]))
        self.assertEqual(Decimal(repr(thirstline.rounded(site.data_elevation_m, 1))), Decimal(answer["elevation_m"]))
        for month in site.months:
            shown = [as_printed(getattr(month, name)) for name in MONTHLY]
            self.assertEqual(shown, month_of_batch(answer, month.month))
            rounded = [thirstline.rounded(getattr(month, name), 1) for name in MONTHLY]
            self.assertEqual([None if value is None else Decimal(repr(value)) for value in rounded], shown)

    def test_sites_as_batch(self):
        sites = list(random_sites(SITES_ONE_BY_ONE))
        for file in self.files.values():
            found = 0
            with thirstline.Baseline(file) as baseline:
                for site, answer in zip(sites, batch_rows(self.options.lookup, file,
                                                          ["lat", "lon", "elevation_m"], sites)):
                    lat, lon, elevation = float(site[0]), float(site[1]), int(site[2]) if site[2] else None
                    if answer["found"] == "true":
                        self.assert_site(baseline.site(lat, lon, elevation), answer)
                        found += 1
                    else:
                        refused = thirstline.QuestionError if "terrain" in answer["reason"] else thirstline.NoDataError
                        with self.assertRaises(refused) as caught:
                            baseline.site(lat, lon, elevation)
                        self.assertEqual(caught.exception.message, answer["reason"])
            self.assertGreater(found, SITES_ONE_BY_ONE / 4)

    def test_postal_codes_as_batch(self):
        codes = [(code, country) for code in [*sample_codes(), "99999"] for country in ("", COUNTRY)]
        found = 0
        for (code, country), answer in zip(codes, batch_rows(self.options.lookup, self.files["plain"],
                                                             ["postal", "country"], codes)):
            if answer["found"] == "true":
                site = self.baseline.postal(code, country or None)
                self.assert_site(site, answer)
                self.assertEqual((site.postal, site.country), (code, COUNTRY))
                found += 1
            else:
                with self.assertRaises(thirstline.NoDataError):
                    self.baseline.postal(code, country or None)
        self.assertGreater(found, len(codes) / 2)

    @unittest.skipIf(np is None, "there is no NumPy")
    def test_arrays_as_batch(self):
        sites = list(random_sites(RANDOM_SITES))
        lat, lon = (np.array([float(site[place]) for site in sites]) for place in (0, 1))
        elevation = np.array([float(site[2]) if site[2] else np.nan for site in sites])
        for file in self.files.values():
            answers = batch_rows(self.options.lookup, file, ["lat", "lon", "elevation_m"], sites)
            with thirstline.Baseline(file) as baseline:
                arrays = baseline.many(lat, lon, elevation)
            self.assertEqual(arrays.eto_mm.shape, (RANDOM_SITES, 12))
            self.assertEqual(arrays.eto_mm.dtype, np.float64)
            months = {name: getattr(arrays, name) for name in MONTHLY}
            for index, answer in enumerate(answers):
                self.assertEqual(arrays.found[index], answer["found"] == "true")
                if not arrays.found[index]:
                    self.assertTrue(all(np.isnan(values[index]).all() for values in months.values()))
                    continue
                self.assertEqual(arrays.peak_month[index], int(answer["peak_month"]))
                for month in range(12):
                    shown = [as_printed(values[index, month]) for values in months.values()]
                    self.assertEqual(shown, month_of_batch(answer, month + 1))

    @unittest.skipIf(np is None, "there is no NumPy")
    def test_arrays_as_sites(self):
        """Every array against the one-by-one answer, to the last bit; threads do not matter."""
        drawn = np.random.default_rng(22)
        lat, lon = drawn.uniform(43.8, 45.4, CHUNKS), drawn.uniform(-38.8, -36.8, CHUNKS)
        elevation = np.where(drawn.random(CHUNKS) < 0.5, np.nan, np.rint(drawn.uniform(-900, 2500, CHUNKS)))
        arrays = self.baseline.many(lat, lon, elevation)
        single = self.baseline.many(lat, lon, elevation, jobs=1)
        for name in ("eto_fixed", "rain_se_fixed", "tmin_fixed", "method_codes", "status", "distance_km"):
            np.testing.assert_array_equal(getattr(arrays, name), getattr(single, name))
        monthly = ["eto_mm", "eto_mm_per_day", "eto_se_mm", "rain_mm", "rain_se_mm", "tmax_c", "tmin_c",
                   "percent_of_peak"]
        scalar = ["annual_eto_mm", "annual_rain_mm", "peak_month", "distance_km", "data_elevation_m",
                  "shifted_by_m", "point_lat", "point_lon"]
        found = 0
        for index in range(0, CHUNKS, 97):
            try:
                site = self.baseline.site(lat[index], lon[index],
                                          None if np.isnan(elevation[index]) else elevation[index])
            except thirstline.NoDataError:
                self.assertEqual(arrays.status[index], 1)
                continue
            except thirstline.QuestionError as error:
                self.assertIn("the maximum adjustment is 1500 m", error.message)
                self.assertEqual(arrays.status[index], 2)
                continue
            found += 1
            self.assertEqual(arrays.status[index], 0)
            for name in monthly:
                np.testing.assert_array_equal([or_nan(getattr(month, name)) for month in site.months],
                                              getattr(arrays, name)[index], name)
            for name in scalar:
                np.testing.assert_array_equal(or_nan(getattr(site, name)), getattr(arrays, name)[index], name)
        self.assertGreater(found, 200)

    @unittest.skipIf(np is None, "there is no NumPy")
    def test_shapes_and_tables(self):
        lat = np.array([[44.6, 44.7, 91.0], [44.8, np.nan, 0.0]])
        grid = self.baseline.many(lat, -37.5)
        self.assertEqual(grid.shape, (2, 3))
        self.assertEqual(grid.rain_mm.shape, (2, 3, 12))
        self.assertEqual(grid.status.tolist(), [[0, 0, 2], [0, 2, 1]])
        self.assertTrue(np.isnan(grid.annual_eto_mm[0, 2]) and np.isnan(grid.percent_of_peak[1, 1, 0]))
        self.assertEqual(grid.peak_month[1, 2], 0)
        one = self.baseline.many(*PLACE)
        self.assertEqual(one.eto_mm.shape, (12,))
        self.assertEqual(one.peak_month, 7)
        self.assertEqual(self.baseline.many([], []).eto_mm.shape, (0, 12))
        table = {"lat": [44.6, 44.7], "lon": [-37.5, -37.5], "elevation_m": [700, np.nan]}
        structured = np.array(list(zip(*table.values())), dtype=[(name, float) for name in table])
        expected = self.baseline.many(table["lat"], table["lon"], table["elevation_m"]).eto_fixed
        np.testing.assert_array_equal(self.baseline.many(table).eto_fixed, expected)
        np.testing.assert_array_equal(self.baseline.many(structured).eto_fixed, expected)
        without = self.baseline.many({"lat": table["lat"], "lon": table["lon"]}).eto_fixed
        self.assertFalse((without == expected)[0].all())
        strided = np.arange(88, dtype=float).reshape(44, 2)[::-1][:, 0]
        self.assertEqual(self.baseline.many(strided, strided).shape, (44,))
        high = self.baseline.many([44.6] * 3, [-37.5] * 3, [1e300, -1e9, 20_000])
        self.assertEqual(high.status.tolist(), [2, 2, 2])

    def test_file_from_bytes(self):
        content = self.files["compact"].read_bytes()
        for held in (content, bytearray(content), memoryview(content)):
            with thirstline.Baseline.from_bytes(held) as baseline:
                del held
                self.assertEqual(baseline.site(*PLACE), self.baseline.site(*PLACE))
                baseline.verify()
        for other in (b"", b"not a database" * 1000, content[:-4096]):
            with self.assertRaises(thirstline.BadFileError):
                thirstline.Baseline.from_bytes(other).verify()
        with self.assertRaises(thirstline.QuestionError):
            thirstline.Baseline.from_bytes("merrow.sqlite")

    def test_bad_questions(self):
        cases = [(lambda: self.baseline.site(91, 0), "91"), (lambda: self.baseline.site(0, 181), "181"),
                 (lambda: self.baseline.site(math.nan, 0), "finite"),
                 (lambda: self.baseline.site("here", 0), "lat must be a number, not 'here'"),
                 (lambda: self.baseline.site(*PLACE, 10_001), "10001"),
                 (lambda: self.baseline.site(*PLACE, 1e300), "elevation_m is 1e+300"),
                 (lambda: self.baseline.site(*PLACE, math.nan), "elevation_m is nan"),
                 (lambda: self.baseline.postal(""), ""), (lambda: self.baseline.postal(4107), "must be a text"),
                 (lambda: self.baseline.postal("04\x00107"), "zero bytes"),
                 (lambda: self.baseline.postal("04107", "Merrow"), "Merrow"),
                 (lambda: self.baseline.stations(*PLACE, most=-1), "most is -1"),
                 (lambda: self.baseline.site_report(91, 0), "91"),
                 (lambda: self.baseline.site_report(), "give lat and lon"),
                 (lambda: self.baseline.site_report(44.6), "give lat and lon"),
                 (lambda: self.baseline.site_report(*PLACE, postal="04107"), "not both"),
                 (lambda: self.baseline.site_report(*PLACE, country="XM"), "belongs to a postal code"),
                 (lambda: self.baseline.site_report(*PLACE, year=101), "101"),
                 (lambda: self.baseline.site_report(*PLACE, year=None), "year must be a number"),
                 (lambda: self.baseline.site_report(*PLACE, step="hour"), 'step must be month, week or day, not "hour"'),
                 (lambda: self.baseline.site_report(*PLACE, own_record="month\n"), "own_record"),
                 (lambda: self.baseline.demand("[[zone]]\nplantings = 1\n", *PLACE), "zones:2: "),
                 (lambda: self.baseline.demand(b"", *PLACE), "zones must be a text"),
                 (lambda: thirstline.Baseline("a\0b"), "zero byte")]
        if np is not None:
            cases += [(lambda: self.baseline.many([1, 2], [1, 2, 3]), "one shape"),
                      (lambda: self.baseline.many(["a"], [1]), "arrays of numbers"),
                      (lambda: self.baseline.many([1.0]), "columns lat and lon"),
                      (lambda: self.baseline.many({"lat": [1.0]}), "columns lat and lon"),
                      (lambda: self.baseline.many([1], [1], jobs=300), "jobs is 300")]
        for question, words in cases:
            with self.assertRaises(thirstline.QuestionError, msg=words) as caught:
                question()
            self.assertIn(words, str(caught.exception))
            self.assertIsInstance(caught.exception, (thirstline.ThirstlineError, ValueError))

    def test_files_that_are_not_databases(self):
        text = self.folder / "text.sqlite"
        text.write_text("not a database\n" * 100)
        for path, kind in ((self.folder / "missing.sqlite", thirstline.FileAccessError),
                           (self.folder, thirstline.FileAccessError), (text, thirstline.BadFileError)):
            with self.assertRaises(kind) as caught:
                thirstline.Baseline(path)
            self.assertIn(str(path), str(caught.exception))
        self.assertTrue(issubclass(thirstline.FileAccessError, OSError))

    def test_ambiguous_code(self):
        recipe = self.folder / "inputs" / "two.toml"
        text = (self.folder / "inputs" / "plain.toml").read_text(encoding="utf-8")
        postal = text[text.index("[[postal]]"):]
        recipe.write_text(text + postal.replace(f'"{COUNTRY}"', '"XQ"'), encoding="utf-8")
        run(self.options.builder, "build", recipe, "-o", self.folder / "two.sqlite", "--overwrite")
        with thirstline.Baseline(self.folder / "two.sqlite") as baseline:
            with self.assertRaises(thirstline.AmbiguousPostalCodeError) as caught:
                baseline.postal("04107")
            self.assertEqual(caught.exception.countries, (COUNTRY, "XQ"))
            self.assertEqual(baseline.postal("04107", "XQ").country, "XQ")

    def test_closed_and_changed_files(self):
        self.baseline.close()
        self.baseline.close()
        with self.assertRaises(thirstline.QuestionError):
            self.baseline.site(*PLACE)
        copy = self.folder / "changed.sqlite"
        copy.write_bytes(self.files["plain"].read_bytes())
        with thirstline.Baseline(copy) as baseline:
            kept = baseline.site(*PLACE)
            copy.write_bytes(self.files["compact"].read_bytes())
            with self.assertRaises(thirstline.FileAccessError):
                baseline.site(*PLACE)
        self.assertEqual(kept.peak_month, 7)

    def test_damaged_files_give_errors_or_the_same_numbers(self):
        drawn = random.Random(23)
        damaged = self.folder / "damaged.sqlite"
        refused = 0
        for file in self.files.values():
            whole = file.read_bytes()
            with thirstline.Baseline(file) as baseline:
                expected = baseline.site(*PLACE), baseline.postal("04103")
            for _ in range(DAMAGED_FILES):
                content = bytearray(whole)
                for _ in range(drawn.randint(1, 3)):
                    content[drawn.randrange(len(content))] ^= 1 << drawn.randrange(8)
                damaged.write_bytes(content)
                try:
                    with thirstline.Baseline(damaged) as baseline:
                        self.assertEqual((baseline.site(*PLACE), baseline.postal("04103")), expected)
                        if np is not None:
                            baseline.many(np.linspace(44, 45.2, 200), np.linspace(-38.6, -37, 200))
                        baseline.verify()
                except (thirstline.BadFileError, thirstline.FileAccessError) as error:
                    self.assertIn("damaged.sqlite", str(error))
                    refused += 1
        self.assertGreater(refused, DAMAGED_FILES)

    def test_one_file_is_used_by_several_threads(self):
        answers, sites = [], [(44.1 + number * 0.02, -38.0) for number in range(50)]

        def ask():
            answers.append([self.answer_or_none(*site) for site in sites])
        threads = [threading.Thread(target=ask) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(len(answers), 4)
        self.assertEqual(answers, [[self.answer_or_none(*site) for site in sites]] * 4)

    def answer_or_none(self, lat, lon):
        try:
            return self.baseline.site(lat, lon)
        except thirstline.NoDataError:
            return None

    def test_info_and_stations(self):
        info = self.baseline.info
        self.assertEqual(info.title, "Reference ET and rain of the Merrow valley")
        printed = run(self.options.lookup, "info", "--db", self.files["plain"])
        self.assertEqual(len(info.sources), len(re.findall(r"^source \d", printed, re.MULTILINE)))
        self.assertTrue(info.notice in printed.replace("\n", " ") and info.sources[0].licence)
        stations = self.baseline.stations(*PLACE, most=4)
        self.assertEqual([station.name for station in stations][:1], ["Ostrey Bridge Works"])
        self.assertAlmostEqual(sum(station.weight for station in stations), 1)
        self.assertEqual(self.baseline.stations(*PLACE, most=0), [])
        self.assertEqual(self.baseline.site(*PLACE).notice, info.notice)

    def program(self, code, **environment):
        return subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, encoding="utf-8", check=False,
                              cwd=self.folder, env={**os.environ, "PYTHONPATH": str(self.options.package),
                                                    **environment})

    def test_missing_library(self):
        done = self.program("import thirstline\ntry:\n    thirstline.Baseline('x')\n"
                            "except thirstline.LibraryError as error:\n    print(error)",
                            THIRSTLINE_LIBRARY="/nowhere/libthirstline.so")
        self.assertRegex(done.stdout, r"^/nowhere/libthirstline.so cannot be loaded: .*; install libthirstline0")

    def test_sites_without_numpy(self):
        done = self.program("import sys; sys.modules['numpy'] = None\nimport thirstline\n"
                            f"print(thirstline.Baseline('plain.sqlite').site{PLACE}.peak_month)")
        self.assertEqual(done.stdout, "7\n", done.stderr)

    @unittest.skipIf(np is None, "there is no NumPy")
    def test_readme_of_the_package(self):
        text = (PROJECT / "lookup/python/README.md").read_text(encoding="utf-8")
        [code] = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
        (self.folder / "merrow.sqlite").write_bytes(self.files["plain"].read_bytes())
        (self.folder / "merrow-zones.toml").write_text(ZONES, encoding="utf-8")
        done = self.program(code)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertTrue(done.stdout.startswith("Ostrey Bridge 7 154.6\n(2, 12) [ True  True]\nnorth lawn Check local "
                                               "watering rules"), done.stdout)
        self.assertIn("\nA normal is not", done.stdout)

    def test_example_draws_a_picture(self):
        example = PROJECT / "lookup/python/examples/plot_year.py"
        if subprocess.run([sys.executable, "-c", "import matplotlib"], capture_output=True,
                          check=False).returncode != 0:
            self.skipTest("there is no matplotlib")
        environment = {**os.environ, "PYTHONPATH": str(self.options.package), "MPLCONFIGDIR": str(self.folder)}
        for place in ("04107", "44.603,-37.532"):
            picture = self.folder / "year.png"
            picture.unlink(missing_ok=True)
            run(sys.executable, "-B", example, self.files["compact"], place, picture, env=environment)
            content = picture.read_bytes()
            self.assertEqual(content[:8], b"\x89PNG\r\n\x1a\n")
            self.assertGreater(len(content), 10_000)
        done = subprocess.run([sys.executable, "-B", example, self.files["plain"], "99999", "x.png"], env=environment,
                              capture_output=True, encoding="utf-8", check=False)
        self.assertEqual((done.returncode, done.stderr),
                         (1, "plot_year.py: the file has no postal code 99999\n"))

    def test_distributions(self):
        if not self.options.distributions:
            self.skipTest("no --distributions")
        [wheel] = self.options.distributions.glob("*.whl")
        [source] = self.options.distributions.glob("*.tar.gz")
        with tarfile.open(source) as archive:
            names = {name.partition("/")[2] for name in archive.getnames()}
        modules = {path.name for path in (PROJECT / "lookup/python/source/thirstline").iterdir() if path.is_file()}
        self.assertLessEqual({f"source/thirstline/{name}" for name in modules} | {"LICENSE", "pyproject.toml"}, names)
        target = self.folder / "installed"
        done = subprocess.run([sys.executable, "-m", "pip", "install", "--no-index", "--no-deps", "--quiet",
                               "--root-user-action", "ignore", "--target", str(target), str(wheel)],
                              capture_output=True, encoding="utf-8", check=False)
        if "No module named pip" in done.stderr:
            self.skipTest("there is no pip")
        self.assertEqual(done.returncode, 0, done.stderr)
        installed = {path.name for path in (target / "thirstline").iterdir() if path.is_file()}
        self.assertEqual(installed, modules)
        answer = self.program("import thirstline; print(thirstline.__file__, "
                              "thirstline.Baseline('plain.sqlite').postal('04107').peak_month)",
                              PYTHONPATH=str(target))
        self.assertEqual(answer.stdout, f"{target}/thirstline/__init__.py 7\n", answer.stderr)


def main():
    global thirstline
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--package", required=True, type=Path)
    parser.add_argument("--library", required=True, type=Path)
    parser.add_argument("--lookup", required=True, type=Path)
    parser.add_argument("--builder", required=True, type=Path)
    parser.add_argument("--distributions", type=Path)
    options, rest = parser.parse_known_args()
    options.package = options.package.resolve(strict=True)
    sys.path.insert(0, str(options.package))
    os.environ["THIRSTLINE_LIBRARY"] = str(options.library.resolve(strict=True))
    import thirstline
    with tempfile.TemporaryDirectory() as name:
        PythonPackage.options = options
        PythonPackage.folder = Path(name)
        PythonPackage.files = {code: built(options.builder, Path(name), code) for code in ("plain", "compact")}
        program = unittest.main(argv=[sys.argv[0], *rest], exit=False)
    return 0 if program.result.wasSuccessful() else 1


if __name__ == "__main__":
    sys.exit(main())
