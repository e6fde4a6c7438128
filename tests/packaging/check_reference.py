"""Checks that man page and completions have exactly the options of each command's --help.

    check_reference.py --reference FOLDER PROGRAM…

The FOLDER has <program>.1, <program>.bash, _<program> and <program>.fish. bash is run; zsh and fish are
run if they are installed, otherwise their files are read. Words offered as an option's values are passed
to the program, which must accept them, and must reject another word.
"""

import argparse
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

# An option of a help text. Names of values begin with a capital letter, descriptions do not.
HELP_OPTION = re.compile(r"^  ((?:-\w,)?--[a-z][\w-]*|-\w)(?: ([A-Z]\S*)(?=\s|$))?")
# How the programs reject a value: "--format must be one of text, json, not "x"".
REJECTED = "must be"


def output_of(*command, check=True):
    done = subprocess.run([str(word) for word in command], capture_output=True, encoding="utf-8",
                          check=False, stdin=subprocess.DEVNULL)
    if check and done.returncode != 0:
        raise SystemExit(f"{' '.join(map(str, command))} left with {done.returncode}: {done.stderr}")
    return done.stdout if check else done.stdout + done.stderr


class Help:
    """What --help says: options with the names of their values, arguments, and what is required."""

    def __init__(self, program, *command):
        text = output_of(program, *command, "--help")
        self.options = {}
        self.required = []
        usage = text.partition("Usage:")[2].partition("\n")[0]
        self.arguments = [word for word in usage.split()[2:] if word[0].isupper()]
        body = re.sub(r"Arguments:\n.*?\n\n", "", text.partition("\nExamples:")[0], flags=re.DOTALL)
        for line in body.splitlines():
            found = HELP_OPTION.match(line)
            if not found:
                continue
            value = found[2] or ""
            for name in found[1].split(","):
                self.options[name] = value
            if "(required)" in line:
                self.required += [found[1].split(",")[-1], "x"]
        listed = text.partition("Commands:\n")[2].partition("\n\n")[0]
        self.commands = re.findall(r"^  ([\w-]+)", listed, re.MULTILINE)
        self.examples = re.findall(r"^  (\S.*)", text.partition("\nExamples:\n")[2].partition(
            "\n\n")[0], re.MULTILINE)

    def names(self):
        return set(self.options)


def plain(roff):
    text = re.sub(r"\\f[BIR]", "", roff).replace(r"\&", "").replace(r"\(aq", "'")
    return text.replace(r"\-", "-").replace(r"\e", "\\")


def options_of_man(section):
    """The names of options and of their values, from the headings after .TP."""
    options = {}
    for heading in re.findall(r"^\.TP\n(.*)$", section, re.MULTILINE):
        words = [word.rstrip(",") for word in plain(heading).split()]
        names = [word for word in words if word.startswith("-")]
        rest = [word for word in words if not word.startswith("-") and word != "..."]
        for name in names:
            options[name] = rest[0] if rest else ""
    return options


def complaints_of_groff(page):
    if not shutil.which("groff"):
        return
    complaints = output_of("groff", "-man", "-Tutf8", "-ww", "-k", page, check=False)
    for line in re.findall(r"^.*(?:warning|error):.*$", complaints, re.MULTILINE):
        yield f"{page.name}: {line}"


def faults_of_man(page, helps):
    text = page.read_text(encoding="utf-8")
    if "@" in re.sub(r"\S+@\S+\.\S+", "", text):
        yield f"{page.name} holds a mark that was not replaced"
    before = text.partition(".SH OPTIONS\n")[2].partition(".SH COMMANDS\n")[0]
    sections = dict(re.findall(r"^\.SS (\S+)\n(.*?)(?=^\.S[SH] )", text, re.MULTILINE | re.DOTALL))
    sections = {plain(name): body for name, body in sections.items()}
    listed = {"": options_of_man(before),
              **{name: options_of_man(body) for name, body in sections.items()}}
    if set(listed) != set(helps):
        yield f"{page.name} has {sorted(listed)}, --help has {sorted(helps)}"
    for name in listed.keys() & helps.keys():
        if listed[name] != helps[name].options:
            yield (f"{page.name}, {name or 'before a command'}: {listed[name]}, "
                   f"and --help {helps[name].options}")
        for example in helps[name].examples if name else []:
            if example not in plain(sections[name]):
                yield f"{page.name}, {name}: lacks the example {example}"
    yield from complaints_of_groff(page)


class Bash:
    def __init__(self, program, reference):
        self.file = reference / f"{program}.bash"
        self.function = "_" + program.replace("-", "_")

    def offers(self, *words):
        script = ('source "$1"; shift; function=$1; shift; asked=; '
                  'compopt() { asked="$asked $*"; }; '
                  'COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); "$function"; '
                  'printf "%s\\n" "${COMPREPLY[@]}"')
        lines = output_of("bash", "-c", script, "bash", self.file, self.function, *words).splitlines()
        return {word for line in lines for word in shlex.split(line)}


class Fish:
    def __init__(self, program, reference):
        self.file = reference / f"{program}.fish"

    def offers(self, *words):
        line = " ".join(words)
        with tempfile.TemporaryDirectory() as home:
            text = output_of("env", f"HOME={home}", f"XDG_CONFIG_HOME={home}", "fish", "--no-config",
                             "-c", f"source '{self.file}'; complete -C '{line}'")
        return {entry.partition("\t")[0] for entry in text.splitlines()}


def options_in_zsh(text, program):
    """The options of each command, from the specs of _arguments."""
    function = text.partition("    _arguments -C")[2]
    before = function.partition("    case $state in")[0]
    spec = re.compile(r"'(?:\([^)]*\))?(--?[\w-]+)\[")
    listed = {"": set(spec.findall(before))}
    for name, body in re.findall(r"^                ([\w-]+)\)\n(.*?)^                    ;;",
                                 function, re.MULTILINE | re.DOTALL):
        listed[name] = set(spec.findall(body))
    return listed


def faults_of_zsh(program, reference, helps):
    file = reference / f"_{program}"
    listed = options_in_zsh(file.read_text(encoding="utf-8"), program)
    for name in listed.keys() | helps.keys():
        expected = helps[name].names() if name in helps else None
        if listed.get(name) != expected:
            yield f"{file.name}, {name or 'before a command'}: {listed.get(name)}, and --help {expected}"
    if shutil.which("zsh"):
        complaints = output_of("zsh", "-n", file, check=False)
        if complaints:
            yield f"{file.name}: {complaints}"


def faults_of_bash(program, reference, helps):
    bash = Bash(program, reference)
    offered = bash.offers(program, "")
    expected = helps[""].names() | set(helps) - {""}
    if offered != expected:
        yield f"bash offers {sorted(offered)} after {program}, and --help {sorted(expected)}"
    for name, listed in helps.items():
        if name and (offered := bash.offers(program, name, "-")) != listed.names():
            yield f"bash offers {sorted(offered)} after {name}, and --help {sorted(listed.names())}"


def faults_of_fish(program, reference, helps):
    if not shutil.which("fish"):
        return
    fish = Fish(program, reference)
    if (offered := fish.offers(program, "")) != set(helps) - {""}:
        yield f"fish offers {sorted(offered)} after {program}"
    for name, listed in helps.items():
        # Of an option with two spellings fish offers the long one after "--".
        expected = {option for option in listed.names() if option.startswith("--")}
        offered = fish.offers(program, *([name] if name else []), "--")
        if offered != expected:
            yield f"fish offers {sorted(offered)} after {name}, and --help {sorted(expected)}"


def faults_of_words(program_path, reference, helps):
    program = program_path.name
    bash = Bash(program, reference)
    lists = 0
    for name, listed in helps.items():
        for option, value in listed.options.items() if name else []:
            words = bash.offers(program, name, option, "") if value else set()
            if not words:
                continue
            lists += 1
            arguments = [f"absent-{argument.lower()}" for argument in listed.arguments]
            required = list(listed.required)
            site = ["--at", "44,-37"] if "--at" in listed.options else []
            if option in required:
                at = required.index(option)
                del required[at:at + 2]
            for word in [*sorted(words), "no-such-word"]:
                said = output_of(program_path, name, *arguments, *required, *site, option, word,
                                 check=False)
                refused = re.search(f"{option} {REJECTED}", said) is not None
                if refused != (word == "no-such-word"):
                    yield f"{program} {name} {option} {word} is offered or not, but says: {said}"
    if lists == 0:
        yield f"{program}: bash offers no words for any option"


def faults_of(program_path, reference):
    program = program_path.name
    helps = {"": Help(program_path)}
    helps.update({name: Help(program_path, name) for name in helps[""].commands})
    if len(helps) < 4:
        yield f"{program} --help lists only {sorted(helps)}"
    yield from faults_of_man(reference / f"{program}.1", helps)
    yield from faults_of_bash(program, reference, helps)
    yield from faults_of_zsh(program, reference, helps)
    yield from faults_of_fish(program, reference, helps)
    yield from faults_of_words(program_path, reference, helps)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--reference", required=True, type=Path)
    parser.add_argument("programs", nargs="+", type=Path)
    options = parser.parse_args()
    faults = [fault for program in options.programs
              for fault in faults_of(program, options.reference)]
    # The pages of file formats have no commands.
    pages = sorted(options.reference.glob("*.5"))
    faults += [fault for page in pages for fault in complaints_of_groff(page)]
    print("\n".join(faults) or "man pages and completions agree with --help")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
