#!/usr/bin/env python3
"""Commands that write files, killed at random moments or without room to write.

    check_killed_commands.py --builder PROGRAM --recipe FILE [--kills N] [--seed N]

Each command is killed (SIGKILL), ended (SIGTERM) or refused room for its files (RLIMIT_FSIZE), with and without
an older result in place. Afterwards its target must be absent, the older result or the whole new one, byte for
byte (of csv, which writes two files, the table may be without its text of sources); and the same command, run
again to its end, must give the whole result and leave nothing else behind.
Results are reproducible, so that "whole" means the bytes of a run that nobody disturbed.
"""
import argparse
import collections
import hashlib
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path


def content(folder):
    """Every file below a folder, by its relative path: its SHA-256."""
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(folder.rglob("*")) if path.is_file()}


def is_partial(name):
    return ".partial-" in name


def is_table_alone(found, *results):
    """Two files cannot be replaced at once: between them there is the table, whole, without its text of sources,
    and never with that of another table."""
    names = list(found)
    return (len(names) == 1 and names[0].endswith(".csv")
            and any(result.get(names[0]) == found[names[0]] for result in results))


class Command:
    """A command that writes into an empty folder, and one that makes the older result there."""

    def __init__(self, name, arguments, older):
        self.name = name
        self.arguments = arguments
        self.older = older
        self.whole = self.old = None
        self.seconds = 0.0


def run(program, arguments, folder, **options):
    return subprocess.run([program, *arguments], cwd=folder, stdout=subprocess.DEVNULL,
                          stderr=subprocess.PIPE, text=True, check=False, **options)


class Harness:
    def __init__(self, program, recipe, work):
        self.program = program
        self.work = work
        self.inputs = work / "inputs"
        shutil.copytree(recipe.parent, self.inputs)
        self.faults = []
        self.states = collections.Counter()
        text = recipe.read_text(encoding="utf-8")
        self.write_recipe("new", text)
        self.write_recipe("old", re.sub(r"spacing_arcsec = \d+", "spacing_arcsec = 600", text))
        self.write_recipe("compact", text.replace("[output]", '[output]\ncode = "compact"'))

    def write_recipe(self, name, text):
        (self.inputs / f"{name}.toml").write_text(text, encoding="utf-8")

    def must(self, arguments, folder):
        done = run(self.program, arguments, folder)
        if done.returncode != 0:
            sys.exit(f"{' '.join(arguments)}: {done.stderr}")

    def commands(self):
        given = self.inputs
        for name in ("new", "old"):
            self.must(["build", f"{name}.toml", "-o", f"{name}.sqlite"], given)
        rows = self.tile_rows()
        parts = [f"part{i}.sqlite" for i in range(2)]
        for part, (first, last) in zip(parts, ((0, rows // 2), (rows // 2, rows))):
            self.must(["build", "new.toml", "-o", part, "--tile-rows", f"{first}:{last}"], given)
        old_build = ["build", f"{given}/old.toml", "-o", "w.sqlite"]
        yield Command("build", ["build", f"{given}/new.toml", "-o", "w.sqlite"], old_build)
        yield Command("build compact", ["build", f"{given}/compact.toml", "-o", "w.sqlite"], old_build)
        yield Command("join", ["join", *(f"{given}/{part}" for part in parts), "-o", "w.sqlite"], old_build)
        for form, target in (("sqlite", "x.sqlite"), ("image", "x.img"), ("csv", "x.csv"), ("geotiff", "x.tif"),
                             ("netcdf", "x.nc"), ("geopackage", "x.gpkg")):
            yield Command(f"export {form}", ["export", f"{given}/new.sqlite", "--as", form, "-o", target],
                          ["export", f"{given}/old.sqlite", "--as", form, "-o", target])
        yield Command("publish", ["publish", f"{given}/new.sqlite", "-o", "site"],
                      ["publish", f"{given}/old.sqlite", "-o", "site"])

    def tile_rows(self):
        """How many rows of tiles the build has: from the message about too many."""
        done = run(self.program, ["build", "new.toml", "-o", "none.sqlite", "--tile-rows", "0:100000"], self.inputs)
        return int(re.search(r"within 0:(\d+)", done.stderr).group(1))

    def measure(self, command):
        for arguments, attribute in ((command.older, "old"), (command.arguments, "whole")):
            folder = self.folder()
            begin = time.monotonic()
            self.must(arguments, folder)
            command.seconds = time.monotonic() - begin
            setattr(command, attribute, content(folder))
            shutil.rmtree(folder)

    def folder(self):
        return Path(tempfile.mkdtemp(dir=self.work))

    def disturb(self, command, how, chance):
        folder = self.folder()
        has_old = chance.random() < 0.5
        arguments = list(command.arguments)
        if has_old:
            self.must(command.older, folder)
            arguments.append("--overwrite")
        options = {}
        if how == "no room":
            limit = int(chance.random() ** 3 * 400_000)
            options["preexec_fn"] = lambda: (signal.signal(signal.SIGXFSZ, signal.SIG_IGN),
                                             resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)))
        process = subprocess.Popen([self.program, *arguments], cwd=folder, stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL, **options)
        if how == "no room":
            process.wait()
        else:
            time.sleep(chance.random() * command.seconds * 1.05)
            process.send_signal(signal.SIGKILL if how == "killed" else signal.SIGTERM)
            process.wait()
        self.check(command, how, folder, has_old)
        again = [word for word in arguments if word != "--overwrite"] + ["--overwrite"]
        done = run(self.program, again, folder)
        if done.returncode != 0 or content(folder) != command.whole:
            extra = sorted(set(content(folder)) - set(command.whole))
            self.faults.append(f"{command.name}, {how}: the next run ends with {done.returncode}, leaves {extra}")
        shutil.rmtree(folder)

    def check(self, command, how, folder, has_old):
        found = content(folder)
        if how != "killed" and any(is_partial(name) for name in found):
            self.faults.append(f"{command.name}, {how}: left {[n for n in found if is_partial(n)][:3]}")
        found = {name: digest for name, digest in found.items() if not is_partial(name)}
        old = command.old if has_old else {}
        if found == command.whole:
            self.states["new"] += 1
        elif found == old:
            self.states["old" if has_old else "absent"] += 1
        elif how == "killed" and is_table_alone(found, command.whole, old):
            self.states["table without its text of sources"] += 1
        else:
            self.faults.append(f"{command.name}, {how}, {'over an older' if has_old else 'without an older'} result: "
                               f"neither the old nor the new one, but {sorted(found)[:6]}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--builder", required=True, type=Path)
    parser.add_argument("--recipe", required=True, type=Path)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    chance = random.Random(options.seed)
    with tempfile.TemporaryDirectory() as work:
        harness = Harness(str(options.builder.resolve()), options.recipe.resolve(), Path(work))
        commands = list(harness.commands())
        for command in commands:
            harness.measure(command)
        ways = ("killed", "killed", "killed", "ended", "no room")
        for i in range(options.kills):
            harness.disturb(commands[i % len(commands)], ways[i // len(commands) % len(ways)], chance)
    print(f"seed {options.seed}: {options.kills} disturbed commands of {len(commands)} kinds; then: "
          + ", ".join(f"{count} {state}" for state, count in sorted(harness.states.items())))
    for fault in harness.faults:
        print(fault)
    print(f"{len(harness.faults)} faults")
    return 1 if harness.faults else 0


if __name__ == "__main__":
    sys.exit(main())
