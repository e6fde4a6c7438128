"""Installs the packages into a fresh Debian and uses them there.

    check_packages.py --packages FOLDER [--fresh-root FOLDER]

The FOLDER has the .deb files and the tar archive made by cpack. As root, and with debootstrap and a mirror
of Debian available, a minimal Debian is made (kept in --fresh-root for the next time) and copied, and apt
installs the packages there with their dependencies: first only the look-up, which must not install GDAL;
then the library, whose examples are built and run, and the builder, which builds the sample; then the SQL
functions of the look-up's package and the Python package are tested. Otherwise the packages are only
unpacked, and the programs run with this system's own libraries.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
SUITE = "bookworm"
MIRROR = "http://deb.debian.org/debian"
COMPILERS = ["g++", "gcc", "cmake", "ninja-build", "pkg-config", "python3", "python3-numpy", "sqlite3"]

# Other packages that each may depend on, and files that each must hold.
RUNTIME_NEEDS = {"libc6", "libgcc-s1", "libsqlite3-0"}
LIBRARY_NEEDS = RUNTIME_NEEDS | {"libstdc++6"}
FILES = {
    "thirstline-lookup": [
        "usr/bin/thirstline-lookup", "usr/share/man/man1/thirstline-lookup.1.gz",
        "usr/share/man/man5/thirstline.5.gz", "usr/share/doc/thirstline-lookup/copyright",
        "usr/share/doc/thirstline-lookup/LICENSE", "usr/share/doc/thirstline-lookup/FORMAT.md",
        "usr/share/doc/thirstline-lookup/PUBLICATIONS.md", "usr/share/doc/thirstline-lookup/json/site.schema.json",
        "usr/share/bash-completion/completions/thirstline-lookup",
        "usr/share/zsh/vendor-completions/_thirstline-lookup",
        "usr/share/fish/vendor_completions.d/thirstline-lookup.fish"],
    "thirstline-builder": [
        "usr/bin/thirstline-builder", "usr/share/man/man1/thirstline-builder.1.gz",
        "usr/share/man/man5/thirstline-recipe.5.gz",
        "usr/share/doc/thirstline-builder/copyright", "usr/share/doc/thirstline-builder/LICENSE",
        "usr/share/bash-completion/completions/thirstline-builder",
        "usr/share/zsh/vendor-completions/_thirstline-builder",
        "usr/share/fish/vendor_completions.d/thirstline-builder.fish",
        "usr/share/thirstline-builder/station-pages.py", "usr/share/thirstline-builder/point-text.py",
        "usr/share/thirstline-builder/slurm-build.sh", "usr/share/thirstline-builder/kubernetes-build.yaml"],
    "python3-thirstline": [
        "usr/lib/python3/dist-packages/thirstline/__init__.py", "usr/lib/python3/dist-packages/thirstline/py.typed",
        "usr/share/doc/python3-thirstline/plot_year.py", "usr/share/doc/python3-thirstline/copyright"],
    "libthirstline-dev": [
        "usr/include/thirstline/thirstline.h", "usr/include/thirstline/thirstline.hpp",
        "usr/include/thirstline/values.hpp",
        "usr/include/thirstline/version.h", "usr/share/doc/libthirstline-dev/copyright",
        "usr/share/doc/libthirstline-dev/examples/one_site.c"],
}


def run(*command, **more):
    done = subprocess.run([str(word) for word in command], capture_output=True, encoding="utf-8",
                          check=False, **more)
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(map(str, command))}\nleft with {done.returncode}:\n"
                         f"{done.stdout[-4000:]}{done.stderr[-4000:]}")
    return done.stdout


class Package:
    def __init__(self, path):
        self.path = path
        self.name = run("dpkg-deb", "--field", path, "Package").strip()
        self.depends = run("dpkg-deb", "--field", path, "Depends").strip()
        self.installed_kib = int(run("dpkg-deb", "--field", path, "Installed-Size"))
        self.files = {line.split(maxsplit=5)[5].partition(" -> ")[0].removeprefix("./")
                      for line in run("dpkg-deb", "--contents", path).splitlines()}

    def depends_on(self):
        return {entry.split()[0] for entry in self.depends.split(",") if entry.strip()}


def extension_of(package):
    """Where SQLite's load_extension('thirstline') finds it."""
    return next((file for file in package.files if re.fullmatch(r"usr/lib/[^/]+/thirstline\.so", file)), None)


def faults_of_packages(packages):
    library = next(name for name in packages if re.fullmatch(r"libthirstline\d+", name))
    if unwanted := packages["thirstline-lookup"].depends_on() - RUNTIME_NEEDS:
        yield f"thirstline-lookup depends on {unwanted}"
    if unwanted := packages[library].depends_on() - LIBRARY_NEEDS:
        yield f"{library} depends on {unwanted}"
    if library not in packages["libthirstline-dev"].depends_on():
        yield f"libthirstline-dev depends on {packages['libthirstline-dev'].depends}"
    if packages["python3-thirstline"].depends_on() != {"python3", library}:
        yield f"python3-thirstline depends on {packages['python3-thirstline'].depends}"
    if not any(name.startswith("libgdal") for name in packages["thirstline-builder"].depends_on()):
        yield f"thirstline-builder depends on {packages['thirstline-builder'].depends}"
    for name, files in FILES.items():
        for file in files:
            if file not in packages[name].files:
                yield f"{name} lacks {file}"
    if not extension_of(packages["thirstline-lookup"]):
        yield "thirstline-lookup lacks thirstline.so in the folder of shared libraries"
    soname = "libthirstline.so." + library.removeprefix("libthirstline")
    if not any(file.endswith("/" + soname) for file in packages[library].files):
        yield f"{library} lacks {soname}"


def faults_of_archive(archive, packages):
    """The archive holds what the packages hold together."""
    with tarfile.open(archive) as tar:
        held = {member.name.split("/", maxsplit=1)[1] for member in tar if not member.isdir()}
    for package in packages.values():
        for file in package.files:
            inside = file.removeprefix("usr/")
            if not file.endswith("/") and file and inside not in held and file not in held:
                yield f"{archive.name} lacks {file}"


class FreshDebian:
    """A minimal Debian in a folder, thrown away at the end."""

    def __init__(self, kept, scratch):
        if not (kept / "usr/bin/apt-get").exists():
            print(f"making a fresh Debian in {kept}")
            shutil.rmtree(kept, ignore_errors=True)
            run("debootstrap", "--variant=minbase", SUITE, kept, MIRROR)
        self.root = scratch / "root"
        run("cp", "-a", kept, self.root)
        shutil.copy("/etc/resolv.conf", self.root / "etc/resolv.conf")
        (self.root / "packages").mkdir()
        self.inside("apt-get", "update")

    def inside(self, *command, **more):
        return run("chroot", self.root, "env", "LC_ALL=C.UTF-8", "DEBIAN_FRONTEND=noninteractive",
                   "PATH=/usr/sbin:/usr/bin:/sbin:/bin", *command, **more)

    def install(self, *packages, others=()):
        names = []
        for package in packages:
            shutil.copy(package.path, self.root / "packages")
            names.append(f"/packages/{package.path.name}")
        self.inside("apt-get", "install", "-y", "--no-install-recommends", *names, *others)

    def installed(self):
        return self.inside("dpkg-query", "-W", "-f", "${Package}\n").split()


def faults_in_fresh_debian(debian, packages, database):
    library = next(name for name in packages if re.fullmatch(r"libthirstline\d+", name))
    before = set(debian.installed())
    debian.install(packages["thirstline-lookup"])
    copied = set(debian.installed()) - before
    print(f"thirstline-lookup copied {' '.join(sorted(copied))}")
    if any("gdal" in name or "proj" in name for name in copied):
        yield f"thirstline-lookup copied {copied}"
    shutil.copy(database, debian.root / "merrow.sqlite")
    yearly = debian.inside("thirstline-lookup", "site", "--db", "/merrow.sqlite", "--postal", "04107")
    if "Ostrey Bridge" not in yearly:
        yield f"thirstline-lookup in a fresh Debian printed {yearly}"

    debian.install(packages[library], packages["libthirstline-dev"], others=COMPILERS)
    debian.install(packages["thirstline-builder"])
    project = debian.root / "thirstline"
    for folder in ("sample-inputs", "tests/lookup/library", "tests/lookup/sql_extension", "tests/lookup/python",
                   "lookup/include", "lookup/python"):
        shutil.copytree(PROJECT / folder, project / folder)
    for file in ("README.md", "CMakeLists.txt"):
        shutil.copy(PROJECT / file, project)
    print(debian.inside("python3", "-B", "/thirstline/tests/lookup/library/installed_examples.py",
                        "--prefix", "/usr", "--lookup", "/usr/bin/thirstline-lookup",
                        "--builder", "/usr/bin/thirstline-builder").strip())
    print(debian.inside("python3", "-B", "/thirstline/tests/lookup/sql_extension/check_sql_extension.py",
                        "--extension", "/" + extension_of(packages["thirstline-lookup"]),
                        "--lookup", "/usr/bin/thirstline-lookup",
                        "--builder", "/usr/bin/thirstline-builder").strip())
    debian.install(packages["python3-thirstline"])
    [shared] = (debian.root / "usr/lib").glob("*/libthirstline.so.0")
    print(debian.inside("python3", "-B", "/thirstline/tests/lookup/python/check_python_package.py",
                        "--package", "/usr/lib/python3/dist-packages",
                        "--library", "/" + str(shared.relative_to(debian.root)),
                        "--lookup", "/usr/bin/thirstline-lookup",
                        "--builder", "/usr/bin/thirstline-builder").strip())
    plain = debian.inside("python3", "-c", "import thirstline; print(thirstline.Baseline('/merrow.sqlite')"
                                           ".postal('04107').place)")
    if plain != "Ostrey Bridge\n":
        yield f"the Python package in a fresh Debian printed {plain}"
    shell = debian.inside("sqlite3", "-cmd", ".load thirstline", ":memory:",
                          "SELECT eto_mm FROM thirstline_postal('/merrow.sqlite', '04107') WHERE month = 7")
    if shell != "154.6\n":
        yield f"the SQL function in a fresh Debian's sqlite3 shell printed {shell}"
    debian.inside("sh", "-c", "cp -r /usr/share/doc/libthirstline-dev/examples /examples && "
                              "cmake -S /examples -B /examples/build -G Ninja && "
                              "cmake --build /examples/build")
    answer = json.loads(debian.inside("thirstline-lookup", "site", "--db", "/merrow.sqlite", "--postal",
                                      "04107", "--format", "json"))
    peak = max(answer["months"], key=lambda month: month["eto_mm_per_day"])
    expected = f"Ostrey Bridge: peak month {peak['month']}, {peak['eto_mm_per_day']:.2f} mm/day\n"
    for example in ("one_site_c", "one_site_cpp"):
        said = debian.inside(f"/examples/build/{example}", "/merrow.sqlite", "04107")
        if not said.startswith(expected):
            yield f"{example} printed {said}"
    debian.inside("thirstline-builder", "build", "/thirstline/sample-inputs/merrow.toml", "-o",
                  "/built.sqlite")
    if (debian.root / "built.sqlite").read_bytes() != database.read_bytes():
        yield "thirstline-builder built another file in a fresh Debian than here"
    debian.inside("apt-get", "purge", "-y", *packages)
    left = [str(path) for path in (debian.root / "usr").rglob("*thirstline*")]
    if left:
        yield f"removing the packages leaves {left}"


def faults_of_unpacked(packages, scratch, database):
    for package in packages.values():
        run("dpkg-deb", "--extract", package.path, scratch / "unpacked")
    said = run(scratch / "unpacked/usr/bin/thirstline-lookup", "site", "--db", database, "--postal",
               "04107")
    if "Ostrey Bridge" not in said:
        yield f"thirstline-lookup, unpacked, printed {said}"
    examples = PROJECT / "tests/lookup/library/installed_examples.py"
    print(run(sys.executable, "-B", examples, "--prefix", scratch / "unpacked/usr",
              "--lookup", scratch / "unpacked/usr/bin/thirstline-lookup",
              "--builder", scratch / "unpacked/usr/bin/thirstline-builder").strip())


def can_make_debian(kept):
    if os.geteuid() != 0:
        return False
    if (kept / "usr/bin/apt-get").exists():
        return True
    return shutil.which("debootstrap") is not None and subprocess.run(
        ["apt-get", "update", "--print-uris"], capture_output=True, check=False).returncode == 0


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n", maxsplit=1)[0])
    parser.add_argument("--packages", required=True, type=Path)
    parser.add_argument("--fresh-root", type=Path)
    options = parser.parse_args()

    packages = {package.name: package for package in map(Package, options.packages.glob("*.deb"))}
    for package in packages.values():
        print(f"{package.name}: {package.installed_kib} KiB installed, depends on {package.depends}")
    if len(packages) != 5:
        raise SystemExit(f"{options.packages} holds the packages {sorted(packages)}")
    faults = list(faults_of_packages(packages))
    archive = next(options.packages.glob("*.tar.gz"))
    faults += faults_of_archive(archive, packages)

    kept = (options.fresh_root or options.packages / "fresh-debian").resolve()
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name)
        run("dpkg-deb", "--extract", packages["thirstline-builder"].path, scratch / "builder")
        database = scratch / "merrow.sqlite"
        run(scratch / "builder/usr/bin/thirstline-builder", "build",
            PROJECT / "sample-inputs/merrow.toml", "-o", database)
        if can_make_debian(kept):
            faults += faults_in_fresh_debian(FreshDebian(kept, scratch), packages, database)
        else:
            print("no fresh Debian can be made here; the packages are only unpacked")
            faults += faults_of_unpacked(packages, scratch, database)
    print("\n".join(faults) or "the packages are whole, and work")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
