#!/bin/sh
# What runs on several threads, with programs that notice data races (ThreadSanitizer):
#
#   sh tests/threads.sh BUILD_FOLDER
#
# Builds of grids, of stations and of records, plain and compact, an evaluation, and answers for many sites.
set -eu
cd "$(dirname "$0")/.."
builder=$1/builder/thirstline-builder
lookup=$1/lookup/thirstline-lookup
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cp -R sample-inputs "$work/inputs"
sed 's/^\[output\]$/[output]\ncode = "compact"/' "$work/inputs/merrow.toml" >"$work/inputs/compact.toml"
grep -q 'code = "compact"' "$work/inputs/compact.toml" ||
    printf '[output]\ncode = "compact"\n' >>"$work/inputs/compact.toml"
for recipe in merrow merrow-record compact; do
    "$builder" build "$work/inputs/$recipe.toml" -o "$work/$recipe.sqlite" --jobs 8
done
"$builder" evaluate "$work/inputs/merrow.toml" --folds 3 >/dev/null
awk 'BEGIN { srand(7); print "lat,lon"
    for (i = 0; i < 20000; ++i) print 43.9 + 1.4 * rand() "," -38.6 + 1.6 * rand() }' >"$work/sites.csv"
for database in merrow compact; do
    "$lookup" batch --db "$work/$database.sqlite" --input "$work/sites.csv" --jobs 8 --allow-missing \
        >"$work/$database.csv"
done
cmp "$work/merrow.csv" "$work/compact.csv"
echo "no data race; the answers of both forms are the same"
