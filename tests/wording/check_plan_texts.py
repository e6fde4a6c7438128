#!/usr/bin/python3
"""Compares the table of a plan's texts with its use.

    check_plan_texts.py SOURCE_TREE

Finds keys that no source uses, uses whose arguments are not those of the text, and words in the
sources of a plan that are not in the table.
"""

import pathlib
import re
import sys

FOLDERS = ["lookup/demand", "lookup/demand_output", "lookup/site", "lookup/site_output",
           "lookup/texts", "lookup/page_core"]  # fmt: skip
# Sources whose literals are read by people as part of a plan.
PLAN_SOURCES = """
    lookup/demand/demand_cautions.cpp lookup/demand/handbook.cpp lookup/demand/handbook.hpp
    lookup/demand/new_planting.cpp lookup/demand/plan_assumptions.cpp lookup/demand/quantity_text.cpp
    lookup/demand/rule_conflicts.cpp lookup/demand/watering_days.cpp
    lookup/demand_output/demand_chart.cpp lookup/demand_output/demand_ics.cpp
    lookup/demand_output/demand_page.cpp lookup/demand_output/demand_sentences.cpp
    lookup/demand_output/demand_tables.cpp lookup/demand_output/demand_text.cpp
    lookup/demand_output/month_cells.cpp lookup/demand_output/reader_numbers.cpp
    lookup/demand_output/rule_sentences.cpp lookup/demand_output/shared_assumptions.cpp
    lookup/demand_output/watering_calendar.cpp lookup/site_output/site_words.cpp
    lookup/site_output/source_sentences.cpp
    """.split()
# Units that are the same in both languages, and markup.
NO_WORDS = re.compile(
    r"^(min|s|h| h| min| s|24:00|en|es|MO|TU|WE|TH|FR|SA|SU|XM|ETo|cursor|-|/day)$")
MARKUP = re.compile(r"[<>=\"\\{]|^[A-Z-]+[:;]|;[A-Z]+=|^FREQ|T\d|^//|^M$|^PT|^T$")
IDENTIFIER = re.compile(r"^[a-z][a-z0-9_./-]*$")
ROW = re.compile(r'\{\s*"([\w.]+)",(.*?)\}(?=,\n|\n)', re.S)
LITERAL = re.compile(r'"((?:[^"\\]|\\.)*)"')


def without_comments(text):
    return re.sub(r"//[^\n]*", "", text)


def table_of(tree):
    """The placeholders of each key; of a row with constants for one language, those of the other."""
    rows = {}
    for path in sorted((tree / "lookup/texts").glob("*_rows.hpp")):
        text = without_comments(path.read_text(encoding="utf-8"))
        text = text[text.index("to_array<TextRow>") :]
        for key, rest in ROW.findall(text):
            texts = "".join(LITERAL.findall(rest))
            rows[key] = set(re.findall(r"\{(\w+)\}", texts))
    return rows


def uses_in(text):
    """Each key with the names of its arguments, or None where they are not written beside it."""
    for match in re.finditer(r'"([\w.]+)"_text', text):
        key, at = match.group(1), match.end()
        after = re.match(r"\s*(?::\s*\"[\w.]+\"_text\s*)?,\s*\{", text[at:])
        if not after:
            yield key, None
            continue
        at += after.end()
        depth, start = 1, at
        while depth and at < len(text):
            depth += {"{": 1, "}": -1}.get(text[at], 0)
            at += 1
        body = text[start : at - 1]
        names, depth = set(), 0
        for piece in re.finditer(r'\{\s*"(\w+)",|[{}]|\b([a-z_]+)\b', body):
            token = piece.group(0)
            if token.startswith("{"):
                if depth == 0 and piece.group(1):
                    names.add(piece.group(1))
                depth += 1
            elif token == "}":
                depth -= 1
            elif depth == 0 and piece.group(2):
                names.add("@" + piece.group(2))  # an Argument that has its own variable
        yield key, names


def argument_variables(text):
    """Names of arguments that are variables: Argument percent{"percent", …}."""
    return {variable: name for variable, name in re.findall(r'Argument (\w+)\{\s*"(\w+)"', text)}


def faults_of_use(path, text, rows, used):
    variables = argument_variables(text)
    for key, names in uses_in(text):
        used.add(key)
        if key not in rows:
            yield f'{path}: the key "{key}" is not in the table'
            continue
        if names is None:
            continue
        names = {variables.get(n[1:], n) if n.startswith("@") else n for n in names}
        if any(n.startswith("@") for n in names):
            continue  # arguments from elsewhere
        if names != rows[key]:
            yield f'{path}: "{key}" has the arguments {sorted(names)}, its text {sorted(rows[key])}'


def faults_of_literals(path, text):
    code = re.sub(r"#include[^\n]*", "", text)
    code = re.sub(r'"[\w.]+"_text', "", code)
    for literal in LITERAL.findall(code):
        if not re.search(r"[A-Za-z]{2}", literal) and literal not in ("s",):
            continue
        if IDENTIFIER.match(literal) or NO_WORDS.match(literal) or MARKUP.search(literal):
            continue
        yield f'{path}: "{literal}" is not in the table of texts'


def check(tree):
    rows = table_of(tree)
    used, faults = set(), []
    for folder in FOLDERS:
        for path in sorted((tree / folder).glob("*.?pp")):
            if path.name.endswith("_rows.hpp"):
                continue
            text = without_comments(path.read_text(encoding="utf-8"))
            name = path.relative_to(tree)
            faults += faults_of_use(name, text, rows, used)
            if str(name) in PLAN_SOURCES:
                faults += faults_of_literals(name, text)
    faults += [f'lookup/texts: no source uses the key "{key}"' for key in rows if key not in used]
    return faults, len(rows)


def main():
    faults, count = check(pathlib.Path(sys.argv[1]))
    for fault in faults:
        print(fault)
    if count < 300:
        print(f"only {count} rows were found: is the table read as it is written?")
        return 1
    print(f"{count} rows, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
