#!/bin/sh
# The main job from end to end, on a fresh Debian 12: installs what is missing, builds the two
# programs, makes the database of the invented Merrow valley, and asks it.
#
#   sh sample-inputs/run-demo.sh [--install]
#
# It asks before it installs packages, unless --install is given.
# THIRSTLINE_BIN may name a folder that holds both programs already; then nothing is installed or built.
set -eu
cd "$(dirname "$0")/.."

if [ -z "${THIRSTLINE_BIN:-}" ]; then
    . tests/build-environment.sh
    [ "${1:-}" = --install ] && INSTALL=yes
    install_packages "$BUILD_PACKAGES $WASM_PACKAGES" # the latter for the page of publish
    mkdir -p build
    cmake -S . -B build/demo -G Ninja -DTHIRSTLINE_BUILD_TESTS=OFF >build/demo.log 2>&1 || {
        cat build/demo.log >&2
        exit 1
    }
    echo "building both programs: about 5 minutes on two cores the first time"
    build_shown build/demo all
    builder=build/demo/builder/thirstline-builder
    lookup=build/demo/lookup/thirstline-lookup
else
    builder=$THIRSTLINE_BIN/thirstline-builder
    lookup=$THIRSTLINE_BIN/thirstline-lookup
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT INT TERM
database=$folder/merrow.sqlite

say() { printf '\n--- %s\n\n' "$*"; }

say "Are the sources sound? (rejected values are listed)"
"$builder" check sample-inputs/merrow.toml

say "Build the database"
"$builder" build sample-inputs/merrow.toml -o "$database" --report "$folder/report.json"

say "A site on the dry valley floor, by postal code"
"$lookup" site --db "$database" --postal 04107

say "The wet upland, in inches, as CSV for a spreadsheet"
"$lookup" site --db "$database" --postal 04103 --units us --format csv

say "A site by coordinates, as JSON for a program (the first lines)"
"$lookup" site --db "$database" --at 44.61,-37.55 --format json | head -n 24

say "An island with no climate data within reach: an honest miss (exit code 1)"
"$lookup" site --db "$database" --postal 04112 || echo "exit code $?"

say "Many sites at once"
printf 'id,postal,country\nfloor,04107,XM\nupland,04103,XM\nisle,04112,XM\n' |
    "$lookup" batch --db "$database" --allow-missing | cut -d, -f1-12

say "A garden's three zones: what to key into the controller (the first lines)"
"$lookup" demand --db "$database" --postal 04107 --zones sample-inputs/merrow-zones.toml | head -n 40

say "What the file holds, and whether it is whole"
"$lookup" info --db "$database"
"$lookup" verify --db "$database"

say "The same plan as a page to hand over"
mkdir -p build
page=build/merrow-plan.html
"$lookup" demand --db "$database" --postal 04107 --zones sample-inputs/merrow-zones.toml \
    --format html >"$page"
echo "open $PWD/$page in a browser; it prints on two sheets"
