#!/bin/sh
# Builds and tests Thirstline, on a fresh Debian 12 or on a developer's machine.
#
#   sh tests/run-tests.sh                the three parts a newcomer needs, about 15 minutes on two cores
#   sh tests/run-tests.sh all            every part but container, about an hour
#   sh tests/run-tests.sh PART...        some of them
#   sh tests/run-tests.sh --install ...  install missing packages without asking
#
# part              about     what
#   style             1 min   formatting, the layout of the tree, the words that people see
#   lookup-only       1 min   the lookup, built without GDAL and PROJ
#   release          12 min   both programs and all their tests
#   scripts           1 min   linters and types of Python and JavaScript (needs npm)
#   changed-tidy      6 min   clang-tidy over what changed since the last tag or the main branch, at most as tidy
#   hostile-inputs    6 min   ASan and UBSan: the tests that read untrusted bytes
#   machines          3 min   the image's reader on microcontrollers and a big-endian machine, in emulators
#   slurm             1 min   a build in parts on a Slurm of one node, one part killed
#   packages          5 min   Debian packages, installed and used in a fresh Debian
#   windows           6 min   the lookup for Windows, compiled by MinGW, against the one for Linux, in Wine
#   all-ways          4 min   every way to read a file, also in Chromium and Wine: the same integers (needs npm)
#   container        15 min   the container of builder/packaging, built and used; not in "all": it compiles everything again
#   sanitized        20 min   ASan and UBSan: all tests
#   threads           3 min   TSan: builds and batches on many threads
#   tidy              6 min   clang-tidy over every source
#   pages             1 min   the plan's page and the report in Chromium (needs npm)
#   published-pages   1 min   a published baseline's page in Chromium, as visitors use it (needs npm)
#
# Real open data are tested against if THIRSTLINE_OPEN_DATA names their folder, or ../shared/data holds
# them. Build folders are below build/; ccache is used where it is installed.
set -eu
cd "$(dirname "$0")/.."
. tests/build-environment.sh

NEWCOMERS_PARTS="style lookup-only release"
ALL_PARTS="style scripts lookup-only release hostile-inputs machines slurm packages windows all-ways sanitized threads tidy pages published-pages"

jobs=$(nproc)
root=$PWD
# Build folders differ only in their path, so that one can use what another compiled.
export CCACHE_BASEDIR="$root" CCACHE_NOHASHDIR=1

configured() { # folder options...
    folder=$1
    shift
    launcher=""
    command -v ccache >/dev/null && launcher="-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"
    cmake -S . -B "$folder" -G Ninja -DTHIRSTLINE_WARNINGS_ARE_ERRORS=ON $launcher "$@" >"$folder.log" 2>&1 || {
        cat "$folder.log" >&2
        return 1
    }
}

sources() {
    find schema lookup builder tests \( -name '*.cpp' -o -name '*.hpp' -o -name '*.c' -o -name '*.h' \) | sort
}

part_style() {
    install_packages "$STYLE_PACKAGES"
    sources | xargs -P "$jobs" -n 100 clang-format --dry-run -Werror
    sh tests/check-layout.sh
    python3 -B tests/wording/check_wording.py
    python3 -B tests/wording/check_publications.py
}

part_scripts() {
    install_packages "$SCRIPT_PACKAGES"
    flake8
    MYPYPATH=lookup/python/source mypy --strict --cache-dir build/lint/mypy lookup/python/source/thirstline \
        lookup/python/examples/plot_year.py
    npm install --prefix build/lint --no-audit --no-fund --silent eslint@9 @eslint/js@9 globals@15 prettier@3 \
        typescript@5
    NODE_PATH=build/lint/node_modules build/lint/node_modules/.bin/eslint -c .eslint.config.cjs lookup tests
    git ls-files '*.mjs' '*.js' '*.ts' | xargs build/lint/node_modules/.bin/prettier --check --log-level warn
    build/lint/node_modules/.bin/tsc -p tests/lookup/npm/tsconfig.json
}

# The lookup must build where neither GDAL nor PROJ is installed. In the folder of the release build, which then
# need not compile it again.
part_lookup_only() {
    configured build/release -DTHIRSTLINE_BUILD_BUILDER=OFF -DTHIRSTLINE_BUILD_TESTS=OFF -DTHIRSTLINE_BUILD_PAGE=OFF \
        -DCMAKE_DISABLE_FIND_PACKAGE_GDAL=ON -DCMAKE_DISABLE_FIND_PACKAGE_PROJ=ON
    build_shown build/release
    build/release/lookup/thirstline-lookup --version
}

# Undoes what lookup-only has turned off there.
configured_release() {
    configured build/release -DTHIRSTLINE_BUILD_BUILDER=ON -DTHIRSTLINE_BUILD_TESTS=ON -UTHIRSTLINE_BUILD_PAGE \
        -DCMAKE_DISABLE_FIND_PACKAGE_GDAL=OFF -DCMAKE_DISABLE_FIND_PACKAGE_PROJ=OFF
}

part_release() {
    install_packages "$TEST_PACKAGES $WASM_PACKAGES"
    configured_release
    build_shown build/release
    ctest --test-dir build/release -j "$jobs" --output-on-failure --progress
}

# One image on microcontrollers and a big-endian machine, in emulators.
part_machines() {
    install_packages "$TEST_PACKAGES $WASM_PACKAGES $MACHINE_PACKAGES"
    configured_release
    build_shown build/release
    ctest --test-dir build/release --verbose -R one_image_on_many_machines
}

# Apart from the other tests, because Slurm's packages start services of the machine.
part_slurm() {
    install_packages "$TEST_PACKAGES $WASM_PACKAGES $SLURM_PACKAGES"
    configured_release
    build_shown build/release
    ctest --test-dir build/release --verbose -R parts.slurm
}

# The packages, built, installed into a fresh Debian and used there.
part_packages() {
    install_packages "$PACKAGE_PACKAGES $WASM_PACKAGES"
    configured build/packages -DTHIRSTLINE_BUILD_TESTS=OFF -DCMAKE_INSTALL_PREFIX=/usr
    build_shown build/packages
    python3 -B tests/packaging/check_reference.py --reference build/packages/reference \
        build/packages/lookup/thirstline-lookup build/packages/builder/thirstline-builder
    rm -f build/packages/*.deb build/packages/*.tar.gz
    for generator in DEB TGZ; do
        (cd build/packages && cpack -G "$generator") >build/packages/cpack.log 2>&1 || {
            cat build/packages/cpack.log >&2
            return 1
        }
    done
    python3 -B tests/packaging/check_packages.py --packages build/packages
}

# Makes the program for Windows, or skips: Debian's sources must be downloaded for it.
windows_program_is_built() {
    install_packages "$WINDOWS_PACKAGES"
    libraries=0
    sh lookup/packaging/windows/windows-libraries.sh build/windows-libraries || libraries=$?
    if [ "$libraries" -eq 75 ]; then
        echo "skipped: the libraries for Windows cannot be made without a network"
        return 1
    fi
    [ "$libraries" -eq 0 ] || exit 1
    configured build/windows -DTHIRSTLINE_BUILD_BUILDER=OFF -DTHIRSTLINE_BUILD_TESTS=OFF \
        --toolchain "$root/lookup/packaging/windows/windows-toolchain.cmake" || exit 1
    build_shown build/windows || exit 1
}

# The zip for Windows, unpacked and used in Wine.
part_windows() {
    windows_program_is_built || return 0
    rm -f build/windows/*.zip
    (cd build/windows && cpack -G ZIP) >build/windows/cpack.log 2>&1 || {
        cat build/windows/cpack.log >&2
        return 1
    }
    configured_release
    build_shown build/release thirstline-builder thirstline-lookup
    python3 -B tests/packaging/check_windows_program.py --zip build/windows/*.zip --build build/release \
        --wine-prefix build/windows/wine
}

# 10,000 points and 1,000 codes of the conterminous United States, or of the sample where there are no open data.
part_all_ways() {
    install_packages "$PAGE_PACKAGES $TEST_PACKAGES $WASM_PACKAGES"
    configured_release
    build_shown build/release
    npm install --prefix build/pages --no-audit --no-fund --silent axe-core@4 playwright-core@1
    set -- --build build/release --points 10000 --codes 1000 --playwright build/pages/node_modules
    if windows_program_is_built; then
        set -- "$@" --windows-program build/windows/lookup/thirstline-lookup.exe --wine-prefix build/windows/wine
    fi
    # NumPy is of Debian's own Python.
    python=/usr/bin/python3
    [ -x "$python" ] || python=python3
    compared=0
    "$python" -B tests/packaging/check_all_ways.py "$@" --spacing-arcsec 900 || compared=$?
    if [ "$compared" -eq 77 ]; then
        "$python" -B tests/packaging/check_all_ways.py "$@"
    else
        return "$compared"
    fi
}

part_container() {
    install_packages "$CONTAINER_PACKAGES"
    python3 -B tests/packaging/check_container.py --work build/container --jobs "$jobs"
}

# Levels of optimisation: what compiles and runs in the least time together.
configured_sanitized() { # folder optimisation options...
    folder=$1
    flags="$2 -DNDEBUG"
    shift 2
    configured "$folder" -DTHIRSTLINE_SANITIZE=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo \
        "-DCMAKE_C_FLAGS_RELWITHDEBINFO=$flags" "-DCMAKE_CXX_FLAGS_RELWITHDEBINFO=$flags" "$@"
}

part_sanitized() {
    install_packages "$TEST_PACKAGES $WASM_PACKAGES"
    configured_sanitized build/sanitized "-O1 -g1"
    build_shown build/sanitized
    ctest --test-dir build/sanitized -j "$jobs" --output-on-failure --progress
}

# Both programs with TSan. GDAL, which it does not see into, takes its own locks in different orders. With it GCC
# warns of values that are always set.
part_threads() {
    flags="-O1 -g1 -fsanitize=thread -DNDEBUG"
    configured build/threads -DTHIRSTLINE_BUILD_TESTS=OFF -DTHIRSTLINE_BUILD_PAGE=OFF \
        -DTHIRSTLINE_WARNINGS_ARE_ERRORS=OFF -DCMAKE_BUILD_TYPE=RelWithDebInfo "-DCMAKE_C_FLAGS_RELWITHDEBINFO=$flags" \
        "-DCMAKE_CXX_FLAGS_RELWITHDEBINFO=$flags" -DCMAKE_EXE_LINKER_FLAGS=-fsanitize=thread \
        -DCMAKE_SHARED_LINKER_FLAGS=-fsanitize=thread
    build_shown build/threads thirstline-builder thirstline-lookup
    TSAN_OPTIONS="detect_deadlocks=0 exitcode=66" sh tests/threads.sh build/threads
}

# Databases, tile code, images, zone files, recipes, tables. Most of the time goes into compiling, which clang
# does in half the time of GCC; `sanitized` has the instruments of GCC.
part_hostile_inputs() {
    install_packages "$TEST_PACKAGES $SANITIZER_PACKAGES"
    configured_sanitized build/hostile-inputs "-O0 -gline-tables-only" -DTHIRSTLINE_BUILD_PAGE=OFF \
        -DCMAKE_C_COMPILER=clang -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld
    build_shown build/hostile-inputs hostile_inputs
    ctest --test-dir build/hostile-inputs -C HostileInputs -L hostile-inputs -j "$jobs" --output-on-failure
}

# Without GCC's options that clang does not know. Unity builds include sources, which one check is about.
tidied() { # folder; reads the names of sources
    sed -i 's/ -fno-gnu-unique//g; s/ -Wno-restrict//g; s/ -Wno-subobject-linkage//g' "$1/compile_commands.json"
    xargs -r -P "$jobs" -n 2 clang-tidy -p "$1" --quiet --checks=-bugprone-suspicious-include
}

# Several files at a time, as they are compiled, so that their headers are read once.
part_tidy() {
    install_packages "$STYLE_PACKAGES"
    rm -rf build/tidy # units of an older division
    configured build/tidy -DTHIRSTLINE_BUILD_TESTS=OFF -DTHIRSTLINE_BUILD_PAGE=OFF
    find build/tidy -path '*/Unity/*.cxx' | sort | tidied build/tidy
}

# Since THIRSTLINE_TIDY_BASE, else the last tag, else where the main branch was left, else the last 20 commits.
part_changed_tidy() {
    install_packages "$STYLE_PACKAGES"
    base=${THIRSTLINE_TIDY_BASE:-$(git describe --tags --abbrev=0 2>/dev/null || git merge-base HEAD origin/main 2>/dev/null || true)}
    [ -n "$base" ] && [ "$(git rev-parse "$base")" != "$(git rev-parse HEAD)" ] || base=HEAD~20
    git rev-parse --quiet --verify "$base" >/dev/null || base=$(git rev-list --max-parents=0 HEAD | tail -n 1)
    rm -rf build/tidy # units of an older division
    configured build/tidy -DTHIRSTLINE_BUILD_TESTS=OFF -DTHIRSTLINE_BUILD_PAGE=OFF
    git diff --name-only --diff-filter=d "$base" -- 'schema/*.cpp' 'lookup/*.cpp' 'builder/*.cpp' |
        sed 's|.*|/&"|' >build/tidy/changed
    find build/tidy -path '*/Unity/*.cxx' -exec grep -l -F -f build/tidy/changed {} + | sort | tidied build/tidy
}

# Pages as a browser shows and prints them; pictures are left in build/pages.
part_pages() {
    install_packages "$PAGE_PACKAGES"
    configured_release
    build_shown build/release thirstline-builder thirstline-lookup
    npm install --prefix build/pages --no-audit --no-fund --silent axe-core@4 playwright-core@1
    build/release/builder/thirstline-builder build sample-inputs/merrow.toml --overwrite \
        -o build/pages/merrow.sqlite
    for code in 04103 04107; do
        for units in us metric; do
            for language in en es; do
                build/release/lookup/thirstline-lookup demand --db build/pages/merrow.sqlite --postal $code \
                    --zones sample-inputs/merrow-zones.toml --units $units --language $language \
                    --format html >"build/pages/merrow-$code-$units-$language.html"
            done
        done
    done
    rm -rf build/pages/site
    build/release/builder/thirstline-builder evaluate sample-inputs/merrow.toml --folds 3 --format json \
        >build/pages/scores.json
    build/release/builder/thirstline-builder publish build/pages/merrow.sqlite -o build/pages/site \
        --evaluation build/pages/scores.json --recipe sample-inputs/merrow.toml
    NODE_PATH=build/pages/node_modules node tests/lookup/demand_output/check_page_rendering.mjs \
        build/pages/pictures build/pages/merrow-*.html build/pages/site/report.html
}

# The page of a published baseline in a browser; pictures are left in build/pages.
part_published_pages() {
    install_packages "$PAGE_PACKAGES $TEST_PACKAGES $WASM_PACKAGES"
    configured_release
    build_shown build/release thirstline-builder thirstline-lookup page_assets
    npm install --prefix build/pages --no-audit --no-fund --silent axe-core@4 playwright-core@1
    NODE_PATH=build/pages/node_modules node tests/lookup/page/check_page_in_browser.mjs \
        --assets build/release/lookup/page/assets --builder build/release/builder/thirstline-builder \
        --lookup build/release/lookup/thirstline-lookup --recipe sample-inputs/merrow.toml \
        --pictures build/pages/pictures
}

parts=""
for word in "$@"; do
    case $word in
        --install) INSTALL=yes ;;
        all) parts="$parts $ALL_PARTS" ;;
        style | scripts | lookup-only | release | changed-tidy | hostile-inputs | machines | slurm | packages | threads | windows | all-ways | container | sanitized | tidy | pages | published-pages)
            parts="$parts $word" ;;
        *)
            echo "tests/run-tests.sh: unknown part \"$word\"; the first lines of the script list them" >&2
            exit 2
            ;;
    esac
done
parts=${parts:-$NEWCOMERS_PARTS}

echo "parts, and about how long each takes on two cores:"
for part in $parts; do
    sed -n "s/^#   \($part  *.*\)/   \1/p" "$0" | head -n 1
done
install_packages "$BUILD_PACKAGES"
mkdir -p build
times=""
for part in $parts; do
    echo "== $part"
    began=$(date +%s)
    part_$(echo "$part" | tr - _)
    times="$times$(printf '   %-16s %5d s' "$part" $(($(date +%s) - began)))
"
done
printf 'passed:\n%s' "$times"
