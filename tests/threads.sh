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
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT

cp -R sample-inputs "$folder/inputs"
sed 's/^\[output\]$/[output]\ncode = "compact"/' "$folder/inputs/merrow.toml" >"$folder/inputs/compact.toml"
grep -q 'code = "compact"' "$folder/inputs/compact.toml"
for recipe in merrow merrow-record compact; do
    "$builder" build "$folder/inputs/$recipe.toml" -o "$folder/$recipe.sqlite" --jobs 8
done
"$builder" evaluate "$folder/inputs/merrow.toml" --folds 3 >/dev/null
awk 'BEGIN { srand(7); print "lat,lon"
    for (i = 0; i < 20000; ++i) print 43.9 + 1.4 * rand() "," -38.6 + 1.6 * rand() }' >"$folder/sites.csv"
for database in merrow compact; do
    "$lookup" batch --db "$folder/$database.sqlite" --input "$folder/sites.csv" --jobs 8 --allow-missing \
        >"$folder/$database.csv"
done
cmp "$folder/merrow.csv" "$folder/compact.csv"
echo "no data race; the answers of both forms are the same"
