#!/usr/bin/env python3
"""The keys that the program reads from a recipe, as its sources name them, and the keys that it
lists: none may be missing from the list.

  check_recipe_keys.py BUILDER SOURCES_FOLDER
"""
import pathlib
import re
import subprocess
import sys

READ = re.compile(
    r'(?:\.|->)(?:text|date|required_text|number|optional_number|required_number|'
    r'required_numbers|texts|text_or_texts|whole_number|numbers_and_texts|texts_or_tables|choice|'
    r'required_choice|table)\(\s*"([a-z_]*[a-z])"|is_overruled\(table, "([a-z_]*[a-z])"|\bread\("([a-z_]*[a-z])"')
# Version 0.1's name of wind_factor, which the list names there; tables, which it has as headings.
NOT_LISTED = {"exposure", "elevation", "output"}


def main():
    builder, folder = sys.argv[1:]
    listed = subprocess.run([builder, "recipe", "--keys"], check=True, capture_output=True,
                            text=True).stdout
    keys = set(re.findall(r"^  ([a-z_]+) = ", listed, re.MULTILINE))
    read = set()
    for path in sorted(pathlib.Path(folder).glob("*.cpp")):
        for groups in READ.findall(path.read_text(encoding="utf-8")):
            read.update(key for key in groups if key)
    missing = sorted(read - keys - NOT_LISTED)
    if len(read) < 60 or missing:
        sys.exit(f"{len(read)} keys are read; not listed: {', '.join(missing)}")
    print(f"{len(read)} keys are read, {len(keys)} listed")


if __name__ == "__main__":
    main()
