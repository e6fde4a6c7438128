"""Builds the container of builder/packaging/Containerfile and uses its programs.

    check_container.py --work FOLDER [--jobs N]

With Buildah and debootstrap, as root: the base image is a minimal Debian made here, so that no registry of images is
asked, and steps run in a chroot, so that no rights of containers are needed. What the programs print is compared with
README.md. Without one of these tools, only the file is checked: that it copies what exists and what .dockerignore lets
through, that every command is known, and that it installs the list of tests/build-environment.sh.
"""

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]
FILE = PROJECT / "builder/packaging/Containerfile"
SUITE = "bookworm"
IMAGE = "localhost/thirstline"
BASE = "localhost/thirstline-base"
CMAKE_OPTIONS = "-DTHIRSTLINE_WARNINGS_ARE_ERRORS=ON -DCMAKE_CXX_COMPILER_LAUNCHER=ccache"
INSTRUCTIONS = {"ARG", "FROM", "WORKDIR", "COPY", "RUN", "CMD"}


def instructions():
    """(name, rest) of each instruction; continued lines are joined."""
    text = FILE.read_text(encoding="utf-8").replace("\\\n", " ")
    for line in text.splitlines():
        if line and not line.startswith("#"):
            name, _, rest = line.partition(" ")
            yield name, rest.strip()


def faults():
    steps = list(instructions())
    let_through = {line[1:] for line in (PROJECT / ".dockerignore").read_text(encoding="utf-8").splitlines()
                   if line.startswith("!")}
    for name, rest in steps:
        if name not in INSTRUCTIONS:
            yield f"unknown instruction {name}"
        if name != "COPY" or "--from" in rest:
            continue
        for source in rest.split()[:-1]:
            if not (PROJECT / source).exists():
                yield f"COPY {source}: there is no such file"
            if source not in let_through:
                yield f"COPY {source}: .dockerignore does not let it through"
    text = " ".join(f"{name} {rest}" for name, rest in steps)
    if f"debian:{SUITE}-slim" not in text:
        yield f"the base is not Debian {SUITE}, for which the list of packages is"
    if 'install_packages "$BUILD_PACKAGES $WASM_PACKAGES' not in text:
        yield "the packages are not those of tests/build-environment.sh"
    if re.search(r":latest\b", text):
        yield "a base that changes without notice"


class Buildah:
    def __init__(self, work):
        self.words = ["buildah", "--storage-driver", "vfs", "--root", str(work / "storage"), "--runroot",
                      str(work / "run")]

    def run(self, *words, shown=False):
        done = subprocess.run([*self.words, *map(str, words)], check=False, encoding="utf-8",
                              capture_output=not shown)
        if done.returncode != 0:
            raise SystemExit(f"buildah {' '.join(map(str, words))}: exit status {done.returncode}\n"
                             f"{(done.stdout or '')[-4000:]}{(done.stderr or '')[-4000:]}")
        return (done.stdout or "").strip()


def make_base(buildah, work, jobs):
    root = work / "debian"
    if not (root / "complete").exists():
        shutil.rmtree(root, ignore_errors=True)
        subprocess.run(["debootstrap", "--variant=minbase", "--include=ccache", SUITE, root], check=True,
                       stdout=subprocess.DEVNULL)
        (root / "complete").touch()
    container = buildah.run("from", "scratch")
    buildah.run("copy", container, root, "/")
    # As tests/run-tests.sh builds, so that what has been compiled there is used here.
    settings = {"CMAKE_BUILD_PARALLEL_LEVEL": jobs, "DEBIAN_FRONTEND": "noninteractive", "CCACHE_DIR": "/ccache",
                "CCACHE_BASEDIR": "/source", "CCACHE_NOHASHDIR": 1}
    buildah.run("config", *(word for name, value in settings.items() for word in ("--env", f"{name}={value}")),
                container)
    buildah.run("commit", "--rm", container, BASE)


def cache_folder(work):
    """That of this machine's ccache, or one of the test's own."""
    if not shutil.which("ccache"):
        (work / "ccache").mkdir(exist_ok=True)
        return work / "ccache"
    return Path(subprocess.run(["ccache", "--get-config", "cache_dir"], check=True, capture_output=True,
                               encoding="utf-8").stdout.strip())


def check_programs(buildah):
    """The walk's first steps, in a folder of the host."""
    container = buildah.run("from", "--pull-never", IMAGE)
    with tempfile.TemporaryDirectory() as name:
        data = Path(name) / "data"
        shutil.copytree(PROJECT / "sample-inputs", data)

        def used(*words):
            return buildah.run("run", "--isolation", "chroot", "-v", f"{data}:/data", container, "--", *words)
        used("thirstline-builder", "build", "merrow.toml", "-o", "merrow.sqlite")
        text = used("thirstline-lookup", "site", "--db", "merrow.sqlite", "--postal", "04107", "--units", "metric")
        if "Peak month: July, 4.99 mm/day." not in text.splitlines():
            raise SystemExit(f"the site of README.md reads otherwise in the container:\n{text}")
        used("thirstline-builder", "publish", "merrow.sqlite", "-o", "site")
        if not (data / "site/index.html").exists():
            raise SystemExit("the container has no page to publish")
    buildah.run("rm", container)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--work", required=True, type=Path)
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    options = parser.parse_args()
    found = list(faults())
    if found:
        print("\n".join(f"{FILE.relative_to(PROJECT)}: {fault}" for fault in found), file=sys.stderr)
        return 1
    if os.getuid() != 0 or not shutil.which("buildah") or not shutil.which("debootstrap"):
        print("the container file is well formed; without root, buildah and debootstrap it was not built")
        return 0
    work = options.work.resolve()
    work.mkdir(parents=True, exist_ok=True)
    buildah = Buildah(work)
    make_base(buildah, work, options.jobs)
    buildah.run("bud", "--isolation", "chroot", "--pull-never", "--build-arg", f"BASE={BASE}",
                "--build-arg", f"CMAKE_OPTIONS={CMAKE_OPTIONS}", "-v", f"{cache_folder(work)}:/ccache", "-f", FILE, "-t",
                IMAGE, PROJECT, shown=True)
    check_programs(buildah)
    print("the container was built, and its programs answer as README.md shows")
    return 0


if __name__ == "__main__":
    sys.exit(main())
