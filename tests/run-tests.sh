#!/bin/sh
# Builds Thirstline and runs all its tests, on a fresh Debian 12 as on a developer's machine:
#
#   sh tests/run-tests.sh            everything, the parts that fail fast first
#   sh tests/run-tests.sh release    one part or several, of style lookup-only release
#                                    machines packages sanitized tidy
#   sh tests/run-tests.sh pages      only if named: the page of `demand` and the report of `publish` in Chromium, which is large
#   sh tests/run-tests.sh published-pages    only if named: a published baseline's page, as visitors use it
#
# Real open data are tested against if THIRSTLINE_OPEN_DATA names their folder, or ../shared/data holds
# them. Build folders go below build/; ccache is used where it is installed.
set -eu
cd "$(dirname "$0")/.."
. tests/debian-packages.sh

jobs=$(nproc)
launcher=""
command -v ccache >/dev/null && launcher="-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"

configured() { # folder options…
    folder=$1
    shift
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
    sources | xargs clang-format --dry-run -Werror
    sh tests/check-layout.sh
}

# The look-up must build where neither GDAL nor PROJ is to be found.
part_lookup_only() {
    configured build/lookup-only -DTHIRSTLINE_BUILD_BUILDER=OFF -DTHIRSTLINE_BUILD_TESTS=OFF \
        -DCMAKE_DISABLE_FIND_PACKAGE_GDAL=ON -DCMAKE_DISABLE_FIND_PACKAGE_PROJ=ON
    ninja -C build/lookup-only -j "$jobs" --quiet
    build/lookup-only/lookup/thirstline-lookup --version
}

part_release() {
    install_packages "$TEST_PACKAGES $WASM_PACKAGES"
    configured build/release
    ninja -C build/release -j "$jobs" --quiet
    ctest --test-dir build/release -j "$jobs" --output-on-failure
}

# One image on microcontrollers and a big-endian machine, in emulators.
part_machines() {
    install_packages "$TEST_PACKAGES $MACHINE_PACKAGES"
    configured build/release
    ninja -C build/release -j "$jobs" --quiet
    ctest --test-dir build/release --verbose -R one_image_on_many_machines
}

# The packages, built, installed into a fresh Debian and used there.
part_packages() {
    install_packages "$PACKAGE_PACKAGES $WASM_PACKAGES"
    configured build/packages -DTHIRSTLINE_BUILD_TESTS=OFF -DCMAKE_INSTALL_PREFIX=/usr
    ninja -C build/packages -j "$jobs" --quiet
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

part_sanitized() {
    install_packages "$TEST_PACKAGES"
    configured build/sanitized -DTHIRSTLINE_SANITIZE=ON -DCMAKE_BUILD_TYPE=RelWithDebInfo
    ninja -C build/sanitized -j "$jobs" --quiet
    ctest --test-dir build/sanitized -j "$jobs" --output-on-failure
}

part_tidy() {
    install_packages "$STYLE_PACKAGES"
    configured build/release
    ninja -C build/release schema/sql_text.cpp >/dev/null
    # clang does not know GCC's -fno-gnu-unique, which it has no need of.
    mkdir -p build/tidy
    sed 's/ -fno-gnu-unique//g' build/release/compile_commands.json >build/tidy/compile_commands.json
    find schema lookup builder -name '*.cpp' -not -path '*/examples/*' | sort |
        xargs -P "$jobs" -n 4 clang-tidy -p build/tidy --quiet --extra-arg=-Wno-unknown-warning-option
}

# Pages as a browser shows and prints them; pictures are left in build/pages. Needs npm's registry.
part_pages() {
    install_packages "$PAGE_PACKAGES"
    configured build/release
    ninja -C build/release -j "$jobs" --quiet thirstline-builder thirstline-lookup
    npm install --prefix build/pages --no-audit --no-fund --silent axe-core@4 playwright-core@1
    build/release/builder/thirstline-builder build sample-inputs/merrow.toml --overwrite \
        -o build/pages/merrow.sqlite
    for code in 04103 04107; do
        for units in us metric; do
            build/release/lookup/thirstline-lookup demand --db build/pages/merrow.sqlite --postal $code \
                --zones sample-inputs/merrow-zones.toml --units $units --format html \
                >"build/pages/merrow-$code-$units.html"
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

# The page of a published baseline in a browser; pictures are left in build/pages. Needs npm's registry.
part_published_pages() {
    install_packages "$PAGE_PACKAGES $TEST_PACKAGES $WASM_PACKAGES"
    configured build/release
    ninja -C build/release -j "$jobs" --quiet thirstline-builder thirstline-lookup page_assets
    npm install --prefix build/pages --no-audit --no-fund --silent axe-core@4 playwright-core@1
    NODE_PATH=build/pages/node_modules node tests/lookup/page/check_page_in_browser.mjs \
        --assets build/release/lookup/page/assets --builder build/release/builder/thirstline-builder \
        --lookup build/release/lookup/thirstline-lookup --recipe sample-inputs/merrow.toml \
        --pictures build/pages/pictures
}

install_packages "$BUILD_PACKAGES"
mkdir -p build
for part in ${*:-style lookup-only release machines packages sanitized tidy}; do
    echo "== $part"
    case $part in
        style) part_style ;;
        lookup-only) part_lookup_only ;;
        release) part_release ;;
        machines) part_machines ;;
        packages) part_packages ;;
        sanitized) part_sanitized ;;
        tidy) part_tidy ;;
        pages) part_pages ;;
        published-pages) part_published_pages ;;
        *)
            echo "tests/run-tests.sh: there is no part \"$part\"; the parts are style, lookup-only, release, machines, packages, sanitized, tidy, pages and published-pages" >&2
            exit 2
            ;;
    esac
done
