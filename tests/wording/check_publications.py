"""Checks that every publication and standard that is cited is in schema/PUBLICATIONS.md, and every row cited.

Usage: check_publications.py [FILE...]      files of the tree; default: all that git lists
       check_publications.py --lookup PROGRAM --builder PROGRAM
           the assumptions of plans of the Merrow valley: each source is in the list, and its basis is the list's

Leaves with 1 if it finds anything.
"""
import argparse
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
LIST = PROJECT / "schema" / "PUBLICATIONS.md"

# How citations look. Others, such as a title, are found in the plans' assumptions.
AUTHOR = r"[A-ZÅ][\w’-]+"
CITATION_WORDS = (
    r"FAO-\d+"
    r"|FAO Irrigation and Drainage Paper \d+"
    r"|FAO(?:'s)? Land and Water Division"
    r"|ASCE-EWRI(?: Standardized [A-Za-z ]+)? \(?\d{4}\)?"
    r"|ANSI/[A-Z]+ [A-Z]?\d+"
    r"|WMO-No\. ?\d+"
    r"|(?:NRCS )?National Engineering Handbook part \d+, chapter \d+"
    r"|USDA-SCS(?: Technical Release \d+)?"
    r"|USDA Soil Survey Manual \(\d{4}\)"
    r"|Model Water Efficient Landscape Ordinance"
    r"|NIST SP \d+(?: \(\d{4}\))?"
    r"|RFC \d+|ISO \d{4}|ITU-T [A-Z]\.\d+|CF-1\.\d+|FIPS \d+-\d+|Unicode Standard Annex \d+"
    rf"|{AUTHOR}(?:(?:, {AUTHOR})*,? (?:and|&) {AUTHOR}| et al\.?)(?:, | )\(?(?:19|20)\d\d"
    rf"|{AUTHOR}(?:’s|'s)? \((?:19|20)\d\d, [A-Z]"
    r"|Kunkel 1989|Epstein 1991|Kukich 1992")
CITATION = re.compile(CITATION_WORDS.replace(" ", " +"))
# Not publications: pairs of words that look like authors.
NO_AUTHOR = re.compile(r"^(?:January|February|March|April|May|June|July|August|September|October|November|"
                       r"December|Jan|Feb|Mar|Apr|Jun|Jul|Aug|Sep|Oct|Nov|Dec|Normals|Climate)\b")

TEXT_SUFFIXES = {".cpp", ".hpp", ".c", ".h", ".mjs", ".js", ".py", ".html", ".md", ".in", ".5", ".sql", ".json",
                 ".toml", ".cmake"}
# Files whose citations are not looked at, and why.
EXCEPTIONS = {
    "schema/PUBLICATIONS.md": "the list itself",
    "builder/catalogue/sources.toml": "the list of open data, with attributions as their providers want them",
    "builder/licences/licences.toml": "texts of licenses",
    "tests/wording/check_publications.py": "the patterns",
    "tests/wording/check_publications_test.py": "planted faults",
}
# Basis of lookup/demand/assumption.hpp, and how it is shown.
BASIS_NAMES = {"seen": "checked against the source", "second_hand": "as quoted elsewhere",
               "memory": "not checked against the source"}
BASES = set(BASIS_NAMES.values())
SOURCE_IN_CODE = re.compile(r'"([^"]*)", *Basis::(seen|second_hand|memory)\b')
NO_VALUES = "not used for values"

# Plans that together state every default.
PLANS = [
    ["--planting", "cool turf", "--water-ec-ds-per-m", "1.2"],
    ["--planting", "warm turf", "--water-ec-ds-per-m", "1.2", "--distribution-uniformity", "0.6"],
    ["--planting", "cool turf", "--exposure", "hot", "--rain-credit", "soil-storage", "--soil", "silt"],
    ["--species", "0.5", "--exposure", "shaded"],
    ["--plant-factor", "0.5", "--exposure", "hot", "--dormant-months", "none"],
]
LEAST_SOURCES = 9
SPRINKLERS = ["--area-ft2", "1500", "--rate-in-per-h", "1.4"]
DRIP = ["--plant-factor", "0.3", "--emitters", "40", "--gph-each", "1", "--area-ft2", "600", "--wetted-ft2", "200"]


def one_line(text):
    return re.sub(r"\s+", " ", text)


def table_rows(text):
    for line in text.split("\n"):
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and cells[0] != "cited as" and not set(cells[0]) <= {"-"}:
            yield cells


class Publications:
    def __init__(self, text):
        publications, _, standards = text.partition("\n## Standards\n")
        self.values = {}  # how it is cited -> how well its values are known
        self.rows = []
        self.faults = []
        for cells in table_rows(publications):
            if len(cells) != 5 or not all(cells):
                self.faults.append(f"a row needs five cells: {cells}")
                continue
            if cells[4] not in BASES | {NO_VALUES}:
                self.faults.append(f'"{cells[4]}" does not say how well values are known: {cells[0]}')
            if not re.fullmatch(r"(19|20)\d\d|undated", cells[3]):
                self.faults.append(f"the year must be a year or undated: {cells[0]}")
            self.add(cells[0], cells[4])
        for cells in table_rows(standards):
            if len(cells) != 3 or not all(cells):
                self.faults.append(f"a row needs three cells: {cells}")
                continue
            self.add(cells[0], NO_VALUES)

    def add(self, cited_as, values):
        names = [one_line(name) for name in cited_as.split("; ")]
        self.rows.append(names)
        self.values.update(dict.fromkeys(names, values))

    def name_in(self, citation):
        """The longest listed name that the citation has or that has the citation."""
        fits = [name for name in self.values if name in citation or citation in name]
        return max(fits, key=len, default=None)


def citations(content):
    """(line, citation); a citation may go on in the next line of a comment or a text."""
    joined = re.sub(r"\n[ \t]*(?:///?|\*|#)?[ \t]*", lambda gap: "\x00" + " " * (len(gap[0]) - 1), content)
    plain = re.sub(r'"\x00 *"', lambda gap: " " * len(gap[0]), joined)
    for match in CITATION.finditer(re.sub(r"\x00", " ", plain)):
        citation = one_line(match[0])
        if not NO_AUTHOR.match(citation):
            yield content.count("\n", 0, match.start()) + 1, citation


def fault_of_source(listed, source, basis):
    """What is wrong with the source of an assumption; several publications are separated by semicolons."""
    for part in source.split("; "):
        found = listed.name_in(part)
        if not found:
            return f'"{part}" is not in {LIST.name}'
        if listed.values[found] != basis:
            return f'"{part}" is "{basis}", and in {LIST.name} "{listed.values[found]}"'
    return ""


def faults_of_files(listed, names, whole_tree):
    yield from (f"{LIST.name}: {fault}" for fault in listed.faults)
    cited = set()
    everything = ""
    for name in names:
        path = (PROJECT / name).resolve()
        if path.suffix not in TEXT_SUFFIXES or not path.is_file() or name in EXCEPTIONS:
            continue
        content = path.read_text(encoding="utf-8")
        everything += re.sub(r"\s+", " ", re.sub(r'"\s*"', "", re.sub(r"\n\s*(?:///?|\*|#)", " ", content)))
        for line, citation in citations(content):
            found = listed.name_in(citation)
            if not found:
                yield f'{name}:{line}: "{citation}" is not in {LIST.relative_to(PROJECT)}'
            cited.add(found)
        for source, basis in SOURCE_IN_CODE.findall(one_line(re.sub(r'"\s*"', "", content))):
            fault = fault_of_source(listed, source, BASIS_NAMES[basis])
            if fault:
                yield f"{name}: {fault}"
    for row in listed.rows if whole_tree else []:
        if not any(name in cited or name in everything for name in row):
            yield f'{LIST.name}: "{row[0]}" is cited nowhere'


def run(*command):
    return subprocess.run([str(word) for word in command], capture_output=True, text=True, check=True).stdout


def faults_of_plans(listed, lookup, builder):
    with tempfile.TemporaryDirectory() as folder:
        database = Path(folder) / "merrow.sqlite"
        run(builder, "build", PROJECT / "sample-inputs" / "merrow.toml", "-o", database, "--progress", "never")
        sources = {}
        for plan in [*[[*plan, *SPRINKLERS] for plan in PLANS], DRIP]:
            answer = json.loads(run(lookup, "demand", "--db", database, "--postal", "04107", "--format", "json",
                                    *plan))
            for zone in [*answer["zones"], answer["site"]]:
                for assumed in zone["assumed"]:
                    if assumed["basis"] in BASES:
                        sources[assumed["source"]] = assumed["basis"]
        if len(sources) < LEAST_SOURCES:
            yield f"only {len(sources)} sources are stated by the plans"
        for source, basis in sources.items():
            fault = fault_of_source(listed, source, basis)
            if fault:
                yield f"in a plan, {fault}"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--lookup", type=Path)
    parser.add_argument("--builder", type=Path)
    parser.add_argument("files", nargs="*")
    given = parser.parse_args()
    listed = Publications(LIST.read_text(encoding="utf-8"))
    if given.lookup:
        found = list(faults_of_plans(listed, given.lookup, given.builder))
    else:
        names = given.files or subprocess.run(["git", "ls-files"], cwd=PROJECT, capture_output=True, text=True,
                                              check=True).stdout.split("\n")
        found = list(faults_of_files(listed, names, not given.files))
    for fault in found:
        print(fault)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
