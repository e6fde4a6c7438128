"""Holds the schemas of schema/json against what the programs print.

    check_json_schemas.py --build FOLDER

Every command of README.md that can print JSON, printing it; the files that README's commands write; thousands of
random sites; files without temperatures, stations or standard errors; suspect values. A member that a schema does
not describe is a fault here. Each schema must also refuse: what it requires is taken away, member by member.
"""

import argparse
import copy
import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import jsonschema

HERE = Path(__file__).resolve().parent
PROJECT = HERE.parents[2]
sys.path[:0] = [str(PROJECT / "tests/readme"), str(PROJECT / "tests/lookup/library")]
import run_readme_commands as readme  # noqa: E402
from installed_examples import COUNTRY, SAMPLE, random_sites, run, sample_codes  # noqa: E402
from sample_answers import built  # noqa: E402

SCHEMAS = PROJECT / "schema/json"
RANDOM_SITES = 1500
# Definitions that the same member of several documents has.
SHARED = {"query", "climate_month", "source", "suspect", "record", "station_of_record", "trend", "year"}
COMMAND = re.compile(r"^thirstline-(lookup|builder) (site|near|demand|info|check|evaluate|sources)\b")


def strict(schema):
    """The same schema, which refuses members that it does not describe."""
    if isinstance(schema, list):
        return [strict(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    schema = {name: strict(value) for name, value in schema.items()}
    if schema.get("type") == "object" and "properties" in schema:
        schema.setdefault("additionalProperties", False)
    return schema


def in_json(command):
    """The command of README with JSON as its format, printed instead of written; None if it has no JSON."""
    match = COMMAND.match(command)
    if not match or " info " in command and " --recipe" in command:  # which prints a recipe
        return None
    plain = re.sub(r"\s#.*$| > \S+$| \|.*$", "", command)
    plain = re.sub(r" --format \S+| --calendar-year \S+| --width \S+", "", plain)
    return match[2], f"{plain} --format json 2>/dev/null"


class JsonSchemas(unittest.TestCase):
    build: Path
    folder: Path

    def setUp(self):
        self.validators, self.plain = {}, {}
        for path in SCHEMAS.glob("*.schema.json"):
            name = path.name.removesuffix(".schema.json")
            self.plain[name] = json.loads(path.read_text(encoding="utf-8"))
            jsonschema.Draft7Validator.check_schema(self.plain[name])
            self.validators[name] = jsonschema.Draft7Validator(strict(self.plain[name]))
        self.lookup = self.build / "lookup/thirstline-lookup"
        self.builder = self.build / "builder/thirstline-builder"

    def assert_valid(self, name, text, where=""):
        document = json.loads(text)
        if error := jsonschema.exceptions.best_match(self.validators[name].iter_errors(document)):
            self.fail(f"{name}: {where}: {list(error.absolute_path)}: {error.message[:300]}")
        return document

    def sample(self, name, *replacements, stations=None):
        """The file of a changed recipe."""
        folder = self.folder / name
        if not folder.exists():
            shutil.copytree(SAMPLE, folder)
            text = (folder / "merrow.toml").read_text(encoding="utf-8")
            for old, new in replacements:
                text, count = re.subn(old, new, text, flags=re.DOTALL)
                self.assertGreater(count, 0, old)
            (folder / "merrow.toml").write_text(text, encoding="utf-8")
            if stations:
                table = folder / "merrow-stations.csv"
                table.write_text(stations(table.read_text(encoding="utf-8")), encoding="utf-8")
            run(self.builder, "build", folder / "merrow.toml", "-o", folder / "merrow.sqlite", "--report",
                folder / "report.json")
        return folder

    def test_commands_of_readme(self):
        folder = self.folder / "readme"
        folder.mkdir()
        env = readme.set_up(folder, self.build)
        blocks = readme.fenced_blocks((PROJECT / "README.md").read_text(encoding="utf-8").splitlines())
        commands, schemas = [], {}
        for block in blocks:
            if block.kind != "console":
                continue
            for command in readme.commands_of(block):
                if command.text == readme.CALLER:
                    continue
                commands.append(command)
                if command.status in (0, 1) and (found := in_json(command.text)):
                    schemas[len(commands)] = found[0]
                    commands.append(readme.Command(command.first_line, found[1], [], 0))
        results = readme.run_all(commands, folder, env)
        for number, kind in schemas.items():
            lines, status = results[number]
            self.assertIn(status, (0, 1), commands[number].text)
            self.assert_valid(kind, "\n".join(lines), commands[number].text)
        self.assertLessEqual({"site", "near", "demand", "info", "check", "evaluate"}, set(schemas.values()))
        walk = folder / "project/build/walk"
        self.assert_valid("build-report", (walk / "report.json").read_text(encoding="utf-8"))
        self.assert_valid("evaluate", (walk / "scores.json").read_text(encoding="utf-8"))
        [page] = (walk / "merrow-site").glob("baseline-*.json")
        self.assert_valid("publication", page.read_text(encoding="utf-8"))

    def test_random_sites(self):
        rows = "lat,lon,postal,country,elevation_m\n" + "".join(
            f"{lat},{lon},,,{elevation}\n" for lat, lon, elevation in random_sites(RANDOM_SITES))
        rows += "".join(f",,{code},{country},\n" for code in [*sample_codes(), "99999", "no such"]
                        for country in ("", COUNTRY))
        files = [self.sample("plain") / "merrow.sqlite", built(self.builder, self.folder, "compact"),
                 self.sample("cool", (r'layers = \["temperature"\]', "layers = []")) / "merrow.sqlite",
                 self.sample("grids", (r"\[\[stations\]\].*?(?=\[\[)", "")) / "merrow.sqlite"]
        for file in files:
            lines = run(self.lookup, "batch", "--db", file, "--format", "ndjson", "--allow-missing",
                        input=rows).splitlines()
            self.assertEqual(len(lines), rows.count("\n") - 1)
            found = sum(self.assert_valid("site", line, file)["found"] for line in lines)
            self.assertGreater(found, RANDOM_SITES / 4)
            self.assert_valid("info", run(self.lookup, "info", "--db", file, "--format", "json"))
            self.assert_valid("info", run(self.builder, "info", file, "--format", "json"))
            for step in ("month", "week", "day"):
                self.assert_valid("site", run(self.lookup, "site", "--db", file, "--postal", "04107", "--step", step,
                                              "--format", "json"))
            near = subprocess.run([self.lookup, "near", "--db", file, "--postal", "04103", "--format", "json"],
                                  capture_output=True, encoding="utf-8", check=False)
            self.assertEqual("stations" in self.assert_valid("near", near.stdout), file.parent.name != "grids")
        own = self.folder / "own.csv"
        own.write_text("month,eto_mm,rain_mm\n7,160,\n8,,12\n", encoding="utf-8")
        answer = self.assert_valid("site", run(self.lookup, "site", "--db", files[0], "--at", "44.6,-37.5", "--own",
                                               own, "--format", "json"))
        self.assertEqual([month["own"] for month in answer["months"] if "own" in month], [["eto"], ["rain"]])

    def test_parts_editions_and_their_comparison(self):
        self.assert_valid("build-plan", run(self.builder, "build", SAMPLE / "merrow.toml", "--plan", "3"))
        edition = self.sample("edition", (r'period = "1991-2020"\n\n', 'period = "1991-2020"\nedition = "2"\n'
                                          'date = 2026-12-01\ndoi = "10.1234/x"\ncontact = "a@example.org"\n'
                                          'licence = "CC-BY-4.0"\n'), (r"\[\[stations\]\].*?(?=\[\[)", ""))
        run(self.builder, "build", edition / "merrow.toml", "-o", edition / "part.sqlite", "--part", "1/2")
        part = self.assert_valid("info", run(self.builder, "info", edition / "part.sqlite", "--format", "json"))
        self.assertEqual((part["edition"], part["rows_present"]["of"]), ("2", 6))
        site = self.assert_valid("site", run(self.lookup, "site", "--db", edition / "merrow.sqlite", "--postal",
                                             "04107", "--format", "json"))
        self.assertEqual(site["baseline"]["doi"], "10.1234/x")
        old = self.sample("plain") / "merrow.sqlite"
        done = subprocess.run([self.builder, "compare", old, edition / "merrow.sqlite", "--format", "json"],
                              capture_output=True, encoding="utf-8", check=False)
        self.assertEqual(done.returncode, 1, done.stderr)
        changes = self.assert_valid("compare", done.stdout)
        self.assertIn({"what": "edition", "before": "", "after": "2"}, changes["texts"])
        self.assertTrue(changes["stations"] and changes["recipe_lines"])

    def test_suspect_values(self):
        def spoiled(text):
            head, *lines = text.splitlines()
            columns = head.split(",")
            drawn = random.Random(41)
            for number in drawn.sample(range(len(lines)), 6):
                fields = lines[number].split(",")
                for name, value in (("tmax_c", "97.5"), ("rain_mm", "-20")):
                    if name in columns and fields[columns.index(name)]:
                        fields[columns.index(name)] = value
                lines[number] = ",".join(fields)
            return "\n".join([head, *lines]) + "\n"
        folder = self.sample("suspect", stations=spoiled)
        report = self.assert_valid("check", run(self.builder, "check", folder / "merrow.toml", "--format", "json"))
        self.assertGreater(report["counts"]["suspects"], 3)
        self.assertTrue(report["suspects"])
        report = self.assert_valid("build-report", (folder / "report.json").read_text(encoding="utf-8"))
        self.assertTrue(any(source["examples"] for source in report["sources"]))

    def test_records(self):
        folder = self.sample("record")
        recipe = folder / "merrow-record.toml"
        report = self.assert_valid("check", run(self.builder, "check", recipe, "--format", "json"))
        run(self.builder, "build", recipe, "-o", folder / "record.sqlite", "--report", folder / "record.json")
        built_report = self.assert_valid("build-report", (folder / "record.json").read_text(encoding="utf-8"))
        self.assertEqual(report["records"], built_report["records"])
        [station] = report["records"][0]["stations"]
        self.assertTrue(any(variable["void"] for variable in station["variables"]))
        self.assertTrue(any("year" in suspect for suspect in report["suspects"]))
        file = folder / "record.sqlite"
        for year, percent in (("mean", None), ("dry", 80)):
            of_year = ["--db", file, "--year", year]
            site = self.assert_valid("site", run(self.lookup, "site", *of_year, "--at", "44.6,-37.5", "--format",
                                                 "json"))
            self.assertEqual(site["year"]["percent"], percent)
            row = self.assert_valid("site", run(self.lookup, "batch", *of_year, "--format", "ndjson",
                                                input="lat,lon\n44.6,-37.5\n"))
            season = site.pop("season")  # of single sites
            self.assertEqual(season["basis"], "estimated from monthly means")
            self.assertEqual({**row, "id": None}, {**site, "id": None})
            table = run(self.lookup, "batch", *of_year, input="lat,lon\n44.6,-37.5\n").splitlines()
            values = dict(zip(table[0].split(","), table[1].split(",")))
            self.assertEqual(float(values["rain_mm_01"]), site["months"][0]["rain_mm"])
            self.assertEqual(float(values["eto_se_mm_07"]), site["months"][6]["eto_se_mm"])
            demand = self.assert_valid("demand", run(self.lookup, "demand", *of_year, "--at", "44.6,-37.5", "--zones",
                                                     folder / "merrow-zones.toml", "--format", "json"))
            self.assertGreater(demand["year_needs"]["dry"]["volume_l"], demand["year_needs"]["normals"]["volume_l"])

    def test_catalogue(self):
        everything = self.assert_valid("sources", run(self.builder, "sources", "--format", "json"))
        name = everything["sources"][0]["name"]
        self.assert_valid("sources", run(self.builder, "sources", name, "--format", "json"))

    def test_schemas_reject_json_without_a_member(self):
        """Each required member, anywhere in a document."""
        folder = self.sample("plain")
        documents = {
            "site": run(self.lookup, "site", "--db", folder / "merrow.sqlite", "--postal", "04107", "--step", "week",
                        "--format", "json"),
            "near": run(self.lookup, "near", "--db", folder / "merrow.sqlite", "--postal", "04107", "--format",
                        "json"),
            "info": run(self.lookup, "info", "--db", folder / "merrow.sqlite", "--format", "json"),
            "check": run(self.builder, "check", folder / "merrow.toml", "--format", "json"),
            "build-report": (folder / "report.json").read_text(encoding="utf-8")}
        for name, text in documents.items():
            document = self.assert_valid(name, text)
            validator = jsonschema.Draft7Validator(self.plain[name])
            refused = 0
            for path in self.members_of(document):
                changed = copy.deepcopy(document)
                parent = changed
                for step in path[:-1]:
                    parent = parent[step]
                del parent[path[-1]]
                refused += not validator.is_valid(changed)
            self.assertGreater(refused, 8, name)
            for path in self.members_of(document):
                changed = copy.deepcopy(document)
                parent = changed
                for step in path[:-1]:
                    parent = parent[step]
                parent[path[-1]] = {"not": ["expected"]}
                self.assertFalse(self.validators[name].is_valid(changed), (name, path))

    def members_of(self, value, path=()):
        """One path for each member; of an array, those of its first element."""
        if isinstance(value, dict):
            for name, member in value.items():
                # Counts by name have any names.
                if path and path[-1] in ("percent_by_month", "legend", "rejected", "doubtful"):
                    continue
                yield (*path, name)
                yield from self.members_of(member, (*path, name))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            yield from self.members_of(value[0], (*path, 0))

    def test_shared_definitions_are_the_same(self):
        found = {}
        for name, schema in self.plain.items():
            for definition, content in schema.get("definitions", {}).items():
                if definition in SHARED:
                    found.setdefault(definition, []).append((name, content))
        self.assertEqual(set(found), SHARED)
        for definition, contents in found.items():
            self.assertGreater(len(contents), 1, definition)
            for name, content in contents:
                self.assertEqual(content, contents[0][1], (definition, name))

    def test_all_are_listed(self):
        listed = re.findall(r"\]\((\S+\.schema\.json)\)", (SCHEMAS / "README.md").read_text(encoding="utf-8"))
        self.assertEqual(sorted(listed), sorted(path.name for path in SCHEMAS.glob("*.schema.json")))


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", required=True, type=Path)
    options, rest = parser.parse_known_args()
    with tempfile.TemporaryDirectory() as name:
        JsonSchemas.build = options.build.resolve(strict=True)
        JsonSchemas.folder = Path(name)
        program = unittest.main(argv=[sys.argv[0], *rest], exit=False)
    return 0 if program.result.wasSuccessful() else 1


if __name__ == "__main__":
    sys.exit(main())
