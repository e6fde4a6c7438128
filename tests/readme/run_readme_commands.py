"""Runs every command in README.md and compares its output with the one shown there.

In a ```console block:
    $ command           run; all commands of the page share one shell, so cd and export remain in effect
    any other lines     the command's output on a terminal: standard output and errors together.
                        A command without such lines is only checked for its exit status
    …                   alone on a line: any lines, or none
    (exit status 3)     the last line of a command that must fail with it; otherwise 0 is expected

A ```console network block needs a network and real providers, so it is not run here: its options must exist. Another
test runs its commands against imitated providers (tests/builder/fetch/check_newcomers_path.py).

A ```python block is a program that is run after all commands, in the folder where they end. Its last lines are
comments: what it prints.

A ```toml block is a whole recipe: the builder must find no fault except that its files are missing. Other
blocks must not contain commands of ours, and the text no option, command or link that does not exist.

    run_readme_commands.py --build FOLDER [--update]

--update writes what the commands print now into the page, and keeps the places left out.
"""

import argparse
import difflib
import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
LEFT_OUT = "…"
CALLER = "sh tests/run-tests.sh"  # runs this very check, so it is only looked for
OURS = re.compile(r"^\s*\$ |thirstline-(builder|lookup)\b|\b(run-demo|run-tests)\.sh")
EXIT_STATUS = re.compile(r"\(exit status (\d+)\)$")
SECONDS_FOR_ALL = 240
# A distribution's Python has its packages, and can load extensions into SQLite.
PYTHON = "/usr/bin/python3" if Path("/usr/bin/python3").exists() else sys.executable


@dataclass
class Block:
    kind: str
    first_line: int  # index of the first line within the fences
    lines: list


@dataclass
class Command:
    first_line: int  # index of the line "$ …"
    text: str
    shown: list
    status: int

    def as_lines(self, shown, status):
        return [f"$ {self.text}", *shown] + ([f"(exit status {status})"] if status else [])

    def length(self):
        return len(self.as_lines(self.shown, self.status))


def fenced_blocks(lines):
    blocks, block = [], None
    for index, line in enumerate(lines):
        if not line.lstrip().startswith(("```", "~~~")):
            if block:
                block.lines.append(line)
        elif block:
            blocks.append(block)
            block = None
        else:
            block = Block(line.strip().strip("`~").strip(), index + 1, [])
    if block:
        raise SystemExit(f"README.md:{block.first_line}: this block has no end")
    return blocks


def commands_of(block):
    commands = []
    for offset, line in enumerate(block.lines):
        if line.startswith("$ "):
            commands.append(Command(block.first_line + offset, line[2:], [], 0))
        elif not commands:
            raise SystemExit(f"README.md:{block.first_line + offset + 1}: output before a command")
        else:
            commands[-1].shown.append(line)
    for command in commands:
        status = EXIT_STATUS.match(command.shown[-1]) if command.shown else None
        if status:
            command.status = int(status[1])
            command.shown.pop()
    return commands


def likeness(a, b):
    return 1.0 if a == b else min(0.99, difflib.SequenceMatcher(None, a, b, autojunk=False).ratio())


def place_of(part, printed, start):
    """Where the lines of `part` stand in `printed` from `start` on; else where the likest do."""
    places = range(start, len(printed) - len(part) + 1)
    alike = [sum(likeness(*pair) for pair in zip(part, printed[at:])) for at in places]
    return places[alike.index(max(alike))] if alike else None


def refreshed(shown, printed):
    """What the page should show: `shown` itself if `printed` fits it, else the printed lines in as
    many places, of the same lengths."""
    parts = [[]]
    for line in shown:
        if line == LEFT_OUT:
            parts.append([])
        else:
            parts[-1].append(line)
    if len(parts) == 1:
        return printed
    first, *middle, last = parts
    result, end = printed[:len(first)], len(first)
    for part in middle:
        at = place_of(part, printed, end)
        if at is None:
            return printed
        result += [LEFT_OUT, *printed[at:at + len(part)]]
        end = at + len(part)
    if end + len(last) > len(printed):
        return printed
    return result + [LEFT_OUT] + printed[len(printed) - len(last):]


def environment(folder, programs):
    kept = {name: value for name, value in os.environ.items()
            if not name.startswith(("LC_", "THIRSTLINE_")) and name not in ("LANG", "LANGUAGE")}
    return {**kept, "LC_ALL": "C.UTF-8", "THIRSTLINE_BIN": str(programs),
            "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}", "HOME": str(folder)}


def set_up(folder, build):
    """The tree that the page's first commands expect, without its build; returns the environment to run in."""
    programs = folder / "programs"
    programs.mkdir()
    for program in (build / "builder/thirstline-builder", build / "lookup/thirstline-lookup"):
        (programs / program.name).symlink_to(program.resolve(strict=True))
    (folder / "project").mkdir()
    shutil.copytree(PROJECT / "sample-inputs", folder / "project" / "sample-inputs",
                    ignore=shutil.ignore_patterns("__pycache__"))
    # Where the walk's own build has it.
    extension = folder / "project/build/demo/lookup/sql_extension"
    extension.parent.mkdir(parents=True)
    extension.symlink_to(build / "lookup/sql_extension")
    return environment(folder, programs)


def run_all(commands, folder, env):
    """The printed lines and the exit status of each command; None for those that did not end."""
    records = folder / "records"
    records.mkdir()
    script = []
    for number, command in enumerate(commands):
        (records / f"{number}.sh").write_text(command.text + "\n", encoding="utf-8")
        record = f"{records}/{number}"
        script.append(f'eval "$(cat {record}.sh)" </dev/null >{record}.out 2>&1; '
                      f"echo $? >{record}.status")
    try:
        subprocess.run(["sh", "-c", "\n".join(script)], cwd=folder / "project", env=env,
                       timeout=SECONDS_FOR_ALL, check=False)
    except subprocess.TimeoutExpired:
        print(f"the commands took more than {SECONDS_FOR_ALL} s")
    results = []
    for number in range(len(commands)):
        status = records / f"{number}.status"
        text = status.read_text() if status.exists() else ""
        printed = (records / f"{number}.out").read_text(encoding="utf-8", errors="replace") \
            if text else ""
        results.append((printed.splitlines(), int(text)) if text else None)
    return results


def faults_of_commands(commands, results):
    for command, result in zip(commands, results):
        where = f"README.md:{command.first_line + 1}: $ {command.text}"
        if result is None:
            yield f"{where}\ndid not end"
            continue
        printed, status = result
        if status != command.status:
            yield "\n".join([f"{where}\nleft with {status}, not {command.status}:", *printed[-20:]])
        if command.shown and (wanted := refreshed(command.shown, printed)) != command.shown:
            yield "\n".join([where, *difflib.unified_diff(command.shown, wanted, "shown", "printed",
                                                          lineterm="")])


def faults_of_python(blocks, folder, env):
    for block in (block for block in blocks if block.kind == "python"):
        ended = subprocess.run([PYTHON, "-B", "-c", "\n".join(block.lines)], cwd=folder, env=env,
                               capture_output=True, encoding="utf-8", check=False)
        code = [line.startswith("# ") for line in block.lines]
        shown = [line[2:] for line in block.lines[len(code) - code[::-1].index(False):]]
        if ended.returncode != 0 or ended.stdout.splitlines() != shown:
            yield "\n".join([f"README.md:{block.first_line}: the program left with {ended.returncode}",
                             ended.stderr, *difflib.unified_diff(shown, ended.stdout.splitlines(), "shown",
                                                                 "printed", lineterm="")])


def faults_of_recipes(blocks, folder, env):
    for block in (block for block in blocks if block.kind == "toml"):
        (folder / "recipe.toml").write_text("\n".join(block.lines) + "\n", encoding="utf-8")
        run = subprocess.run(["thirstline-builder", "check", "recipe.toml"], cwd=folder, env=env,
                             capture_output=True, encoding="utf-8", check=False)
        if run.returncode != 5 or "there is no file" not in run.stderr:
            yield (f"README.md:{block.first_line}: the recipe: exit status {run.returncode}\n"
                   f"{run.stderr}")


def help_texts(env):
    """The --help of each program, and of each of its commands by name."""
    def help_of(*words):
        return subprocess.run([*words, "--help"], env=env, capture_output=True, encoding="utf-8",
                              check=True).stdout
    texts = {}
    for program in ("thirstline-builder", "thirstline-lookup"):
        texts[program] = help_of(program)
        listed = texts[program].split("Commands:\n")[1].split("\n\n")[0]
        for name in re.findall(r"^  (\w+)", listed, re.MULTILINE):
            texts[f"{program} {name}"] = help_of(program, name)
    return texts


def faults_of_text(lines, blocks, env):
    texts = help_texts(env)
    options = set(re.findall(r"--[a-z][a-z-]*", "".join(texts.values())))
    prose = dict(enumerate(lines))
    for block in blocks:
        for offset, line in enumerate(block.lines):
            del prose[block.first_line + offset]
            if block.kind == "console network":
                prose[block.first_line + offset] = f"`{line}`"
            elif block.kind != "console" and OURS.search(line):
                yield (f"README.md:{block.first_line + offset + 1}: "
                       "a command in a block that is not run")
    for index, line in prose.items():
        where = f"README.md:{index + 1}"
        for code in re.findall(r"`([^`]+)`", line):
            for option in re.findall(r"--[a-z][a-z-]*", code):
                if option not in options:
                    yield f"{where}: there is no option {option}"
            for command in re.findall(r"thirstline-(?:builder|lookup) \w+", code):
                if command not in texts:
                    yield f"{where}: there is no command {command}"
        for target in re.findall(r"\]\(([^)#:]+)\)", line):
            if not (PROJECT / target).exists():
                yield f"{where}: there is no file {target}"


def updated(lines, commands, results):
    lines = list(lines)
    for command, result in reversed(list(zip(commands, results))):
        if result is None:
            continue
        printed, status = result
        shown = refreshed(command.shown, printed) if command.shown else []
        lines[command.first_line:command.first_line + command.length()] = \
            command.as_lines(shown, status)
    return lines


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", required=True, type=Path, help="the build folder with all that is shown")
    parser.add_argument("--readme", default=PROJECT / "README.md", type=Path)
    parser.add_argument("--update", action="store_true", help="write what is printed into the page")
    options = parser.parse_args()

    sys.stdout.reconfigure(encoding="utf-8")
    build = options.build.resolve(strict=True)
    lines = options.readme.read_text(encoding="utf-8").splitlines()
    blocks = fenced_blocks(lines)
    commands = [command for block in blocks if block.kind == "console"
                for command in commands_of(block) if command.text != CALLER]
    if not commands:
        raise SystemExit("README.md shows no command")

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        env = set_up(folder, build)
        results = run_all(commands, folder, env)
        if options.update:
            options.readme.write_text("\n".join(updated(lines, commands, results)) + "\n",
                                      encoding="utf-8")
            return 1 if None in results else 0
        for_python = {**env, "LD_LIBRARY_PATH": str(build / "lookup/sql_extension"),
                      "PYTHONPATH": str(PROJECT / "lookup/python/source"),
                      "THIRSTLINE_LIBRARY": str(next((build / "lookup/library").glob("libthirstline.so")))}
        faults = [*faults_of_commands(commands, results),
                  *faults_of_python(blocks, folder / "project/build/walk", for_python),
                  *faults_of_recipes(blocks, folder, env),
                  *faults_of_text(lines, blocks, env)]
    if not (PROJECT / CALLER.split()[1]).exists():
        faults.append(f"there is no file {CALLER.split()[1]}")
    print("\n\n".join(faults) if faults else f"{len(commands)} commands do as README.md shows")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
