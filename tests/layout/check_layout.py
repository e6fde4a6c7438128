"""Checks the rules of the source tree. Prints each violation on a line.

Usage: check_layout.py [FOLDER]

The map in DEVELOPERS.md lists the folders from the bottom up. It must list all existing folders and no
others. A folder may include only itself and those above it in the map, so there are no cycles.
"""
import collections
import re
import sys
from pathlib import Path

TOPS = ("schema", "lookup", "builder")
TOP_LEVEL = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "builder", "lookup", "schema", "tests",
             "sample-inputs", "build"}
LOOSE = {"CMakeLists.txt", "main.cpp", "targets.cmake", "FORMAT.md", "IMAGE.md", "PUBLICATIONS.md",
         "SECURITY.md", "TILE_CODE.md"}
SOURCES_OF_A_FOLDER = 30
LONGEST = 500
COMPILED = {".cpp", ".c"}
CODE = COMPILED | {".hpp", ".h", ".mjs", ".js", ".py"}
# A header over the C interface, for other programs: its names may be those of inner types.
PUBLIC_HEADERS = "lookup/include"
SEVERAL_OF_A_NAME = {"CMakeLists.txt", "main.cpp"}
TYPE = re.compile(r"^(?:struct|class|union|enum(?: class)?)\s+(?:alignas\(\w+\)\s+)?(\w+)(?:\s+final)?"
                  r"(?:\s*:[^:;{][^;{]*)?\s*\{", re.M)
INCLUDE = re.compile(r'^#include "((?:schema|lookup|builder)/[^"]+)"', re.M)
FOREIGN = re.compile(r'^#include <(gdal|ogr|cpl_|proj)', re.M)
MAP_LINE = re.compile(r"^((?:schema|lookup|builder)/[\w/]+)/\s", re.M)


def files_below(root, *folders):
    for folder in folders:
        for path in sorted((root / folder).rglob("*")):
            if path.is_file() and not {"__pycache__", "node_modules"} & set(path.parts):
                yield path.relative_to(root)


def folders_of_map(root):
    """By folder of DEVELOPERS.md its place in the map."""
    text = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    return {folder: place for place, folder in enumerate(MAP_LINE.findall(text))}


def layer_of(path, places):
    """The longest folder of the map that holds the path."""
    for folder in path.parents:
        if str(folder) in places:
            return str(folder)
    return None


def faults_of_top_level(root):
    for entry in sorted(root.iterdir()):
        if not entry.name.startswith(".") and entry.name not in TOP_LEVEL:
            yield f"{entry.name} does not belong at the top level"
    for top in TOPS:
        for entry in sorted((root / top).iterdir()):
            if entry.is_file() and entry.name not in LOOSE:
                yield f"{top}/{entry.name} is loose: it belongs in a folder"


def faults_of_map(root, places):
    there = {str(path.parent) for path in files_below(root, *TOPS) if path.suffix in CODE}
    there -= set(TOPS)
    for folder in sorted(there):
        if layer_of(Path(folder) / "file", places) is None:
            yield f"{folder}/ is not in the map of DEVELOPERS.md"
    for folder in places:
        if not (root / folder).is_dir():
            yield f"{folder}/ is in the map of DEVELOPERS.md and not in the tree"


def faults_of_includes(root, places):
    arrows = collections.defaultdict(set)
    for path in files_below(root, *TOPS):
        if path.suffix not in CODE:
            continue
        text = (root / path).read_text(encoding="utf-8")
        top = path.parts[0]
        if top != "builder" and FOREIGN.search(text):
            yield f"{path} includes GDAL or PROJ, which only builder/ may use"
        here = layer_of(path, places)
        for included in INCLUDE.findall(text):
            other_top = included.split("/")[0]
            if other_top not in ("schema", top):
                yield f"{path} includes {included}: {top}/ must not use {other_top}/"
                continue
            there = layer_of(Path(included), places)
            if here is None or there is None or here == there:
                continue
            arrows[here].add(there)
            if places[there] > places[here]:
                yield f"{path} includes {included}: {there}/ is below {here}/ in the map"
    for circle in circles(arrows):
        yield f"folders include each other: {' -> '.join(circle)}"


def circles(arrows):
    """One circle for each folder from which a way leads back to it, shortest first, each once."""
    seen = set()
    for start in sorted(arrows):
        ways = collections.deque([[start]])
        visited = set()
        while ways:
            way = ways.popleft()
            for there in sorted(arrows.get(way[-1], ())):
                if there == start:
                    if frozenset(way) not in seen:
                        seen.add(frozenset(way))
                        yield [*way, start]
                    ways.clear()
                    break
                if there not in visited:
                    visited.add(there)
                    ways.append([*way, there])


def faults_of_names(root):
    types = collections.defaultdict(list)
    names = collections.defaultdict(list)
    for path in files_below(root, *TOPS):
        if path.suffix not in CODE or str(path).startswith(PUBLIC_HEADERS):
            continue
        if path.name not in SEVERAL_OF_A_NAME:
            names[path.name].append(str(path))
        if path.suffix in (".hpp", ".h"):
            for name in TYPE.findall((root / path).read_text(encoding="utf-8")):
                types[name].append(str(path))
    for name, paths in sorted(types.items()):
        if len(paths) > 1:
            yield f"the type {name} is defined in {' and '.join(paths)}"
    for name, paths in sorted(names.items()):
        if len(paths) > 1:
            yield f"{name} is the name of {' and '.join(paths)}"


def faults_of_sizes(root):
    counts = collections.Counter()
    for path in files_below(root, *TOPS, "tests", "sample-inputs"):
        if path.suffix not in CODE:
            continue
        lines = (root / path).read_bytes().count(b"\n")
        if lines > LONGEST:
            yield f"{path} has {lines} lines, over {LONGEST}"
        if path.suffix in COMPILED:
            counts[str(path.parent)] += 1
    for folder, count in sorted(counts.items()):
        if count > SOURCES_OF_A_FOLDER:
            yield f"{folder}/ has {count} sources, over {SOURCES_OF_A_FOLDER}"


def faults(root):
    places = folders_of_map(root)
    yield from faults_of_top_level(root)
    yield from faults_of_map(root, places)
    yield from faults_of_includes(root, places)
    yield from faults_of_names(root)
    yield from faults_of_sizes(root)


def main():
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[2]
    found = list(faults(root))
    for fault in found:
        print(fault, file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
