"""Finds words that readers of the trade stumble over in texts that people see, in documents and in names of
the code.

Usage: check_wording.py [FILE...]      files of the tree; default: all that git lists

Texts are string literals of C, C++, JavaScript and Python, HTML outside of tags, and Markdown outside of
code blocks. Comments are not looked at. Leaves with 1 if it finds anything.
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
    (r"\bspeaks?\b", "uses, reports, applies"),
    (r"\bwhoever\b", "anyone who"),
    (r"\bstrangers?\b", "untrusted source, anyone"),
    (r"\bthrifty\b", "low-water"),
    (r"\banew\b", "again"),
    (r"\bnoughts?\b", "zero"),
    (r"\bkin\b", "reference planes"),
    (r"\bparted\b", "separated"),
    (r"\bsought\b", "looked up"),
    (r"\bstands? (for|in|on|at|beside|there)\b", "is, means"),
    (r"\bbears?\b", "tolerates"),
    (r"\bbrings?\b", "gives, adds"),
    (r"\b(tells?|told) (of|what|how|that)\b", "reports, shows"),
    (r"\bcarried to\b", "adjusted to, converted to"),
    (r"\bhonest(ly)?\b", "say what is exact"),
    (r"\bfar[- ]off\b", "distant"),
    (r"\bprogrammes?\b", "program"),
    (r"\bgrey water\b", "gray water"),
    (r"\d %(?![A-Za-z])", "5%, without a blank"),
    (r"\bper cent\b", "percent"),
]
IN_NAMES = [
    (r"\bk(Most|Least)[A-Z]", "kMax…, kMin…"),
    (r"(^|_)kin(_|$)", "reference"),
    (r"(^|_)(surprise|sought|parted|nought)(_|$)", "corner_error, pending, separated, zero"),
    (r"_(APART|CALLED|FAST)$", "OUTLINE, NOINLINE, ALWAYS_INLINE"),
]
# A pattern over "file: text", and why the words are right there.
EXCEPTIONS = [
    (r"^tests/wording/", "the list itself"),
    (r"^LICENSE", "a license is quoted as it is"),
]

TEXT_SUFFIXES = {".cpp", ".hpp", ".c", ".h", ".mjs", ".js", ".py", ".html", ".md"}
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
    for listed, found in ((IN_TEXTS, texts(path, content)),
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
