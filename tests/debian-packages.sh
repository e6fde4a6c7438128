# Sourced by the scripts that must run on a fresh Debian 12: installs what is missing, and only that.
#   install_packages "$BUILD_PACKAGES"

BUILD_PACKAGES="g++ cmake ninja-build ca-certificates libgdal-dev libsqlite3-dev libcli11-dev
    nlohmann-json3-dev libexpected-dev libcsv-dev nettle-dev libtomlplusplus-dev libnanoflann-dev libeigen3-dev
    libudunits2-dev libnetcdf-dev"
TEST_PACKAGES="libgtest-dev python3 python3-gdal python3-numpy sqlite3 netcdf-bin libvalijson-dev
    python3-netcdf4 pkg-config"
WASM_PACKAGES="clang lld libc++-14-dev-wasm32 libc++abi-14-dev-wasm32 wasi-libc libclang-rt-14-dev-wasm32
    binaryen esbuild nodejs"
MACHINE_PACKAGES="gcc-arm-none-eabi qemu-system-arm gcc-s390x-linux-gnu libc6-dev-s390x-cross qemu-user gcc-avr
    avr-libc"
PAGE_PACKAGES="chromium fonts-liberation nodejs"
command -v npm >/dev/null || PAGE_PACKAGES="$PAGE_PACKAGES npm" # other packages of Node bring their own
PACKAGE_PACKAGES="dpkg-dev file debootstrap pkg-config python3 groff-base zsh fish"
STYLE_PACKAGES="clang-format clang-tidy"

install_packages() {
    missing=""
    for package in $1; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q "ok installed" ||
            missing="$missing $package"
    done
    [ -z "$missing" ] && return 0
    echo "installing:$missing"
    as_root=""
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || {
            echo "These packages are missing; install them as root:$missing" >&2
            return 1
        }
        as_root="sudo"
    fi
    log=$(mktemp)
    if ! { $as_root apt-get update && $as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y --no-install-recommends $missing; } >"$log" 2>&1; then
        cat "$log" >&2
        rm -f "$log"
        return 1
    fi
    rm -f "$log"
}
