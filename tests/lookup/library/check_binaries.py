"""Checks the symbols and dependencies of the library files.

    check_binaries.py --shared libthirstline.so [--static libthirstline.a]

The exported names must be those of exported_names.txt, which thirstline.h declares. The shared library must
depend only on SQLite, C and C++, and its soname must contain the major version.
"""

import argparse
import re
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
HEADER = HERE.parents[2] / "lookup" / "include" / "thirstline" / "thirstline.h"
ALLOWED_LIBRARIES = re.compile(r"(libsqlite3|libstdc\+\+|libm|libgcc_s|libc|ld-linux[-\w]*)\.so\.\d+$")


def output_of(*command):
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout


def names_in(nm_output):
    """Without versions, and without the name of the version itself."""
    fields = [line.split() for line in nm_output.splitlines()]
    return sorted(line[2].split("@")[0] for line in fields if len(line) == 3 and line[1] != "A")


def faults_of(shared, static):
    listed = (HERE / "exported_names.txt").read_text(encoding="utf-8").split()
    declared = sorted(re.findall(r"^THIRSTLINE_API[^;]*?\b(thirstline_\w+)\(",
                                 HEADER.read_text(encoding="utf-8"), re.MULTILINE))
    if declared != listed:
        yield f"thirstline.h declares {declared}, and exported_names.txt lists {listed}"
    shown = names_in(output_of("nm", "-D", "--defined-only", shared))
    if shown != listed:
        yield f"{shared} shows {shown}, and exported_names.txt lists {listed}"
    if static and (global_names := names_in(output_of("nm", "-g", "--defined-only", static))) != listed:
        yield f"{static} shows {global_names}, and exported_names.txt lists {listed}"
    dynamic = output_of("readelf", "--dynamic", shared)
    for library in re.findall(r"\(NEEDED\).*\[(.+)\]", dynamic):
        if not ALLOWED_LIBRARIES.match(library):
            yield f"{shared} needs {library}"
    soname = re.search(r"\(SONAME\).*\[(.+)\]", dynamic)
    major = re.search(r"\.so\.(\d+)\.\d+\.\d+$", str(Path(shared).resolve()))[1]
    if not soname or soname[1] != f"libthirstline.so.{major}":
        yield f"{shared} has the soname {soname and soname[1]}"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--shared", required=True)
    parser.add_argument("--static")
    options = parser.parse_args()
    faults = list(faults_of(options.shared, options.static))
    print("\n".join(faults) or "the names and needs of the library are as they should be")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
