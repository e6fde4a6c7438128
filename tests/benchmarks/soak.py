#!/usr/bin/python3
"""Long runs: readers of a file that others keep replacing, and a batch of many rows in bounded memory.

    python3 tests/benchmarks/soak.py --build build/release [--seconds 600] [--replacers 20] [--rows 10000000]

Two editions of the sample valley take turns under one name: each replacer copies one of them beside it and renames the
copy over it, again and again. Meanwhile the command and the Python package ask for the same sites; every answer must
be that of one edition or the other as a whole, and no call may fail.
"""
import argparse
import collections
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
SITES = [(44.6, -37.5), (44.7, -37.6), (44.45, -37.7), (44.9, -37.4)]


def built(builder, folder, name, old, new):
    samples = folder / f"samples-{name}"
    shutil.copytree(PROJECT / "sample-inputs", samples)
    recipe = samples / "merrow.toml"
    text = recipe.read_text("utf-8")
    assert old in text
    recipe.write_text(text.replace(old, new), encoding="utf-8")
    path = folder / f"{name}.sqlite"
    subprocess.run([builder, "build", recipe, "-o", path, "--progress", "never"], check=True, capture_output=True)
    return path


def replace_again_and_again(target, editions, number, stopped, counts):
    draw = random.Random(number)
    beside = target.with_suffix(f".new-{number}")
    while not stopped.is_set():
        shutil.copyfile(draw.choice(editions), beside)
        os.replace(beside, target)
        counts["replaced"] += 1
        time.sleep(draw.uniform(0, 0.05))


def by_command(lookup, path, site):
    done = subprocess.run([lookup, "site", "--at", f"{site[0]},{site[1]}", "--format", "json", "--db", path],
                          capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else f"status {done.returncode}: {done.stderr}"


def ask_commands(lookup, target, expected, stopped, counts):
    draw = random.Random(1)
    while not stopped.is_set():
        site = draw.choice(SITES)
        counts["by the command"] += 1
        answer = by_command(lookup, target, site)
        if answer not in expected[site]:
            counts["wrong"] += 1
            print(answer[:300], flush=True)


def ask_the_library(thirstline, target, expected, stopped, counts):
    draw = random.Random(2)
    while not stopped.is_set():
        try:
            with thirstline.Baseline(target) as baseline:
                answers = [(site, baseline.site(*site)) for site in draw.sample(SITES, 2)]
        except thirstline.ThirstlineError as error:
            counts["wrong"] += 1
            print(error, flush=True)
            continue
        counts["by the library"] += len(answers)
        editions = [{edition for edition, known in expected.items() if known[site] == answer}
                    for site, answer in answers]
        if not set.intersection(*editions):
            counts["wrong"] += 1
            print("an answer of neither edition, or of both", flush=True)


def soak(options, folder):
    sys.path.insert(0, str(PROJECT / "lookup/python/source"))
    os.environ.setdefault("THIRSTLINE_LIBRARY", str(next(options.build.glob("lookup/**/libthirstline.so.?"))))
    import thirstline  # pylint: disable=import-outside-toplevel
    lookup, builder = options.build / "lookup/thirstline-lookup", options.build / "builder/thirstline-builder"
    editions = [built(builder, folder, "a", 'layers = ["temperature"]', 'layers = ["temperature"]'),
                built(builder, folder, "b", 'layers = ["temperature"]', 'layers = ["temperature"]\ncode = "compact"')]
    # The second has the same numbers in another form; a third has others.
    editions.append(built(builder, folder, "c", 'site_correction = "reference"', 'site_correction = "none"'))
    commands = {site: {by_command(lookup, edition, site) for edition in editions} for site in SITES}
    libraries = {}
    for edition in editions:
        with thirstline.Baseline(edition) as baseline:
            libraries[edition] = {site: baseline.site(*site) for site in SITES}
    target = folder / "current.sqlite"
    shutil.copyfile(editions[0], target)
    counts, stopped = collections.Counter(), threading.Event()
    threads = [threading.Thread(target=replace_again_and_again, args=(target, editions, number, stopped, counts))
               for number in range(options.replacers)]
    threads += [threading.Thread(target=ask_commands, args=(lookup, target, commands, stopped, counts)),
                threading.Thread(target=ask_the_library, args=(thirstline, target, libraries, stopped, counts))]
    for thread in threads:
        thread.start()
    time.sleep(options.seconds)
    stopped.set()
    for thread in threads:
        thread.join()
    print(f"{options.seconds} s with {options.replacers} replacers: {json.dumps(counts)}", flush=True)
    return counts["wrong"] == 0 and counts["by the command"] > 0 and counts["by the library"] > 0


def many_rows(options, folder):
    lookup = options.build / "lookup/thirstline-lookup"
    draw = random.Random(3)
    block = "".join(f"{draw.uniform(43.8, 45.4):.4f},{draw.uniform(-38.8, -36.8):.4f}\n" for _ in range(10_000))
    program = [lookup, "batch", "--db", folder / "a.sqlite"]
    with subprocess.Popen(program, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, bufsize=1 << 20) as batch:
        lines = collections.Counter()

        def count():
            while text := batch.stdout.read(1 << 20):
                lines["rows"] += text.count("\n")

        counter = threading.Thread(target=count)
        counter.start()
        batch.stdin.write("lat,lon\n")
        for _ in range(options.rows // 10_000):
            batch.stdin.write(block)
        batch.stdin.close()
        counter.join()
        _, status, usage = os.wait4(batch.pid, 0)
        batch.returncode = os.waitstatus_to_exitcode(status)
    print(f"batch of {options.rows} rows: {lines['rows'] - 1} answered, {usage.ru_maxrss / 1024:.0f} MB, "
          f"{usage.ru_utime:.0f} s of processor time, status {batch.returncode}")
    return lines["rows"] == options.rows + 1


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--build", required=True, type=Path)
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--replacers", type=int, default=20)
    parser.add_argument("--rows", type=int, default=10_000_000)
    options = parser.parse_args()
    options.build = options.build.resolve(strict=True)
    with tempfile.TemporaryDirectory() as name:
        good = [soak(options, Path(name)), many_rows(options, Path(name))]
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main())
