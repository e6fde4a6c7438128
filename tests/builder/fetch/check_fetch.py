#!/usr/bin/env python3
"""fetch, and builds from what it downloads, against a provider on the loopback interface.

    check_fetch.py --builder PROGRAM --samples FOLDER

The data are the sample valley's, so that a build from downloads must give the same bytes as one from the
samples themselves. Checksums are computed here, by Python.
"""
import argparse
import hashlib
import json
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import unittest
from pathlib import Path

from loopback_provider import Provider

PROGRAMS = {}
SAMPLES = None


def environment():
    kept = {name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")}
    return {**kept, "LC_ALL": "C.UTF-8", "no_proxy": "127.0.0.1"}


def sha256(content):
    return hashlib.sha256(content).hexdigest()


def locked(path):
    """The entries of a lock file by name: {key: text or number}."""
    entries = {}
    for block in path.read_text(encoding="utf-8").split("[[file]]")[1:]:
        fields = dict(re.findall(r"^\s*(\w+) = ['\"]?(.*?)['\"]?$", block, re.MULTILINE))
        entries[fields["name"]] = fields
    return entries


def rows_without_recipe(path):
    """All rows of a database but those that depend on the text of its recipe."""
    connection = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    tables = [name for name, in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    rows = {name: connection.execute(f"SELECT * FROM {name}").fetchall() for name in tables if name != "history"}
    connection.close()
    hashes = ("content_sha256", "head_crc32")
    rows["metadata"] = [row for row in rows["metadata"] if row[0] not in hashes]
    return rows


class FetchTestCase(unittest.TestCase):
    def setUp(self):
        self.folder = Path(tempfile.mkdtemp())
        self.addCleanup(shutil.rmtree, self.folder)
        self.provider = Provider()
        self.addCleanup(self.provider.close)
        self.recipe = self.folder / "valley.toml"
        self.data = self.folder / "valley.data"
        self.lock = self.folder / "valley.lock"

    def run_builder(self, *arguments, status=0):
        run = subprocess.run([PROGRAMS["builder"], *map(str, arguments)], cwd=self.folder, env=environment(),
                             capture_output=True, encoding="utf-8", check=False, timeout=120)
        self.assertEqual(run.returncode, status, run.stderr + run.stdout)
        return run

    def fetch(self, *arguments, status=0, retry_delay_s=0):
        return self.run_builder("fetch", self.recipe.name, "--retry-delay", retry_delay_s, *arguments, status=status)

    def write_valley(self, habit="range"):
        """The valley's recipe with every file from the provider; its names by path."""
        text = (SAMPLES / "merrow.toml").read_text(encoding="utf-8")
        text = re.sub(r"^url = .*\n", "", text, flags=re.MULTILINE)

        def from_provider(match):
            path = match[1]
            prefix = re.match(r"/vsi\w+/", path)
            inner = path[len(prefix[0]):] if prefix else path
            name = inner.split("/")[0]
            names = [name, "radiation.hdr", "radiation.prj"] if name == "radiation.bil" else [name]
            return (f'path = "{prefix[0] if prefix else ""}{{data}}/{inner}"\n'
                    f"url = {json.dumps([self.provider.url(habit, name) for name in names])}")
        self.recipe.write_text(re.sub(r'^path = "([^"]*)"', from_provider, text, flags=re.MULTILINE),
                               encoding="utf-8")
        for path in SAMPLES.iterdir():
            if path.is_file():
                self.provider.files[path.name] = path.read_bytes()

    def write_one(self, habit, content, name="relief.bin"):
        """A recipe with one download. It is not a raster: only fetch reads the recipe."""
        self.provider.files[name] = content
        self.recipe.write_text(f"""[baseline]
title = "One file"
period = "1991-2020"
[lattice]
spacing_arcsec = 1800
bbox = [-38.0, 44.0, -37.0, 45.0]
[elevation]
path = "{{data}}/{name}"
url = "{self.provider.url(habit, name)}"
unit = "m"
[[grid]]
name = "ETo"
variable = "eto"
path = "eto.tif"
unit = "mm"
reference = "short"
equation = "FAO-56"
period = "1991-2020"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"
""", encoding="utf-8")

    def assert_has(self, content, name="relief.bin"):
        self.assertEqual((self.data / name).read_bytes(), content)
        self.assertEqual(sorted(path.name for path in self.data.iterdir()), [name])
        entry = locked(self.lock)[name]
        self.assertEqual(entry["sha256"], sha256(content))
        self.assertEqual(int(entry["bytes"]), len(content))

    def assert_one_sentence(self, run, *parts):
        lines = [line for line in run.stderr.splitlines() if line.startswith(("thirstline-builder: ", "hint: "))
                 and " to download into " not in line]
        self.assertLessEqual(len(lines), 2, run.stderr)
        for part in parts:
            self.assertIn(part, run.stderr)


CONTENT = random.Random(18).randbytes(1_000_000)


class Valley(FetchTestCase):
    def test_is_built_from_downloads_as_from_its_own_files(self):
        self.write_valley()
        missing = self.run_builder("build", "valley.toml", "-o", "early.sqlite", status=5)
        self.assert_one_sentence(missing, "valley.toml:", "there is no file", "fetch valley.toml downloads it")
        plan = self.fetch("--dry-run").stdout
        self.assertFalse(self.data.exists())
        names = [line.split()[-2] for line in plan.splitlines() if line.startswith("to download")]
        size = sum(len(self.provider.files[name]) for name in names)
        self.assertGreater(len(names), 15)
        self.assertIn(f"{len(names)} files to download into valley.data", plan)
        self.assertIn(f", {size} bytes" if size < 100_000 else f", {size / 1e6:.1f} MB", plan)

        self.fetch()
        for name in names:
            self.assertEqual((self.data / name).read_bytes(), self.provider.files[name])
        self.assertEqual({name: entry["sha256"] for name, entry in locked(self.lock).items()},
                         {name: sha256(self.provider.files[name]) for name in names})
        self.run_builder("build", "valley.toml", "-o", "valley.sqlite")
        self.run_builder("build", "valley.toml", "--offline", "-o", "offline.sqlite")
        # The same recipe over the samples themselves, whose addresses are then information only.
        shutil.copytree(SAMPLES, self.folder / "samples")
        own = self.recipe.read_text(encoding="utf-8").replace("{data}/", "")
        (self.folder / "samples/own.toml").write_text(own, encoding="utf-8")
        self.run_builder("build", "samples/own.toml", "-o", "own.sqlite")
        self.assertEqual((self.folder / "valley.sqlite").read_bytes(), (self.folder / "offline.sqlite").read_bytes())
        # That file keeps another recipe, and so has other hashes.
        self.assertEqual(rows_without_recipe(self.folder / "valley.sqlite"),
                         rows_without_recipe(self.folder / "own.sqlite"))

        # A second run asks for nothing, and changes nothing.
        before = self.lock.read_bytes()
        self.provider.requests.clear()
        run = self.fetch()
        self.assertEqual(self.provider.requests, [])
        self.assertIn("0 files to download", run.stderr)
        self.assertEqual(self.lock.read_bytes(), before)

    def test_in_another_folder(self):
        self.write_valley()
        other = self.folder / "disk/of/mine"
        self.fetch("--into", other)
        self.assertFalse(self.data.exists())
        self.run_builder("check", "valley.toml", "--data", other, "--offline")
        self.run_builder("check", "valley.toml", status=5)

    def test_offline_accepts_only_what_is_locked(self):
        self.write_valley()
        self.fetch()
        path = self.data / "wind.zip"
        content = path.read_bytes()
        path.write_bytes(content[:-1] + b"?")
        run = self.run_builder("build", "valley.toml", "--offline", "-o", "v.sqlite", status=3)
        self.assert_one_sentence(run, "valley.toml:", "wind.zip is not the file", sha256(content),
                                 sha256(path.read_bytes()))
        # Nor does fetch replace what somebody may have changed on purpose.
        self.assert_one_sentence(self.fetch(status=3), "wind.zip is not the file", "move it away")
        path.unlink()
        self.fetch()
        self.assertEqual(path.read_bytes(), content)
        self.lock.unlink()
        run = self.run_builder("build", "valley.toml", "--offline", "-o", "v.sqlite", status=3)
        self.assert_one_sentence(run, "valley.lock has no entry for")
        # Files that are there already are locked as they are.
        self.assertIn("not in the lock file: used as they are", self.fetch().stderr)
        self.run_builder("build", "valley.toml", "--offline", "-o", "v.sqlite")
        text = self.recipe.read_text(encoding="utf-8")
        self.recipe.write_text(text.replace('path = "{data}/tmax.tif"', 'path = "/vsicurl/http://127.0.0.1/t.tif"'),
                               encoding="utf-8")
        run = self.run_builder("build", "valley.toml", "--offline", "-o", "w.sqlite", status=3)
        self.assert_one_sentence(run, "--offline forbids")


class Servers(FetchTestCase):
    def test_download_from_servers_of_every_kind(self):
        for habit in ("range", "plain", "nohead", "unsized", "slow", "broken", "busy", "moved"):
            with self.subTest(habit):
                content = CONTENT[:200_000] if habit == "slow" else CONTENT
                self.write_one(habit, content)
                self.fetch()
                self.assert_has(content)
                shutil.rmtree(self.data)
                self.lock.unlink()

    def test_a_busy_server_is_asked_again_after_the_delay(self):
        self.write_one("busy", CONTENT)
        self.provider.busy = 1
        self.fetch(retry_delay_s=1)
        self.assert_has(CONTENT)
        refused, taken = [when for when, (method, _, _) in zip(self.provider.times, self.provider.requests)
                          if method == "GET"]
        self.assertGreaterEqual(taken - refused, 1)

    def test_a_broken_download_continues_where_it_stopped(self):
        self.write_one("broken", CONTENT)
        self.fetch()
        ranges = [wanted for method, _, wanted in self.provider.requests if method == "GET"]
        self.assertEqual(ranges, [None, "bytes=333334-", "bytes=666668-"])

    def test_a_download_shorter_than_announced_is_an_error(self):
        self.write_one("short", CONTENT)
        run = self.fetch(status=5)
        self.assert_one_sentence(run, "valley.toml:9: ", "4 attempts")
        self.assertFalse((self.data / "relief.bin").exists())
        self.assertFalse(self.lock.exists())
        # The next run gets it from a better server, whole, and not half of each.
        self.write_one("range", CONTENT)
        self.fetch()
        self.assert_has(CONTENT)

    def test_a_silent_server_is_an_error_after_the_timeout(self):
        self.write_one("silent", CONTENT)
        begin = time.monotonic()
        run = self.fetch("--timeout", 1, status=5)
        self.assertGreaterEqual(time.monotonic() - begin, 4)
        self.assertLess(time.monotonic() - begin, 60)
        self.assert_one_sentence(run, "valley.toml:9: ", "the server sent nothing for 1 s (4 attempts)", "kept")
        self.assertGreater((self.data / "relief.bin.partial").stat().st_size, 0)
        self.assertFalse((self.data / "relief.bin").exists())

    def test_a_missing_file_is_reported_with_its_line(self):
        for habit, answer in (("gone", "404"),):
            self.write_one(habit, CONTENT)
            run = self.fetch(status=5)
            self.assert_one_sentence(run, "valley.toml:9: ", answer, "is not there")
            self.assertFalse(self.data.exists())

    def test_redirects_have_limits(self):
        for habit in ("loop", "local"):
            self.write_one(habit, CONTENT)
            self.assert_one_sentence(self.fetch(status=5), "valley.toml:9: ")
            self.assertFalse((self.data / "relief.bin").exists())

    def test_an_empty_file_is_an_error(self):
        self.write_one("range", b"")
        self.assert_one_sentence(self.fetch(status=5), "empty file")


class Changes(FetchTestCase):
    def test_a_file_that_the_provider_changed_is_an_error_with_both_sums(self):
        self.write_one("range", CONTENT)
        self.fetch()
        (self.data / "relief.bin").unlink()
        other = CONTENT[:-1] + b"?"
        self.write_one("range", other)
        before = self.lock.read_bytes()
        run = self.fetch(status=3)
        self.assert_one_sentence(run, "the provider has changed relief.bin", sha256(CONTENT), sha256(other))
        self.assertEqual(list(self.data.iterdir()), [])
        self.assertEqual(self.lock.read_bytes(), before)
        self.lock.unlink()
        self.fetch()
        self.assert_has(other)

    def test_a_changed_address_is_reported(self):
        self.write_one("range", CONTENT)
        self.fetch()
        self.write_one("plain", CONTENT)
        self.assert_one_sentence(self.fetch(status=3), "was downloaded from")
        (self.data / "relief.bin").unlink()
        self.fetch()
        self.assert_has(CONTENT)

    def test_files_placed_by_hand(self):
        self.write_one("range", CONTENT)
        text = self.recipe.read_text(encoding="utf-8")
        self.recipe.write_text(re.sub(r"^url = .*\n", "", text, flags=re.MULTILINE), encoding="utf-8")
        run = self.fetch(status=5)
        self.assert_one_sentence(run, "no address is known for relief.bin (valley.toml:8)", "by hand")
        (self.data / "relief.bin").write_bytes(CONTENT)
        self.fetch()
        self.assert_has(CONTENT)
        self.assertNotIn("url", locked(self.lock)["relief.bin"])


class Interruptions(FetchTestCase):
    CONTENT = random.Random(19).randbytes(3_000_000)

    def begun(self):
        """A fetch from the slow server that has received some."""
        self.write_one("slow", self.CONTENT)
        process = subprocess.Popen([PROGRAMS["builder"], "fetch", "valley.toml"], cwd=self.folder, env=environment(),
                                   stderr=subprocess.PIPE, encoding="utf-8")
        partial = self.data / "relief.bin.partial"
        for _ in range(600):
            if partial.exists() and partial.stat().st_size > 200_000:
                return process, partial
            time.sleep(0.05)
        process.kill()
        raise AssertionError("nothing arrived")

    def resumed(self, partial):
        size = partial.stat().st_size
        self.assertLess(size, len(self.CONTENT))
        self.provider.requests.clear()
        self.provider.hurry.set()
        self.fetch()
        self.assert_has(self.CONTENT)
        ranges = [wanted for method, _, wanted in self.provider.requests if method == "GET"]
        return size, ranges

    def test_killed_and_resumed(self):
        process, partial = self.begun()
        process.kill()
        process.communicate()
        size, ranges = self.resumed(partial)
        self.assertEqual(ranges, [f"bytes={size}-"])

    def test_interrupted_and_resumed(self):
        process, partial = self.begun()
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=60)
        self.assertEqual(process.returncode, 130)
        size, ranges = self.resumed(partial)
        self.assertEqual(ranges, [f"bytes={size}-"])

    def test_a_file_that_changed_during_the_download_starts_again(self):
        process, _ = self.begun()
        process.kill()
        process.communicate()
        other = random.Random(20).randbytes(2_000_000)
        self.write_one("slow", other)
        self.provider.hurry.set()
        self.fetch()
        self.assert_has(other)

    def test_two_at_once(self):
        process, _ = self.begun()
        run = self.fetch(status=5)
        self.assert_one_sentence(run, "another fetch is downloading")
        self.provider.hurry.set()
        process.communicate(timeout=60)
        self.assertEqual(process.returncode, 0)
        self.assert_has(self.CONTENT)


class Licences(FetchTestCase):
    def test_non_commercial_is_shown_and_restricts_publishing(self):
        shutil.copytree(SAMPLES, self.folder, dirs_exist_ok=True)
        text = (self.folder / "merrow.toml").read_text(encoding="utf-8")
        self.recipe.write_text(text.replace('licence = "CC0-1.0"', 'licence = "non-commercial"', 1),
                               encoding="utf-8")
        self.assertIn("commercial use: no", self.run_builder("check", "valley.toml").stdout)
        answer = json.loads(self.run_builder("check", "valley.toml", "--format", "json").stdout)
        self.assertEqual(answer["licences"]["commercial_use"], "no")
        run = self.run_builder("build", "valley.toml", "-o", "valley.sqlite")
        self.assertIn('"non-commercial" of "Merrow maximum temperature"', run.stderr)
        self.assertIn("non-commercial", self.run_builder("info", "valley.sqlite").stdout)
        run = self.run_builder("publish", "valley.sqlite", "-o", "site", status=2)
        self.assert_one_sentence(run, "does not allow commercial use", "--accept-licence")
        self.assertFalse((self.folder / "site").exists())
        run = subprocess.run([PROGRAMS["builder"], "publish", "valley.sqlite", "-o", "site", "--accept-licence"],
                             cwd=self.folder, env=environment(), capture_output=True, encoding="utf-8", check=False)
        if "built without the page's files" not in run.stderr:
            self.assertEqual(run.returncode, 0, run.stderr)


def main():
    global SAMPLES
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--builder", required=True)
    parser.add_argument("--samples", required=True, type=Path)
    options, rest = parser.parse_known_args()
    PROGRAMS["builder"] = os.path.abspath(options.builder)
    SAMPLES = options.samples.resolve()
    unittest.main(argv=[sys.argv[0], *rest])


if __name__ == "__main__":
    main()
