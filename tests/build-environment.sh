# Sourced by the scripts that must run on a fresh Debian 12: installs only the packages that are missing.
#   install_packages "$BUILD_PACKAGES"

BUILD_PACKAGES="g++ cmake ninja-build ca-certificates libgdal-dev libsqlite3-dev libcli11-dev
    nlohmann-json3-dev libexpected-dev libcsv-dev nettle-dev libtomlplusplus-dev libnanoflann-dev libeigen3-dev
    libudunits2-dev libnetcdf-dev libarchive-dev libcurl4-openssl-dev libsodium-dev"
TEST_PACKAGES="libgtest-dev python3 python3-gdal python3-numpy sqlite3 netcdf-bin libvalijson-dev
    python3-netcdf4 pkg-config python3-setuptools python3-wheel python3-pip python3-matplotlib
    python3-jsonschema python3-yaml minisign make"
WASM_PACKAGES="clang lld libc++-14-dev-wasm32 libc++abi-14-dev-wasm32 wasi-libc libclang-rt-14-dev-wasm32
    binaryen esbuild nodejs"
SANITIZER_PACKAGES="clang lld libclang-rt-14-dev"
MACHINE_PACKAGES="gcc-arm-none-eabi qemu-system-arm gcc-s390x-linux-gnu libc6-dev-s390x-cross qemu-user gcc-avr
    avr-libc"
SCRIPT_PACKAGES="flake8 mypy python3-numpy nodejs"
PAGE_PACKAGES="chromium fonts-liberation nodejs"
if ! command -v npm >/dev/null; then # other packages of Node bring their own
    PAGE_PACKAGES="$PAGE_PACKAGES npm"
    SCRIPT_PACKAGES="$SCRIPT_PACKAGES npm"
fi
PACKAGE_PACKAGES="dpkg-dev file debootstrap pkg-config python3 python3-setuptools python3-wheel groff-base zsh
    fish"
SLURM_PACKAGES="slurm-wlm munge"
WINDOWS_PACKAGES="g++-mingw-w64-x86-64-posix wine64 dpkg-dev gcc make autoconf automake libtool tcl m4 xz-utils minisign"
CONTAINER_PACKAGES="buildah crun debootstrap python3"
STYLE_PACKAGES="clang-format clang-tidy python3"

# Asks first on a terminal, unless INSTALL is set. Without one there is nobody to ask: scripts, containers
# and CI run so, as root.
may_install() {
    [ -n "${INSTALL:-}" ] && return 0
    [ -t 0 ] || [ "$(id -u)" -ne 0 ] || return 0
    [ -t 0 ] || return 1
    printf 'Install these Debian packages with apt-get? [y/N] '
    read -r reply
    case $reply in [yY]*) INSTALL=yes ;; *) return 1 ;; esac
}

install_packages() {
    missing=""
    for package in $1; do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q "ok installed" ||
            missing="$missing $package"
    done
    [ -z "$missing" ] && return 0
    echo "missing packages:$missing"
    as_root=""
    if [ "$(id -u)" -ne 0 ]; then as_root="sudo"; fi
    may_install && { [ -z "$as_root" ] || command -v sudo >/dev/null; } || {
        echo "Nothing was installed. Install the packages yourself, or run the script with --install." >&2
        return 1
    }
    echo "installing them (a minute or two)"
    log=$(mktemp)
    if ! { $as_root apt-get update && $as_root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y --no-install-recommends $missing; } >"$log" 2>&1; then
        cat "$log" >&2
        rm -f "$log"
        return 1
    fi
    rm -f "$log"
}

# Builds targets. On a terminal ninja shows how far it is; a log gets a line for each tenth.
build_shown() { # folder targets...
    folder=$1
    shift
    if [ -t 1 ]; then
        ninja -C "$folder" "$@"
        return
    fi
    { ninja -C "$folder" "$@" 2>&1 || touch "$folder/failed"; } | tee "$folder/ninja.log" |
        awk -F'[][/]' '/^\[[0-9]+\/[0-9]+\]/ { tenth = int(10 * $2 / $3); if (tenth > last) { last = tenth;
            printf "   built %s of %s\n", $2, $3; fflush() } }'
    if [ -e "$folder/failed" ]; then
        rm "$folder/failed"
        grep -v '^\[' "$folder/ninja.log" >&2
        return 1
    fi
}
