"""Finds words that readers of the trade stumble over in texts that people see, in documents and in names of
the code.

Usage: check_wording.py [FILE...]      files of the tree; default: all that git lists

Texts are string literals of C, C++, JavaScript and Python, HTML outside of tags, Markdown outside of code
blocks, and all of man pages, schemas and sample recipes. Comments of code are not looked at. Exits with 1 if it
finds anything.
"""
import re
import subprocess
import sys
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]

# What is written, and what to write instead.
IN_TEXTS = [
    (r"(?<!there )(?<!There )\bis no (?!longer\b|more than\b)[a-z]+", "is not a …, must be …"),
    (r"is none that", "is not valid for"),
    (r"left aside|leaves? aside", "rejected"),
    (r"\bmend(s|ed|ing)?\b", "fix"),
    (r"\bspeaks?\b|\bspoken (of|for)\b", "uses, reports, applies"),
    (r"\bwhoever\b", "anyone who"),
    (r"\bstrangers?\b", "untrusted source, anyone"),
    (r"\bthrifty\b", "low-water"),
    (r"\banew\b", "again"),
    (r"\bnoughts?\b", "zero"),
    (r"\bkin\b", "reference planes"),
    (r"\bparted\b", "separated"),
    (r"\bsought\b", "looked up"),
    (r"\b(stands?|stood)\b(?!-)", "is, means, precedes"),
    (r"\b(bears?|borne)\b", "tolerates"),
    (r"\b(brings?|brought)\b", "gives, adds, applies"),
    (r"\b(tells?|told)\b", "reports, shows, states"),
    (r"\b(is|are|be) carried\b|\bcarried (to|into|from)\b", "adjusted to, converted to, included in"),
    (r"\blies? (outside|inside|beside|after|before)\b", "is outside, is after"),
    (r"\b(key|keys|keyed) (in|into) (?!runs\b|minutes)", "enter"),
    (r"\bleaves? (with|again with) \d", "exits with status"),
    (r"\bsays again\b", "gives the same"),
    (r"\bthat no [a-z ]+ (can have|has)\b", "is not valid, implausible"),
    (r"\bmeans nothing\b", "is not valid"),
    (r"\bspoil(s|ed|t)?\b", "reject, damage"),
    (r"\bhonest(ly)?\b", "say what is exact"),
    (r"\bfar[- ]off\b", "distant"),
    (r"\bprogrammes?\b", "program"),
    (r"\bgrey water\b", "gray water"),
    (r"\d %(?![A-Za-z]| \d)|%[-+]?\d*(\.\d+)?[fgd] %%", "5%, without a blank"),
    (r"\bper cent\b", "percent"),
]
# In literals of the programs, which are written in US spelling; keys of recipes and JSON are not words.
IN_OUTPUT = [
    (r"\b(neighbour|colour|favour|behaviour|labour)(s|ing|ed|s')?\b(?![_/.])"
     r"|\b(milli|kilo|centi)?metres?\b|\blitres?\b|\bcentres?\b|\bmodelled\b|\bvapour(?=[ -])|\bgrey\b", "US spelling"),
    (r"\b(a|the|of|this|its) licences?\b|\blicences? (of|is|are|does|for|that)\b",
     "license, except as a key"),
]
IN_NAMES = [
    (r"\bk(Most|Least)[A-Z]", "kMax…, kMin…"),
    (r"(^|_)kin(_|$)", "reference"),
    (r"(^|_)(surprise|sought|parted|noughts?)(_|$)", "corner_error, pending, separated, zero"),
    (r"(^|_)(carry|carried|carrying)(_|$)|Carr(y|ied|ying)([A-Z]|$)(?<!CarriageReturn)", "adjust, adjusted"),
    (r"(^|_)(beliefs?|saying|anew|undoubted)(_|$)|Belie(f|ve|vable)|Undoubted", "plausibility"),
    (r"(^|_)held(_|$)|Is(Not)?Held|AreHeld", "clamped, kept"),
    (r"(^|_)(wild|surprise)(_|$)", "outlier"),
    (r"(Tells?|Told|Speaks?|Noughts?|Stranger|Honest|LeftAside|Aloud|Mends?|Bears|Brings?)([A-Z]|$)",
     "the plain verb of what is tested"),
    (r"_(APART|CALLED|FAST)$", "OUTLINE, NOINLINE, ALWAYS_INLINE"),
]
# A pattern over "file: text", and why the words are right there.
EXCEPTIONS = [
    (r"^builder/evaluation/evaluation_report.cpp: neighbours$", "a name in JSON"),
    (r"^builder/grids/variables_and_units.cpp: metres$", "a spelling of a unit that recipes may have"),
    (r"^builder/inputs/archive_files.cpp: VSIFTellL$", "a function of GDAL"),
    (r"^lookup/demand/WORKED_EXAMPLE.md: ", "the settings of the controller are keyed into it"),
    (r"^tests/wording/", "the list itself"),
    (r"^LICENSE", "a license is quoted as it is"),
]

TEXT_SUFFIXES = {".cpp", ".hpp", ".c", ".h", ".mjs", ".js", ".py", ".html", ".md", ".in", ".5", ".json", ".toml"}
CODE_SUFFIXES = {".cpp", ".hpp", ".c", ".h", ".mjs", ".js"}


def without_comments(code):
    """Block and line comments made blank, so that lines keep their numbers; literals stay."""
    token = re.compile(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'|`(?:\\.|[^`\\])*`',
                       re.DOTALL)

    def kept(match):
        text = match[0]
        return re.sub(r"[^\n]", " ", text) if text.startswith(("//", "/*")) else text

    return token.sub(kept, code)


def literals(code):
    """(line, text) of each literal; neighbours with nothing between them are one."""
    literal = re.compile(r'"((?:\\.|[^"\\\n])*)"(?:\s*"((?:\\.|[^"\\\n])*)")*|`((?:\\.|[^`\\])*)`', re.DOTALL)
    for match in literal.finditer(code):
        parts = re.findall(r'"((?:\\.|[^"\\\n])*)"', match[0]) or [match[3] or ""]
        yield code.count("\n", 0, match.start()) + 1, "".join(parts)


def texts(path, content):
    if path.suffix == ".md":
        shown = re.sub(r"```.*?```", lambda block: "\n" * block[0].count("\n"), content, flags=re.DOTALL)
        shown = re.sub(r"`[^`\n]*`", "", shown)
        yield from enumerate(shown.split("\n"), 1)
    elif path.suffix in {".in", ".5", ".json", ".toml"}:
        yield from enumerate(content.split("\n"), 1)
    elif path.suffix == ".html":
        yield from enumerate(re.sub(r"<[^>]*>", " ", content).split("\n"), 1)
    elif path.suffix == ".py":
        code = re.sub(r"#[^\n]*", "", content)
        yield from literals(re.sub(r'"""|\'\'\'', " ", code))
    else:
        yield from literals(without_comments(content))


def names(content):
    code = re.sub(r'"(?:\\.|[^"\\\n])*"|`(?:\\.|[^`\\])*`', "", without_comments(content))
    for number, line in enumerate(code.split("\n"), 1):
        for name in re.findall(r"[A-Za-z_][A-Za-z0-9_]*", line):
            yield number, name


def faults(path, content, place):
    is_output = path.suffix in CODE_SUFFIXES and not place.startswith("tests/")
    for listed, found in ((IN_TEXTS + (IN_OUTPUT if is_output else []), texts(path, content)),
                          (IN_NAMES, names(content) if path.suffix in CODE_SUFFIXES else ())):
        for line, text in found:
            for pattern, instead in listed:
                match = re.search(pattern, text)
                if match and not any(re.search(exception, f"{place}: {text}") for exception, _ in EXCEPTIONS):
                    yield f'{place}:{line}: "{match[0]}" in "{text.strip()[:90]}"; write: {instead}'


def main():
    listed = sys.argv[1:] or subprocess.run(["git", "ls-files"], cwd=PROJECT, capture_output=True, text=True,
                                            check=True).stdout.split("\n")
    found = []
    for name in listed:
        path = (PROJECT / name).resolve()
        if path.suffix not in TEXT_SUFFIXES or not path.is_file():
            continue
        place = str(path.relative_to(PROJECT)) if path.is_relative_to(PROJECT) else str(path)
        found += faults(path, path.read_text(encoding="utf-8"), place)
    for fault in found:
        print(fault)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
