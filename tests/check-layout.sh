#!/bin/sh
# The rules of the house that a script can see: what stands at the top level, who includes whom, and
# how long a file may be.
set -eu
cd "$(dirname "$0")/.."
failed=0
complain() {
    echo "$*" >&2
    failed=1
}

for entry in *; do
    case $entry in
        CMakeLists.txt | README.md | DEVELOPERS.md | LICENSE | builder | lookup | schema | tests | sample-inputs | build) ;;
        *) complain "$entry does not belong at the top level" ;;
    esac
done

grep -rn '#include "builder/' lookup schema && complain "lookup/ and schema/ must not include builder/"
grep -rn '#include "lookup/' builder schema && complain "builder/ and schema/ must not include lookup/"
grep -rnE '#include <(gdal|ogr|cpl_|proj)' lookup schema && complain "only builder/ may use GDAL and PROJ"

long=$(find schema lookup builder tests \( -name '*.cpp' -o -name '*.hpp' \) -exec wc -l {} + |
    awk '$1 > 500 && $2 != "total" { print $2 " has " $1 " lines" }')
[ -z "$long" ] || complain "over 500 lines: $long"

[ "$failed" -eq 0 ]
