#!/bin/sh
# The rules of the tree that a program can see: what stands at the top level, which folder may include which,
# which names may occur once, and how long a file may be.
set -eu
exec python3 -B "$(dirname "$0")/layout/check_layout.py"
