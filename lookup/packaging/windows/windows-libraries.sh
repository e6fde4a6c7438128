#!/bin/sh
# The libraries of thirstline-lookup for Windows, compiled by MinGW from the sources of Debian's packages, which
# apt downloads and checks. Static libraries: the program then needs no DLL of its own.
#
#   sh lookup/packaging/windows/windows-libraries.sh FOLDER
#
# The FOLDER receives include/, lib/ and share/cmake/, for windows-toolchain.cmake. It is kept: where it is complete,
# nothing is done. One that this script made is made again from nothing; any other must be empty. Exit status 75: the
# sources cannot be downloaded.
set -eu
mkdir -p "$1"
prefix=$(cd "$1" && pwd)
HOST=x86_64-w64-mingw32
HEADER_PACKAGES="libcli11-dev nlohmann-json3-dev libexpected-dev libtomlplusplus-dev"
SOURCE_PACKAGES="libcsv libsodium nettle sqlite3"
# Those that the Linux program is compiled against.
complete="$(dpkg-query -W -f '${Package} ${Version}\n' $HEADER_PACKAGES libcsv-dev libsodium-dev nettle-dev libsqlite3-dev)"
[ "$(cat "$prefix/complete" 2>/dev/null)" != "$complete" ] || exit 0
if [ ! -e "$prefix/complete" ] && [ ! -e "$prefix/unfinished" ] && [ -n "$(ls -A "$prefix")" ]; then
    echo "$prefix holds other files; name an empty folder" >&2
    exit 2
fi
rm -rf "$prefix"
mkdir -p "$prefix/include" "$prefix/lib" "$prefix/unfinished/lists/partial" "$prefix/unfinished/parts"
cd "$prefix/unfinished"

# Only these packages' headers: the others in /usr/include are for Linux.
for package in $HEADER_PACKAGES; do
    dpkg -L "$package" | while read -r file; do
        case $file in
            /usr/include/* | /usr/share/cmake/*)
                [ -d "$file" ] || install -D -m 644 "$file" "$prefix/${file#/usr/}" ;;
        esac
    done
done

# Debian's sources, with lists of their own: the system's stay as they are.
for sources in /etc/apt/sources.list /etc/apt/sources.list.d/*; do
    [ -e "$sources" ] || continue
    sed -e 's/^Types:.*/Types: deb-src/' -e 's/^deb /deb-src /' "$sources" >"parts/$(basename "$sources")"
done
own_lists="-o Dir::Etc::sourcelist=/dev/null -o Dir::Etc::sourceparts=$PWD/parts -o Dir::State::lists=$PWD/lists"
apt-get $own_lists update >apt.log 2>&1 || true # one of several sources may fail
apt-get $own_lists -o APT::Sandbox::User="$(id -un)" source $SOURCE_PACKAGES >>apt.log 2>&1 || {
    echo "Debian's source packages cannot be downloaded: $prefix/unfinished/apt.log" >&2
    exit 75
}

made() { # log command...
    log=$1
    shift
    "$@" >"$log" 2>&1 || {
        tail -n 30 "$log" >&2
        exit 1
    }
}
CC=$HOST-gcc-posix
export CFLAGS="-O2 -ffunction-sections -fdata-sections"

(
    cd libcsv-*/
    made csv.log $CC $CFLAGS -c libcsv.c -o libcsv.o
    $HOST-ar rcs "$prefix/lib/libcsv.a" libcsv.o
    cp csv.h "$prefix/include"
)
(
    cd libsodium-*/
    made autoreconf.log autoreconf -i
    made configure.log ./configure --host=$HOST CC=$CC --prefix="$prefix" --disable-shared --disable-ssp
    made make.log make -j "$(nproc)" -C src/libsodium install
)
(
    cd nettle-*/
    made configure.log ./configure --host=$HOST CC=$CC --prefix="$prefix" --libdir="$prefix/lib" --disable-shared \
        --disable-public-key --disable-assembler --disable-openssl --disable-documentation
    made make.log make libnettle.a
    cp libnettle.a "$prefix/lib"
    mkdir -p "$prefix/include/nettle"
    cp ./*.h "$prefix/include/nettle"
    rm "$prefix/include/nettle/config.h"
)
(
    cd sqlite3-*/
    # configure and make are for the machine that compiles: they write one source of all.
    made configure.log ./configure
    made make.log make sqlite3.c
    made compile.log $CC $CFLAGS -DSQLITE_OMIT_LOAD_EXTENSION -DSQLITE_THREADSAFE=1 -c sqlite3.c -o sqlite3-windows.o
    $HOST-ar rcs "$prefix/lib/libsqlite3.a" sqlite3-windows.o
    cp sqlite3.h "$prefix/include"
)
printf '%s\n' "$complete" >"$prefix/complete"
rm -rf "$prefix/unfinished"
