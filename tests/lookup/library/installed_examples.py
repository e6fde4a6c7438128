"""Installs the library into its own folder and builds the examples there as a user would: with
find_package and with pkg-config, against the shared library and the static one. Compares their answers
with the JSON of thirstline-lookup: the same numbers for thousands of random sites and for every postal
code of the sample.

    installed_examples.py --build FOLDER --lookup PROGRAM (--builder PROGRAM | --database FILE)
    installed_examples.py --prefix FOLDER …    with an existing installation
"""

import argparse
import csv
import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[3]
SAMPLE = PROJECT / "sample-inputs"
RANDOM_SITES = 4000
# ISO 3166 has no XM: it is the invented valley's.
COUNTRY = "XM"
DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
MONTHLY = ["eto_mm", "rain_mm", "eto_se_mm", "rain_se_mm", "tmax_c", "tmin_c"]


def run(*command, env=None, **more):
    done = subprocess.run([str(word) for word in command], env={**os.environ, **(env or {})},
                          capture_output=True, encoding="utf-8", check=False, **more)
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(map(str, command))}\nleft with {done.returncode}:\n"
                         f"{done.stdout}{done.stderr}")
    return done.stdout


def library_folder(prefix):
    found = sorted(prefix.glob("lib*/**/libthirstline.so.*"))
    if not found:
        raise SystemExit(f"there is no libthirstline.so below {prefix}")
    return found[0].parent


def built_by_cmake(prefix, folder, static):
    examples = prefix / "share/doc/libthirstline-dev/examples"
    run("cmake", "-S", examples, "-B", folder, "-G", "Ninja", f"-DCMAKE_PREFIX_PATH={prefix}",
        f"-DEXAMPLES_LINK_STATICALLY={'ON' if static else 'OFF'}")
    run("cmake", "--build", folder)
    return [folder / "many_sites_c", folder / "many_sites_cpp"]


def built_by_pkg_config(prefix, folder, static):
    folder.mkdir()
    examples = prefix / "share/doc/libthirstline-dev/examples"
    env = {"PKG_CONFIG_PATH": str(library_folder(prefix) / "pkgconfig")}
    flags = run("pkg-config", "--cflags", "--libs", *(["--static"] if static else []), "thirstline",
                env=env).split()
    if static:
        flags = [str(library_folder(prefix) / "libthirstline.a") if flag == "-lthirstline" else flag
                 for flag in flags]
    strict = ["-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-O1"]
    run("gcc", "-std=c99", *strict, examples / "many_sites.c", "-o", folder / "many_sites_c", *flags)
    run("g++", "-std=c++17", *strict, examples / "many_sites.cpp", "-o", folder / "many_sites_cpp",
        *flags)
    return [folder / "many_sites_c", folder / "many_sites_cpp"]


def random_sites(count):
    """Positions in and around the valley, as texts; one in three with a height."""
    source = random.Random(20)
    for index in range(count):
        lat = f"{source.uniform(43.8, 45.4):.{source.randint(0, 7)}f}"
        lon = f"{source.uniform(-38.8, -36.8):.{source.randint(0, 7)}f}"
        yield lat, lon, str(source.randint(0, 1500)) if index % 3 == 0 else ""


def questions(database_codes):
    """The lines that the examples read, and the rows of the same sites that `batch` reads."""
    lines, rows = [], []
    for lat, lon, elevation in random_sites(RANDOM_SITES):
        lines.append(",".join([lat, lon, *([elevation] if elevation else [])]))
        rows.append([lat, lon, "", "", elevation])
    for code in [*database_codes, "no such", "99999"]:
        for country in ("", COUNTRY):
            lines.append(code + (f",{country}" if country else ""))
            rows.append(["", "", code, country, ""])
    return lines, rows


def answers_of_lookup(lookup, database, rows, folder):
    table = folder / "sites.csv"
    with table.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([["lat", "lon", "postal", "country", "elevation_m"], *rows])
    text = run(lookup, "batch", "--db", database, "--input", table, "--format", "ndjson",
               "--allow-missing")
    return [json.loads(line, parse_float=Decimal, parse_int=Decimal) for line in text.splitlines()]


def number_or_none(text):
    return Decimal(text) if text else None


def expected_fields(answer):
    """The fields that an example prints for this answer, as numbers."""
    point = answer["point"]
    months = answer["months"]
    return [point["elevation_m"], point["distance_km"], point["method"],
            answer["peak_month"] or Decimal(0),
            *(month.get(name) for name in MONTHLY for month in months)]


def faults_of_table(program, table, answers, lines):
    printed = table.splitlines()
    if len(printed) != len(answers):
        yield f"{program} printed {len(printed)} lines for {len(answers)} sites"
        return
    for line, text, answer in zip(lines, printed, answers):
        # A batch rejects an elevation far from the terrain; the library limits the adjustment and says by how much.
        if "terrain" in (answer.get("reason") or ""):
            continue
        found, _, rest = text.partition(",")
        if found != ("true" if answer["found"] else "false"):
            yield f"{program}: {line}: {text}"
        elif not answer["found"]:
            if rest != answer["reason"]:
                yield f"{program}: {line}: \"{rest}\", and thirstline-lookup \"{answer['reason']}\""
        else:
            fields = rest.split(",")
            given = [number_or_none(field) if index != 2 else field
                     for index, field in enumerate(fields)]
            if given != expected_fields(answer):
                yield f"{program}: {line}: {given}, and thirstline-lookup {expected_fields(answer)}"


def sample_database(builder, folder):
    database = folder / "merrow.sqlite"
    run(builder, "build", SAMPLE / "merrow.toml", "-o", database)
    return database


def sample_codes():
    with (SAMPLE / "merrow-postal.csv").open(encoding="utf-8", newline="") as file:
        return [row["code"] for row in csv.DictReader(file)]


def faults_of_readme(prefix, folder, database):
    """The program that README.md shows is built in both of the ways shown there, and prints what is
    written at its end."""
    text = (PROJECT / "README.md").read_text(encoding="utf-8")
    [program], [lists] = (re.findall(rf"```{kind}\n(.*?)```", text, re.DOTALL)
                          for kind in ("cpp", "cmake"))
    [by_hand] = re.findall(r"^(g\+\+ garden\.cpp .*)$", text, re.MULTILINE)
    folder.mkdir()
    (folder / "garden.cpp").write_text(program, encoding="utf-8")
    (folder / "CMakeLists.txt").write_text(lists, encoding="utf-8")
    shutil.copy(database, folder / "merrow.sqlite")
    libraries = library_folder(prefix)
    run("cmake", "-S", folder, "-B", folder / "build", "-G", "Ninja",
        f"-DCMAKE_PREFIX_PATH={prefix}")
    run("cmake", "--build", folder / "build")
    run("sh", "-c", by_hand, env={"PKG_CONFIG_PATH": str(libraries / "pkgconfig")}, cwd=folder)
    expected = re.findall(r"^ +// (\w.*mm)$", program, re.MULTILINE)
    for built in (folder / "build/garden", folder / "garden"):
        printed = run(built, cwd=folder, env={"LD_LIBRARY_PATH": str(libraries)}).splitlines()
        if printed != expected:
            yield f"README.md: the program prints {printed}, and {expected} is shown"


def faults_of_image(prefix, folder, lookup, builder, database):
    """The header alone reads an image: ETo by the day at each code is what the look-up's JSON says."""
    folder.mkdir()
    image = folder / "merrow.img"
    run(builder, "export", database, "--as", "image", "-o", image)
    strict = ["-std=c99", "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-O1"]
    run("gcc", *strict, prefix / "share/doc/libthirstline-dev/examples/image_site.c", "-I",
        prefix / "include", "-o", folder / "image_site")
    for answer in answers_of_lookup(lookup, database, [["", "", code, COUNTRY, ""] for code in sample_codes()],
                                    folder):
        code = answer["query"]["postal"]
        if not answer["found"]:
            continue
        site = json.loads(run(lookup, "site", "--db", database, "--postal", code, "--format", "json"),
                          parse_float=Decimal)
        head, *rows, notice = run(folder / "image_site", image, code).splitlines()
        months = [row.split(",") for row in rows]
        for month, (_, eto, rain) in zip(site["months"], months):
            due = (month["eto_mm"], month["rain_mm"])
            days = Decimal("28.25") if month["month"] == 2 else DAYS[month["month"] - 1]
            given = tuple(value.quantize(Decimal("0.1"), ROUND_HALF_UP)
                          for value in (Decimal(eto) * days, Decimal(rain)))
            if len(months) != 12 or given != due:
                yield f"image_site: {code}, month {month['month']}: {given}, and thirstline-lookup {due}"
        if notice != site["baseline"]["notice"] or head != "month,eto_mm_per_day,rain_mm":
            yield f"image_site: {notice}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--build", type=Path, help="a build folder to install from")
    parser.add_argument("--prefix", type=Path, help="or where it is installed already")
    parser.add_argument("--lookup", required=True, type=Path)
    parser.add_argument("--builder", type=Path)
    parser.add_argument("--database", type=Path)
    options = parser.parse_args()

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prefix = options.prefix
        if not prefix:
            prefix = folder / "installed"
            for component in ("library", "development"):
                run("cmake", "--install", options.build, "--prefix", prefix, "--component", component)
        database = options.database or sample_database(options.builder, folder)
        lines, rows = questions(sample_codes())
        answers = answers_of_lookup(options.lookup, database, rows, folder)
        found = sum(answer["found"] for answer in answers)
        if not RANDOM_SITES / 4 < found < len(answers):
            raise SystemExit(f"{found} of {len(answers)} sites were found: not a fair sample")
        faults = []
        for way, built in (("cmake", built_by_cmake), ("pkg-config", built_by_pkg_config)):
            for static in (False, True):
                label = f"{way}{'-static' if static else ''}"
                for program in built(prefix, folder / label, static):
                    env = {"LC_ALL": "C", **({} if static else
                                             {"LD_LIBRARY_PATH": str(library_folder(prefix))})}
                    table = run(program, database, input="\n".join(lines) + "\n", env=env)
                    faults += faults_of_table(f"{label}/{program.name}", table, answers, lines)
        if options.builder:
            faults += faults_of_image(prefix, folder / "image", options.lookup, options.builder, database)
        faults += faults_of_readme(prefix, folder / "readme", database)
    for fault in faults[:20]:
        print(fault)
    print(f"{len(faults)} faults" if faults else
          f"8 programs answered {len(lines)} sites, {found} of them found, as thirstline-lookup does")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
