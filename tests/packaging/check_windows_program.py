"""Compares the program for Windows, in Wine, with the one for Linux: output, errors and exit status, byte for byte.

    check_windows_program.py --zip FILE --build FOLDER --wine-prefix FOLDER

The build FOLDER has the builder and the look-up for Linux. Every call of the look-up in README.md is compared, with
10,000 rows of `batch`, all formats of `demand`, damaged and signed files, names with blanks and umlauts, and the units
of Windows' own settings.
"""

import argparse
import itertools
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(PROJECT / "tests/readme"))
import run_readme_commands as readme  # noqa: E402

WINE = "/usr/lib/wine/wine64"
WINE_SERVER = "/usr/lib/wine/wineserver64"
FILES = {"thirstline-lookup.exe", "README.txt", "LICENSE.txt", "copyright.txt"}
# Parts of every Windows.
SYSTEM_LIBRARIES = {"KERNEL32.dll", "msvcrt.dll", "SHELL32.dll", "ADVAPI32.dll"}
ROWS = 10_000
SEED = 20
# Stands in for the look-up in the commands of README.md: runs both programs and notes differences.
BOTH = """#!{python} -B
import os, subprocess, sys
given = b"" if sys.stdin is None or sys.stdin.isatty() else sys.stdin.buffer.read()
linux, windows = (subprocess.run([*words, *sys.argv[1:]], input=given, capture_output=True, check=False)
                  for words in ({linux!r}, {windows!r}))
same = (linux.returncode, linux.stdout, linux.stderr) == (windows.returncode, windows.stdout, windows.stderr)
with open({notes!r}, "a") as notes:
    print("same" if same else f"DIFFERENT {{windows.returncode}} {{windows.stderr[-500:]}}", sys.argv[1:], file=notes)
sys.stdout.buffer.write(linux.stdout)
sys.stderr.buffer.write(linux.stderr)
sys.exit(linux.returncode)
"""


class Programs:
    """Both look-ups. A run gives (exit status, standard output, standard error)."""

    def __init__(self, linux, windows, prefix):
        self.linux, self.windows = [str(linux)], [WINE, str(windows)]
        self.prefix = prefix
        self.count = 0
        self.repeated = 0

    def environment(self, **variables):
        kept = {name: value for name, value in os.environ.items()
                if not name.startswith(("LC_", "THIRSTLINE_")) and name not in ("LANG", "LANGUAGE", "DISPLAY")}
        return {**kept, "WINEPREFIX": str(self.prefix), "WINEDEBUG": "-all", "WINEDLLOVERRIDES": "mscoree,mshtml=",
                **variables}

    def run(self, words, *arguments, given=b"", **variables):
        done = subprocess.run([*words, *map(str, arguments)], input=given, capture_output=True, check=False,
                              env=self.environment(**variables))
        return done.returncode, done.stdout, done.stderr

    def run_in_wine(self, *arguments, **more):
        """Processes of Wine beside the program share its errors: a call in which one of them failed is repeated, twice
        at most."""
        done = self.run(self.windows, *arguments, **more)
        for _ in range(2):
            if not done[2].startswith(b"wine: "):
                break
            self.repeated += 1
            done = self.run(self.windows, *arguments, **more)
        return done

    def wine(self, *words):
        status, out, err = self.run([WINE], *words)
        if status != 0:
            raise SystemExit(f"wine64 {' '.join(words)}: exit status {status}\n{out.decode()}{err.decode()}")

    def compare(self, *arguments, status, **more):
        """The common output. `status` is the exit status that both must have."""
        more.setdefault("LC_ALL", "C.UTF-8")
        linux, windows = self.run(self.linux, *arguments, **more), self.run_in_wine(*arguments, **more)
        what = " ".join(map(str, arguments))
        if linux[0] != status:
            raise SystemExit(f"{what}: the exit status is {linux[0]}, not {status}\n{linux[2].decode()}")
        for name, ours, theirs in zip(("exit status", "output", "errors"), linux, windows):
            if ours != theirs:
                raise SystemExit(f"{what}: the {name} of the program for Windows is another:\n"
                                 f"{str(theirs)[:2000]}\nand not\n{str(ours)[:2000]}")
        self.count += 1
        return linux[1].decode()


def unpacked(archive, folder):
    with zipfile.ZipFile(archive) as content:
        names = {Path(name).name for name in content.namelist() if not name.endswith("/")}
        if names != FILES:
            raise SystemExit(f"{archive.name} holds {sorted(names)}, not {sorted(FILES)}")
        content.extractall(folder)
    program = next(folder.rglob("*.exe"))
    notices = (program.parent / "copyright.txt").read_text(encoding="utf-8")
    for library in ("libcli11-dev", "libcsv-dev", "libsodium-dev", "libsqlite3-dev", "nettle-dev"):
        if f"==== {library} ====" not in notices:
            raise SystemExit(f"copyright.txt lacks the notice of {library}")
    instructions = (program.parent / "README.txt").read_bytes()
    if b"@" in instructions or instructions.count(b"\n") != instructions.count(b"\r\n"):
        raise SystemExit("README.txt has an unfilled name, or lines that Notepad of older Windows does not break")
    return program


def check_libraries(program):
    listed = subprocess.run(["x86_64-w64-mingw32-objdump", "-p", program], capture_output=True, encoding="utf-8",
                            check=True).stdout
    foreign = set(re.findall(r"DLL Name: (\S+)", listed)) - SYSTEM_LIBRARIES
    if foreign:
        raise SystemExit(f"thirstline-lookup.exe needs {sorted(foreign)}, which not every Windows has")


def check_readme(programs, build, folder):
    """Every call of the look-up on the page, with what the commands before it have made."""
    notes = folder / "notes"
    env = readme.set_up(folder, build)
    both = folder / "programs/thirstline-lookup"
    both.unlink()
    both.write_text(BOTH.format(python=sys.executable, linux=programs.linux, windows=programs.windows,
                                notes=str(notes)), encoding="utf-8")
    both.chmod(0o755)
    lines = (PROJECT / "README.md").read_text(encoding="utf-8").splitlines()
    commands = [command for block in readme.fenced_blocks(lines) if block.kind == "console"
                for command in readme.commands_of(block)
                if command.text != readme.CALLER and "run-demo" not in command.text]
    readme.run_all(commands, folder, {**programs.environment(), **env})
    noted = notes.read_text(encoding="utf-8").splitlines()
    shown = sum("thirstline-lookup" in command.text for command in commands)
    for line in noted:
        if not line.startswith("same"):
            raise SystemExit(f"README.md: {line}")
    if len(noted) < shown:
        raise SystemExit(f"README.md has {shown} commands with thirstline-lookup, but it was called {len(noted)} times")
    return len(noted)


def table_of_sites():
    """Within the valley and around it, with rows that cannot be read."""
    chance = random.Random(SEED)
    rows = ["id,lat,lon,elevation_m"]
    for number in range(ROWS):
        lat, lon = chance.uniform(43.8, 45.4), chance.uniform(-38.9, -37.1)
        elevation_m = chance.choice(["", chance.randrange(0, 1500)])
        rows.append(f"Gärten {number},{lat:.5f},{lon:.5f},{elevation_m}")
    return "\n".join(rows).encode() + b"\n"


def check_batch(programs, database, folder):
    table = table_of_sites()
    for form in ("csv", "ndjson"):
        lines = programs.compare("batch", "--db", database, "--format", form, given=table, status=1)
        if lines.count("\n") != ROWS + (form == "csv"):
            raise SystemExit(f"batch --format {form} has {lines.count(chr(10))} lines for {ROWS} rows")
    path = folder / "Gärten am Fluß.csv"
    path.write_bytes(b"\xef\xbb\xbf" + table[:5000].rpartition(b"\n")[0] + b"\r\n")
    programs.compare("batch", "--db", database, "--input", path, "--allow-missing", status=0)
    programs.compare("batch", "--db", database, given=b"lat,lon\nnorth,west\n", status=1)
    programs.compare("batch", "--db", database, given=b"north,west\n44.5,-37.5\n", status=3)


def check_demand(programs, database, folder):
    zones = folder / "Zonen für später.toml"
    zones.write_bytes((PROJECT / "sample-inputs/merrow-zones.toml").read_bytes())
    for form, language, units in itertools.product(("text", "json", "csv", "html", "ics"), ("en", "es"),
                                                   ("us", "metric")):
        programs.compare("demand", "--db", database, "--postal", "04107", "--zones", zones, "--format", form,
                         "--language", language, "--units", units, *(["--calendar-year", 2027] if form == "ics" else []),
                         status=0)
    zones.write_bytes(zones.read_bytes() + b"\nfl\xc3\xa4che = 3\n")
    programs.compare("demand", "--db", database, "--postal", "04107", "--zones", zones, status=3)


def check_site(programs, database, folder):
    programs.compare("site", "--db", database, "--at", "44°36′ N, 37°33′ W", status=0)
    programs.compare("site", "--postal", "04103", THIRSTLINE_DB=str(database), status=0)
    programs.compare("site", "--db", folder / "nicht da, größer.sqlite", "--postal", "04103", status=5)
    programs.compare("site", "--db", folder, "--postal", "04103", status=5)
    programs.compare("site", "--postal", "04103", status=2)
    programs.compare("seite", status=2)
    for words in ([], ["site"], ["near"], ["demand"], ["batch"], ["info"], ["verify"]):
        programs.compare(*words, "--help", status=0)


def check_damage(programs, database, folder):
    whole = database.read_bytes()
    path = folder / "beschädigt.sqlite"
    path.write_bytes(whole[:-4096])
    programs.compare("site", "--db", path, "--postal", "04103", status=4)
    chance = random.Random(SEED)
    refused = 0
    for _ in range(20):
        bytes_now = bytearray(whole)
        for _ in range(100):
            bytes_now[chance.randrange(100, len(whole))] ^= 1 << chance.randrange(8)
        path.write_bytes(bytes_now)
        programs.compare("verify", "--db", path, status=4)
        refused += 1
    return refused


def check_signature(programs, database, folder):
    secret, public = folder / "Schlüssel.key", folder / "Schlüssel.pub"
    subprocess.run(["minisign", "-G", "-W", "-p", public, "-s", secret], check=True, capture_output=True)
    subprocess.run(["minisign", "-S", "-s", secret, "-m", database], check=True, capture_output=True, input=b"")
    programs.compare("verify", "--db", database, "--key", public, status=0)
    signature = Path(f"{database}.minisig")
    signature.write_text(signature.read_text(encoding="utf-8").replace("file:", "file :"), encoding="utf-8")
    programs.compare("verify", "--db", database, "--key", public, status=4)


def check_locale(programs, database, folder):
    """Without a variable, the units are those of Windows' settings: HKCU, iMeasure, "1" for inches. (In such a locale
    Wine itself cannot start a program whose path has umlauts.)"""
    folder.mkdir()
    shutil.copy(programs.windows[-1], folder)
    shutil.copy(database, folder / "merrow.sqlite")
    plain = Programs(programs.linux[0], folder / "thirstline-lookup.exe", programs.prefix)
    question = ["site", "--db", str(folder / "merrow.sqlite"), "--postal", "04103"]
    plain.compare(*question, LC_ALL="C", status=0)
    for measure, locale in (("1", "en_US.UTF-8"), ("0", "en_GB.UTF-8")):
        programs.wine("reg", "add", r"HKCU\Control Panel\International", "/v", "iMeasure", "/t", "REG_SZ", "/d",
                      measure, "/f")
        wanted = plain.run(plain.linux, *question, LC_ALL=locale)
        got = plain.run(plain.windows, *question)
        if got != wanted:
            raise SystemExit(f"iMeasure {measure} does not give the units of {locale}:\n{got[1].decode()[:600]}")
        plain.compare(*question, LC_ALL=locale, status=0)
    programs.count += plain.count
    programs.repeated += plain.repeated


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--zip", required=True, type=Path)
    parser.add_argument("--build", required=True, type=Path)
    parser.add_argument("--wine-prefix", required=True, type=Path)
    options = parser.parse_args()
    build = options.build.resolve(strict=True)

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "Täler und Flüsse"
        folder.mkdir()
        program = unpacked(options.zip, folder)
        check_libraries(program)
        programs = Programs(build / "lookup/thirstline-lookup", program, options.wine_prefix.resolve())
        programs.wine("wineboot", "--init")
        database = folder / "Tal der Mérrow.sqlite"
        subprocess.run([build / "builder/thirstline-builder", "build", PROJECT / "sample-inputs/merrow.toml", "-o",
                        database], check=True, capture_output=True)
        try:
            check_site(programs, database, folder)
            check_batch(programs, database, folder)
            check_demand(programs, database, folder)
            check_locale(programs, database, Path(name) / "plain")
            check_damage(programs, database, folder)
            check_signature(programs, database, folder)
            walk = Path(name) / "walk"
            walk.mkdir()
            calls = check_readme(programs, build, walk)
        finally:
            subprocess.run([WINE_SERVER, "-k"], env=programs.environment(), check=False)
    print(f"the program for Windows answers as the one for Linux: {calls} calls of README.md, {programs.count} others, "
          f"{ROWS} rows of batch; {program.name}: {options.zip.stat().st_size} bytes zipped"
          + (f"; repeated because of Wine: {programs.repeated}" if programs.repeated else ""))
    return 0


if __name__ == "__main__":
    sys.exit(main())
