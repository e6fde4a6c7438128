#!/bin/sh
# Checks the rules of the source tree: files at the top level, which folder may include which, names that must
# be unique, and the maximum length of a file.
set -eu
exec python3 -B "$(dirname "$0")/layout/check_layout.py"
